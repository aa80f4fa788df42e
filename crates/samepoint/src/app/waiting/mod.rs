//! Facts that are not on disk: kept in a rescue file meanwhile, and never dropped unless a hand says so.
//!
//! - `held`: an open file, whatever its lines say; [`keepers`]: the rescue file of each; [`gate`]: what would let go of a file waits here
//!   until the hand chose; [`sheet`]: what the sheets hold.

pub mod gate;
mod held;
pub mod keepers;
pub mod sheet;

pub use gate::Leaving;
pub(in crate::app) use held::HeldFile;
pub use keepers::Keepers;
pub use sheet::{
    ContinueOf, ContinueSheet, DISCARD_TIP, ON_DISK_NOW, RescueSheet, Rescued, WaitingAction,
    WaitingSheet,
};

/// A file that is open and that facts may wait for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Held {
    /// The session on the bench.
    Session,
    /// The check file that a sheet shows.
    Checks,
    /// The open study.
    Study,
}

impl Held {
    /// All of them.
    pub const ALL: [Self; 3] = [Self::Session, Self::Checks, Self::Study];
}
