//! What is noted of the working day in a session: a handover and that it was read, how the unit came in,
//! that nothing was touched while work rested, a check of the station that nothing judges yet, and which readings
//! were one sweep of a ring.
//!
//! Formats 1 and 2 are frozen and have no words of their own for these: each is a [`Note`] whose text
//! begins with words of the program's own, as a [`FileMark`](super::FileMark) does, which no other note may begin
//! with. Unlike a mark it is somebody's word, and can be undone.

use solver::Channel;

use super::mark::OWN;
use super::{Note, Seq};

/// Something noted of the working day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct DayNote {
    /// What it is.
    pub kind: DayKind,
    /// What it says.
    pub text: String,
    /// The fact it is about: the handover that was read.
    pub about: Option<Seq>,
}

/// Which of them.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DayKind {
    /// The station was read against its check standard, all of it, and nothing judges that yet.
    Checked,
    /// What a hand leaves to the next: what was done, what is next.
    Handover,
    /// The next hand read it.
    HandoverRead,
    /// In which condition the unit came in.
    Condition,
    /// What came with it.
    Accessories,
    /// Nothing but rings was touched while work rested: the round goes on.
    Untouched,
    /// A ring was turned once round before the camera: the readings from the one it names on were logged in one go.
    Swept,
}

impl DayKind {
    /// Longer words first: one begins as another does.
    const ALL: [Self; 7] = [
        Self::Checked,
        Self::HandoverRead,
        Self::Handover,
        Self::Condition,
        Self::Accessories,
        Self::Untouched,
        Self::Swept,
    ];

    /// It in two or three words.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Checked => "checked, not judged",
            Self::Handover => "handover",
            Self::HandoverRead => "handover read",
            Self::Condition => "condition received in",
            Self::Accessories => "accessories received",
            Self::Untouched => "work resumed",
            Self::Swept => "sweep ended",
        }
    }

    /// What a note is, if it is one of these.
    #[must_use]
    pub fn of(note: &Note) -> Option<Self> {
        Self::split(note).map(|(kind, _)| kind)
    }

    fn split(note: &Note) -> Option<(Self, &str)> {
        let rest = note.text.strip_prefix(OWN)?;
        Self::ALL
            .into_iter()
            .find_map(|kind| Some((kind, rest.strip_prefix(kind.word())?.strip_prefix(": ")?)))
    }
}

impl DayNote {
    /// What a note says, if it is one of these.
    #[must_use]
    pub fn of(note: &Note) -> Option<Self> {
        let (kind, text) = DayKind::split(note)?;
        Some(Self { kind, text: text.to_owned(), about: note.about })
    }

    /// One that is about no other fact.
    #[must_use]
    pub fn said(kind: DayKind, text: &str) -> Self {
        Self { kind, text: text.trim().to_owned(), about: None }
    }

    /// A station was read against its standard, and nothing judges that yet. `words`: the standard and how
    /// it stands.
    #[must_use]
    pub fn checked(station: &str, words: &str) -> Self {
        Self::said(DayKind::Checked, &format!("{station}{READ_AGAINST}{words}"))
    }

    /// What was done and what is next; what is left out is not mentioned.
    #[must_use]
    pub fn handover(done: &str, next: &str) -> Self {
        let parts = [("done: ", done.trim()), ("next: ", next.trim())];
        let said = parts.into_iter().filter(|(_, text)| !text.is_empty());
        let said: Vec<String> = said.map(|(word, text)| format!("{word}{text}")).collect();
        Self::said(DayKind::Handover, &said.join(" · "))
    }

    /// A handover was read.
    #[must_use]
    pub fn read(handover: Seq) -> Self {
        let text = format!("what stands in fact {handover}");
        Self { about: Some(handover), ..Self::said(DayKind::HandoverRead, &text) }
    }

    /// A sweep of a channel's ring ended. `first`: its first reading; `places`: how many.
    #[must_use]
    pub fn swept(channel: Channel, first: Seq, places: usize) -> Self {
        let text = format!("{places} places of the {channel} ring from reading {first} on");
        Self { about: Some(first), ..Self::said(DayKind::Swept, &text) }
    }

    /// The note that says it.
    #[must_use]
    pub fn note(&self) -> Note {
        let Self { kind, text, about } = self;
        Note { text: format!("{OWN}{}: {text}", kind.word()), about: *about }
    }

    /// A station counts as not checked any more: what was read of its standard was withdrawn.
    #[must_use]
    pub fn not_checked(station: &str, words: &str) -> Self {
        Self::said(DayKind::Checked, &format!("{station}{NOT_CHECKED}{words}"))
    }

    /// Whether a station of this name was checked, if this tells of that.
    #[must_use]
    pub fn is_check_of(&self, station: &str) -> Option<bool> {
        let rest = self.text.strip_prefix(station).filter(|_| self.kind == DayKind::Checked)?;
        let was = rest.starts_with(READ_AGAINST);
        (was || rest.starts_with(NOT_CHECKED)).then_some(was)
    }
}

/// Between a station's name and its standard's.
const READ_AGAINST: &str = " was read against ";
/// The same where that holds no longer.
const NOT_CHECKED: &str = " counts as not checked: ";

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_said_comes_back_and_no_other_note_is_one() {
        let checked = DayNote::checked("Bench 2", "target plate: checked today");
        for day in [
            checked.clone(),
            DayNote::handover("both logged", "shim the right tube"),
            DayNote::read(7),
            DayNote::said(DayKind::Condition, "scratched: left objective"),
            DayNote::said(DayKind::Accessories, "case, strap"),
            DayNote::said(DayKind::Untouched, "14 h after the last reading"),
            DayNote::swept(Channel::Left, 12, 34),
        ] {
            assert_eq!(DayNote::of(&day.note()), Some(day));
        }
        assert_eq!(["Bench 2", "Bench"].map(|name| checked.is_check_of(name)), [Some(true), None]);
        let gone = DayNote::not_checked("Bench 2", "withdrawn");
        assert_eq!(gone.is_check_of("Bench 2"), Some(false));
        for text in ["handover: done", "samepoint notes, salvaged: x", "samepoint notes, handover"]
        {
            assert_eq!(DayNote::of(&Note { text: text.to_owned(), about: None }), None, "{text}");
        }
        assert_eq!(DayNote::handover(" ", "next thing ").text, "next: next thing");
        assert!(DayNote::handover("", " ").text.is_empty());
    }
}
