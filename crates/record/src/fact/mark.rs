//! What the program itself notes in a session about its file, so that it stays known for ever.
//!
//! A mark is a [`Note`] whose text begins with words of the program's own, which no hand's note may
//! begin with. It is never undone, and a signature before it no longer speaks for the session. Check files,
//! studies and ledgers hold the same note, from format 2 on.

use solver::Channel;

use super::{Note, Seq};
use crate::file::SetAside;
use crate::file::bad_field::BadField;

/// What every mark's text begins with.
pub(super) const OWN: &str = "samepoint notes, ";

/// Something the program notes about a session's file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum FileMark {
    /// The end was missing, and the hand went on: what stood there was set aside.
    EndSetAside(SetAside),
    /// The session was continued from a file that is damaged or lacks its end.
    ContinuedInPart {
        /// That file's name.
        file: String,
        /// What is wrong with it, without its full stop.
        why: String,
    },
    /// This file was begun while another beside it, left as it is, was not whole.
    BegunBeside {
        /// That file's name.
        file: String,
        /// What is wrong with it, without its full stop.
        why: String,
    },
    /// Facts of the file that this was salvaged from are lost from here on, in a sentence.
    LinesLost(String),
    /// This fact is lost like the one before it.
    LostToo(Seq),
    /// The session was salvaged: made of what verified in a damaged file.
    Salvaged {
        /// That file's name.
        file: String,
        /// What was found in it, in sentences.
        words: String,
    },
}

/// Which of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum FileMarkKind {
    /// [`FileMark::EndSetAside`].
    EndSetAside,
    /// [`FileMark::ContinuedInPart`].
    ContinuedInPart,
    /// [`FileMark::BegunBeside`].
    BegunBeside,
    /// [`FileMark::LinesLost`].
    LinesLost,
    /// [`FileMark::LostToo`].
    LostToo,
    /// [`FileMark::Salvaged`].
    Salvaged,
}

impl FileMarkKind {
    const ALL: [Self; 6] = [
        Self::EndSetAside,
        Self::ContinuedInPart,
        Self::BegunBeside,
        Self::LinesLost,
        Self::LostToo,
        Self::Salvaged,
    ];

    /// It in two or three words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::EndSetAside => "end set aside",
            Self::ContinuedInPart => "continued in part",
            Self::BegunBeside => "begun beside",
            Self::LinesLost => "lines lost",
            Self::LostToo => "lost too",
            Self::Salvaged => "salvaged",
        }
    }

    /// Whether it stands where a fact was that is lost.
    #[must_use]
    pub const fn is_lost(self) -> bool {
        matches!(self, Self::LinesLost | Self::LostToo)
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

impl FileMark {
    /// The note that says it.
    #[must_use]
    pub fn note(&self) -> Note {
        let (kind, words) = match self {
            Self::EndSetAside(aside) => (FileMarkKind::EndSetAside, aside.to_string()),
            Self::ContinuedInPart { file, why } => (
                FileMarkKind::ContinuedInPart,
                format!(
                    "{file} had more than is here: {why}. What was signed before was signed over \
                     that file; sign anew what holds."
                ),
            ),
            Self::BegunBeside { file, why } => (
                FileMarkKind::BegunBeside,
                format!("{file} was left as it is when this was begun: {why}."),
            ),
            Self::LinesLost(gap) => (
                FileMarkKind::LinesLost,
                format!(
                    "{gap}. What was said there is not known: it may have taken back or left out what \
                     stands here, or said what station, unit or round the readings behind it are of."
                ),
            ),
            Self::LostToo(seq) => (FileMarkKind::LostToo, format!("line {seq}.")),
            Self::Salvaged { file, words } => (
                FileMarkKind::Salvaged,
                format!(
                    "what stands above is what verified in {file}. {words} What was signed there was \
                     signed over that file's lines and is not in force here; sign anew what holds."
                ),
            ),
        };
        Note { text: format!("{OWN}{}: {words}", kind.word()), about: None }
    }
}

impl Note {
    /// That the program read a channel's crosshair out to a trainee. Says nothing of the file, and is no
    /// [`FileMark`]; like one it is never undone.
    #[must_use]
    pub(crate) fn told(channel: Channel) -> Self {
        let text = format!("{OWN}told: the {channel} crosshair was read out.");
        Self { text, about: None }
    }

    /// Whose crosshair was read out, if it says that one was.
    #[must_use]
    pub(crate) fn told_channel(&self) -> Option<Channel> {
        Channel::BOTH.into_iter().find(|channel| *self == Self::told(*channel))
    }

    /// The note of a mark's own words, from a file that keeps nothing else of it.
    ///
    /// # Errors
    /// Where they are none of the program's.
    pub(crate) fn of_mark(text: String) -> Result<Self, BadField> {
        let note = Self { text, about: None };
        let known = FileMarkKind::of(&note).is_some();
        known.then_some(note).ok_or_else(|| BadField::new("it is no note of the program's own"))
    }

    /// Whether its text begins with the program's own words, which no hand's note may.
    #[must_use]
    pub fn is_in_the_programs_words(&self) -> bool {
        self.text.trim_start().starts_with(OWN.trim_end())
    }
}
