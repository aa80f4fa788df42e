//! What waits for the hand to choose.

use crate::app::action::Action;

/// What waits for the hand's choice.
#[derive(Clone, Debug, PartialEq)]
pub enum Leaving {
    /// Closing the window.
    Close,
    /// Something that lets go of an open file.
    Do(Box<Action>),
}
