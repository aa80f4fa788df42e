//! Facts that are not on disk: kept in a rescue file meanwhile, and never dropped unless a hand says so.
//!
//! - `held`: an open file, whatever its lines say; [`keepers`]: the rescue file of each, `rescuing`: keeping them;
//! - [`gate`]: what would let go of a file waits here until the hand chose (`leaving`); `action`, `acting`: what it
//!   chose; [`sheet`]: what the sheets hold, `waiting_ui`, `rescue_ui`: the sheets.

pub(crate) mod acting;
pub(crate) mod action;
pub mod gate;
pub(crate) mod held;
pub mod keepers;
pub(crate) mod leaving;
pub(crate) mod rescue_ui;
pub(crate) mod rescuing;
pub mod sheet;
pub(crate) mod waiting_ui;

pub use action::WaitingAction;
pub(crate) use held::HeldFile;
pub use keepers::Keepers;
pub use leaving::Leaving;
pub use sheet::{ContinueOf, ContinueSheet, RescueSheet, Rescued, WaitingSheet};
