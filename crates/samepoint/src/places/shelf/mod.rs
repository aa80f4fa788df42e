//! The shelf: which parts go together best, and what became of those that were chosen.
//!
//! - `picture`: a plan made ready to look at; `part`: which part of the page is in sight,
//!   `picked`: which of its units was chosen;
//! - `working`: matching, on a thread of its own; `apply`: what is asked; `ui`: what it looks like.

pub(crate) mod apply;
pub(crate) mod part;
pub(crate) mod picked;
pub(crate) mod picture;
pub(crate) mod ui;
pub(crate) mod working;

use std::path::PathBuf;

use record::Matched;

use crate::jobs::{Job, Stop, Work};
use part::ShelfPart;
use picked::PickedUnits;
use picture::ShelfView;

/// What the place remembers.
pub(crate) struct Shelving {
    /// The plan made ready to look at, once there is one.
    pub(crate) picture: Option<ShelfView>,
    /// The matching.
    pub(crate) working: Job<Result<Matched, record::Error>>,
    /// Asks it to stop.
    pub(crate) stop: Stop,
    /// Why there is no plan, or none that is newer than the one in sight.
    pub(crate) why_none: Option<WhyNone>,
    /// What is in sight.
    pub(crate) part: ShelfPart,
    /// The row that the keyboard came to last, in the part in sight.
    pub(crate) row: Option<ShelfRow>,
}

/// A row of the shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ShelfRow {
    /// It names a session.
    Session(PathBuf),
    /// It is a unit to be built, with which no session is begun yet.
    NotBegun,
}

/// Why there is no plan.
pub(crate) enum WhyNone {
    /// No shop is open.
    NoShop,
    /// The shop has no list of what lies on its shelf.
    NoShelf,
    /// It was stopped.
    Stopped,
    /// It could not be made.
    Refused(String),
}

impl Default for Shelving {
    fn default() -> Self {
        Self {
            picture: None,
            working: Job::idle(Work::Shelf),
            stop: Stop::default(),
            why_none: None,
            part: ShelfPart::default(),
            row: None,
        }
    }
}

/// Nobody would hear a worker that goes on.
impl Drop for Shelving {
    fn drop(&mut self) {
        self.stop.ask();
    }
}

/// What a hand asks of the shelf.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ShelfAction {
    /// Show another part.
    Show(ShelfPart),
    /// The keyboard came to a row.
    At(ShelfRow),
    /// Match anew.
    Again,
    /// Stop the matching.
    Stop,
    /// Begin a session with the parts of a match.
    Begin(PickedUnits),
    /// Look a session over.
    Review(PathBuf),
    /// Write a first list of what the shop has.
    BeginList,
}
