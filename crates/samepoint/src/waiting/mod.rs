//! Facts that are not on disk: kept in a rescue file meanwhile, and never dropped unless a hand says so.
//!
//! - `held`: an open file, whatever its lines say; [`keepers`]: the rescue file of each, `rescuing`: keeping them;
//! - [`gate`]: what would let go of a file waits here until the hand chose (`leaving`); `action`, `acting`: what it
//!   chose; [`sheet`]: what the sheets hold, `waiting_ui`, `rescue_ui`: the sheets.

pub(crate) mod acting;
pub(crate) mod action;
pub(crate) mod gate;
pub(crate) mod held;
pub(crate) mod keepers;
pub(crate) mod leaving;
pub(crate) mod rescue_ui;
pub(crate) mod rescuing;
pub(crate) mod sheet;
pub(crate) mod waiting_ui;

pub(crate) use action::WaitingAction;
pub(crate) use held::HeldFile;
pub(crate) use keepers::Keepers;
pub(crate) use leaving::Leaving;
pub(crate) use sheet::{ContinueOf, ContinueSheet, RescueSheet, Rescued, Unreadable, WaitingSheet};
