//! Faults that are planted in a unit, its bench or what was logged before the trainee came; and what a
//! trainee says of them.
//!
//! A finding is a note in plain words, `Found: moved dioptre, left channel`, so that it stands in the
//! file for anybody to read, and can be taken back like any note before the signature.

use core::fmt;

use solver::Channel;

use crate::fact::{Note, Seq};
use crate::fold::Session;

/// What can be wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Fault {
    /// A ring angle in the log that was taken over is not the one that was read.
    MisreadRing,
    /// The station's map of a channel has x the wrong way round.
    WrongFlip,
    /// A dioptre does not stand at zero.
    MovedDioptre,
    /// A ring with far more play than any of the grade.
    Play,
    /// The unit was not seated.
    BadSeating,
    /// The bench's boresight wanders.
    DriftedBench,
    /// A remedy was done and took no hold.
    RemedyDidNotTake,
    /// A cell is loose: the unit does not read the same twice and is not to be worked on.
    LooseCell,
}

impl Fault {
    /// All of them, in the order of the lessons.
    pub const ALL: [Self; 8] = [
        Self::MisreadRing,
        Self::WrongFlip,
        Self::MovedDioptre,
        Self::Play,
        Self::BadSeating,
        Self::DriftedBench,
        Self::RemedyDidNotTake,
        Self::LooseCell,
    ];

    /// What it is called.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::MisreadRing => "misread ring",
            Self::WrongFlip => "wrong flip",
            Self::MovedDioptre => "moved dioptre",
            Self::Play => "ring play",
            Self::BadSeating => "bad seating",
            Self::DriftedBench => "drifted bench",
            Self::RemedyDidNotTake => "remedy did not take",
            Self::LooseCell => "loose cell, unit refused",
        }
    }

    /// Whether it belongs to one channel.
    #[must_use]
    pub const fn is_of_a_channel(self) -> bool {
        !matches!(self, Self::BadSeating | Self::DriftedBench | Self::RemedyDidNotTake)
    }

    /// How it shows, in a sentence.
    #[must_use]
    pub const fn shows(self) -> &'static str {
        match self {
            Self::MisreadRing => {
                "One reading lies on its circle, but not where its ring angle says: it stands out by an \
                 angle. Leave it out with that reason, or read it again."
            }
            Self::WrongFlip => {
                "A crosshair seems to run against its ring, which no eyepiece does: the station's map of \
                 that channel has x the wrong way round."
            }
            Self::MovedDioptre => {
                "A dioptre stands off its zero; the channel's circle is moved as a whole, and moves back \
                 when it is zeroed. Zeroing it ends the round."
            }
            Self::Play => {
                "The same ring angle reads otherwise when it is reached from the other side, by far more \
                 than scatter."
            }
            Self::BadSeating => {
                "Both channels move together, by more than scatter, when the unit is taken off and \
                 seated again."
            }
            Self::DriftedBench => {
                "The round does not close, and both channels wander the same way as time goes on: zero \
                 the station anew and read the round again."
            }
            Self::RemedyDidNotTake => {
                "The round after the remedy shows the circles where they were, not where they were \
                 predicted: do it again and measure again."
            }
            Self::LooseCell => {
                "With nothing touched, the same ring reads otherwise at every look, by far more than the \
                 station's scatter: refuse the unit, and sign not measured."
            }
        }
    }
}

/// A fault in its place: what is planted, or what a trainee says is wrong.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct PlacedFault {
    /// What.
    pub fault: Fault,
    /// Whose channel, where it belongs to one.
    pub channel: Option<Channel>,
}

/// What a finding's note begins with.
const FOUND: &str = "Found: ";

impl PlacedFault {
    /// Of a fault; the channel only where it belongs to one.
    #[must_use]
    pub const fn new(fault: Fault, channel: Channel) -> Self {
        let channel = if fault.is_of_a_channel() { Some(channel) } else { None };
        Self { fault, channel }
    }

    /// The note that says it.
    #[must_use]
    pub fn note(self) -> Note {
        Note { text: format!("{FOUND}{self}"), about: None }
    }

    /// What a note says, if it says that something was found.
    #[must_use]
    pub fn of(note: &Note) -> Option<Self> {
        let said = note.text.trim().strip_prefix(FOUND)?;
        let every = Fault::ALL
            .into_iter()
            .flat_map(|fault| Channel::BOTH.map(|channel| Self::new(fault, channel)));
        every.into_iter().find(|finding| finding.to_string() == said)
    }

    /// What was said in a session, each thing once, in order.
    #[must_use]
    pub fn said(session: &Session) -> Vec<(Seq, Self)> {
        let mut said: Vec<(Seq, Self)> = Vec::new();
        for note in &session.notes {
            let Some(finding) = Self::of(&note.body) else { continue };
            if said.iter().all(|(_, before)| *before != finding) {
                said.push((note.seq, finding));
            }
        }
        said
    }
}

impl fmt::Display for PlacedFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.fault.word())?;
        self.channel.map_or(Ok(()), |channel| write!(f, ", {channel} channel"))
    }
}
