//! Whether the facts of an open file are safe, in words: the one place that says it, for the top bar,
//! for sheets and for places; and what can be done where they are not.

use record::file::LineFormat;
use record::{Access, Error, FactFile, ReadOnlyReason, SaveState, Stamp};

/// What the button says that goes on although the end is missing.
pub const SET_END_ASIDE: &str = "Set the torn bytes aside and go on";

/// What it does.
pub(crate) const SET_END_ASIDE_TIP: &str = "Keep the bytes that stand where the end is missing in a file \
    beside this one, cut them off here, and go on. It stays noted.";

/// Whether facts are safe, in words; the first part of them, to a “ · ”, is enough where there is
/// little room.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub enum Saved {
    /// Nothing to save.
    #[default]
    Nothing,
    /// On disk.
    Yes(String),
    /// On its way.
    Waiting(String),
    /// Not saved, or not allowed to.
    No(String),
}

impl Saved {
    /// How a file stands, and when the last fact was seen to be on disk.
    #[must_use]
    pub fn of<B: LineFormat>(file: &FactFile<B>, at: Option<Stamp>) -> Self {
        let facts = counted(file.facts().len());
        let at = at.map_or_else(String::new, |at| format!(" {}", at.time_of_day()));
        match (file.save_state(), file.access()) {
            (SaveState::Saved, _) => Self::Yes(format!("saved{at} · {facts}")),
            (SaveState::Written, _) => {
                Self::No(format!("written, but a power cut may lose it{at} · {facts}"))
            }
            (SaveState::Saving { waiting }, _) => {
                Self::Waiting(format!("saving… · {waiting} waiting"))
            }
            (SaveState::Stopped { waiting, .. }, _) => {
                Self::No(format!("NOT SAVED · {waiting} waiting"))
            }
            (SaveState::ReadOnly, Access::AskFirst { .. }) => {
                Self::No(format!("nothing is written until you agree · {facts}"))
            }
            (SaveState::ReadOnly, _) if file.end_missing().is_some() => {
                Self::No(format!("the end is missing · read only · {facts}"))
            }
            (SaveState::ReadOnly, _) => Self::No(format!("read only · {facts}")),
        }
    }

    /// In words.
    #[must_use]
    pub fn words(&self) -> &str {
        match self {
            Self::Nothing => "",
            Self::Yes(text) | Self::Waiting(text) | Self::No(text) => text,
        }
    }

    /// The words that say most, for little room.
    #[must_use]
    pub fn short(&self) -> &str {
        self.words().split(" · ").next().unwrap_or_default()
    }

    /// Whether it needs a look.
    #[must_use]
    pub const fn needs_look(&self) -> bool {
        matches!(self, Self::No(_))
    }
}

/// How a file stands, and why nothing is written where that is so; whether that needs a look.
#[must_use]
pub(crate) fn saved_words<B: LineFormat>(file: &FactFile<B>) -> (String, bool) {
    let saved = Saved::of(file, None);
    let why = match (file.save_state(), file.access()) {
        (SaveState::Stopped { why, .. }, _) => format!(": {why}"),
        (SaveState::ReadOnly, Access::ReadOnly(why)) => format!(": {why}"),
        (SaveState::ReadOnly, Access::AskFirst { missing }) => {
            format!(": files cannot be {missing} here")
        }
        _ => String::new(),
    };
    (format!("{}{why}", saved.words()), saved.needs_look())
}

/// So many facts, in words.
#[must_use]
pub(crate) fn counted(facts: usize) -> String {
    paper::words::counted_s(facts, "fact")
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
    /// Go on in a new file: this one is damaged, somebody else's, or cannot be written to.
    Continue,
}

impl Mend {
    /// What would help a file; nothing where nothing is wrong.
    #[must_use]
    pub fn of<B: LineFormat>(file: &FactFile<B>) -> &'static [Self] {
        match (file.access(), file.save_state()) {
            (Access::AskFirst { .. }, _) => &[Self::Agree],
            // Where the file has no words for it, setting its end aside would leave no trace in it.
            (Access::ReadOnly(ReadOnlyReason::EndMissing(_)), _) if file.has_marks() => {
                &[Self::SetEndAside, Self::Continue]
            }
            (Access::ReadOnly(_), _) => &[Self::Continue],
            (Access::Writing, SaveState::Stopped { why: Error::Unsupported { .. }, .. }) => {
                &[Self::Agree, Self::Retry, Self::Continue]
            }
            (Access::Writing, SaveState::Stopped { .. }) => &[Self::Retry, Self::Continue],
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
            Self::Continue => "Continue in a new file…",
        }
    }

    /// What it does.
    #[must_use]
    pub const fn tip(self) -> &'static str {
        match self {
            Self::Agree => "Write without what this place lacks: facts may be lost if power fails.",
            Self::Retry => "Write what waits in memory to the same file.",
            Self::SetEndAside => SET_END_ASIDE_TIP,
            Self::Continue => {
                "Copy every fact that can be read into a new file, those in memory too, and go on there."
            }
        }
    }
}
