//! What the sheets about facts that are not on disk hold.

use std::path::PathBuf;

use record::rescue::Offer;

use super::Leaving;
use crate::shell::held::Held;
use crate::shell::path_sheet::PathSheet;

/// Facts that wait, and what becomes of them.
#[derive(Clone, Debug, PartialEq)]
pub struct WaitingSheet {
    /// For which file.
    pub held: Held,
    /// What was to be done and waits for the choice.
    pub then: Option<Leaving>,
    /// Whether the hand is asked once more before they are discarded.
    pub discarding: bool,
    /// What was refused.
    pub refused: Option<String>,
}

/// Said once nothing waits any more.
pub(crate) const ON_DISK_NOW: &str = "Every fact is on disk now.";
/// What discarding does, before it is asked for once more.
pub(crate) const DISCARD_TIP: &str = "Lose them for ever; you are asked once more.";

impl WaitingSheet {
    /// About a file, with what waits for the choice.
    #[must_use]
    pub const fn of(held: Held, then: Option<Leaving>) -> Self {
        Self { held, then, discarding: false, refused: None }
    }
}

/// What goes on in a new file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ContinueOf {
    /// An open file.
    Held(Held),
    /// Facts of a rescue file.
    Rescue(PathBuf),
}

/// Where to go on in a new file.
#[derive(Clone, Debug, PartialEq)]
pub struct ContinueSheet {
    /// What goes on there.
    pub of: ContinueOf,
    /// Where.
    pub path: PathSheet,
    /// What comes along, in a sentence.
    pub told: String,
    /// What was to be done once it is safe there.
    pub then: Option<Leaving>,
    /// Whether files cannot be locked or synced there, so that the hand must agree.
    pub must_agree: bool,
}

/// Why a rescue file offers nothing.
#[derive(Clone, Debug, thiserror::Error)]
#[error(transparent)]
pub struct Unreadable(#[from] record::Error);

/// Alike where they say the same.
impl PartialEq for Unreadable {
    fn eq(&self, other: &Self) -> bool {
        self.to_string() == other.to_string()
    }
}

/// One rescue file, as it was found.
#[derive(Clone, Debug, PartialEq)]
pub struct Rescued {
    /// The file.
    pub path: PathBuf,
    /// What it offers, or why it cannot be read.
    pub told: Result<Offer, Unreadable>,
}

/// Facts of earlier that were not saved.
#[derive(Clone, Debug, PartialEq)]
pub struct RescueSheet {
    /// The rescue files that are still to be seen to; the first is shown.
    pub found: Vec<Rescued>,
    /// Whether the hand is asked once more before its facts are discarded.
    pub discarding: bool,
    /// Whether files cannot be locked or synced there, so that the hand must agree.
    pub must_agree: bool,
    /// What was refused.
    pub refused: Option<String>,
}
