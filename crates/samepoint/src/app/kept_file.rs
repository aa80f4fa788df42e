//! Whether the facts of a check or study file are safe, in words.

use record::file::Words;
use record::{Access, FactFile, SaveState};

/// Whether they are, and whether that needs a look.
#[must_use]
pub fn saved_words<B: Words>(file: &FactFile<B>) -> (String, bool) {
    match (file.save_state(), file.access()) {
        (SaveState::Saved, _) => ("saved".to_owned(), false),
        (SaveState::Written, _) => ("written, but a power cut may lose it".to_owned(), true),
        (SaveState::Saving { waiting }, _) => (format!("saving… · {waiting} waiting"), false),
        (SaveState::Stopped { why, waiting }, _) => {
            (format!("NOT SAVED · {waiting} waiting: {why}"), true)
        }
        (SaveState::ReadOnly, Access::ReadOnly(why)) => (format!("read only: {why}"), true),
        (SaveState::ReadOnly, Access::AskFirst { missing }) => {
            (format!("files cannot be {missing} here: agree before anything is written"), true)
        }
        (SaveState::ReadOnly, Access::Writing) => ("read only".to_owned(), true),
    }
}

/// What can be done about a file that cannot be written to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Mend {
    /// Write although files cannot be locked or synced here.
    Agree,
    /// Try again to write what waits.
    Retry,
    /// Go on in a new file: this one is damaged, or somebody else's.
    Continue,
}

impl Mend {
    /// What would help a file, if anything.
    #[must_use]
    pub fn of<B: Words>(file: &FactFile<B>) -> Option<Self> {
        match (file.access(), file.save_state()) {
            (Access::AskFirst { .. }, _) => Some(Self::Agree),
            (Access::ReadOnly(_), _) => Some(Self::Continue),
            (Access::Writing, SaveState::Stopped { .. }) => Some(Self::Retry),
            _ => None,
        }
    }

    /// What its button says.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Agree => "Write all the same",
            Self::Retry => "Try again",
            Self::Continue => "Continue in a new file",
        }
    }
}
