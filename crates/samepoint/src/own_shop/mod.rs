//! A shop of one's own: begun in the window, and all it keeps seen to there.
//!
//! - [`begin`]: what is asked to begin one; [`begin_ui`]: the question of the first start, and beginning;
//! - [`keeps_ui`]: what the shop keeps, and what it does not say yet;
//! - [`acting`]: what a hand asks of all this.

pub(crate) mod acting;
pub(crate) mod begin;
pub(crate) mod begin_ui;
pub(crate) mod keeps_ui;

/// What a hand asks about the shop it works in.
#[derive(Clone, Debug, PartialEq)]
pub enum OwnAction {
    /// Look round the demo shop: the first question is answered.
    LookRound,
    /// Ask what is needed to begin a shop.
    AskBegin,
    /// Begin the one on the sheet.
    Begin,
    /// Show what the shop keeps.
    ShowKeeps,
}
