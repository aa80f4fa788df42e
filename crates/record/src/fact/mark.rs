//! What the program itself notes in a session about its file, so that it stays known for ever.
//!
//! A mark is a [`Note`] whose text begins with words of the program's own, which no hand's note may
//! begin with. It is never undone, and a signature before it no longer speaks for the session.

use super::Note;
use crate::file::SetAside;

/// What every mark's text begins with.
const OWN: &str = "samepoint notes, ";

/// Something the program notes about a session's file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Mark {
    /// The end was missing, and the hand went on: what stood there was set aside.
    EndSetAside(SetAside),
    /// The session was continued from a file that is damaged or lacks its end.
    ContinuedInPart {
        /// That file's name.
        file: String,
        /// What is wrong with it, without its full stop.
        why: String,
    },
}

/// Which of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum MarkKind {
    /// [`Mark::EndSetAside`].
    EndSetAside,
    /// [`Mark::ContinuedInPart`].
    ContinuedInPart,
}

impl MarkKind {
    const ALL: [Self; 2] = [Self::EndSetAside, Self::ContinuedInPart];

    /// It in two or three words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::EndSetAside => "end set aside",
            Self::ContinuedInPart => "continued in part",
        }
    }

    /// The mark that a note is, if it is one.
    #[must_use]
    pub fn of(note: &Note) -> Option<Self> {
        let rest = note.text.strip_prefix(OWN)?;
        Self::ALL.into_iter().find(|kind| {
            rest.strip_prefix(kind.word()).is_some_and(|after| after.starts_with(": "))
        })
    }
}

impl Mark {
    /// The note that says it.
    #[must_use]
    pub fn note(&self) -> Note {
        let (kind, words) = match self {
            Self::EndSetAside(aside) => (MarkKind::EndSetAside, aside.to_string()),
            Self::ContinuedInPart { file, why } => (
                MarkKind::ContinuedInPart,
                format!(
                    "{file} had more than is here: {why}. What was signed before was signed over \
                     that file; sign anew what holds."
                ),
            ),
        };
        Note { text: format!("{OWN}{}: {words}", kind.word()), about: None }
    }
}

impl Note {
    /// Whether its text begins with the program's own words, which no hand's note may.
    #[must_use]
    pub fn is_in_the_programs_words(&self) -> bool {
        self.text.trim_start().starts_with(OWN.trim_end())
    }
}
