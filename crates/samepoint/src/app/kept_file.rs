//! Whether the facts of a check or study file are safe, in words.

use record::file::Words;
use record::{Access, FactFile, ReadOnlyReason, SaveState};

/// What the button says that goes on although the end is missing.
pub const SET_END_ASIDE: &str = "Set the torn bytes aside and go on";

/// What it does.
pub const SET_END_ASIDE_TIP: &str = "Keep the bytes that stand where the end is missing in a file \
    beside this one, cut them off here, and go on. It stays noted.";

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
    /// Set aside what stands where the end is missing, and go on.
    SetEndAside,
    /// Go on in a new file: this one is damaged, or somebody else's.
    Continue,
}

impl Mend {
    /// What would help a file; nothing where nothing is wrong.
    #[must_use]
    pub fn of<B: Words>(file: &FactFile<B>) -> &'static [Self] {
        match (file.access(), file.save_state()) {
            (Access::AskFirst { .. }, _) => &[Self::Agree],
            (Access::ReadOnly(ReadOnlyReason::EndMissing(_)), _) => {
                &[Self::SetEndAside, Self::Continue]
            }
            (Access::ReadOnly(_), _) => &[Self::Continue],
            (Access::Writing, SaveState::Stopped { .. }) => &[Self::Retry],
            _ => &[],
        }
    }

    /// What its button says.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Agree => "Write all the same",
            Self::Retry => "Try again",
            Self::SetEndAside => SET_END_ASIDE,
            Self::Continue => "Continue in a new file",
        }
    }
}
