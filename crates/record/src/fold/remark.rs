//! What the fold noticed: nothing that stops the work, all of it worth saying.

use core::fmt;

use solver::Channel;

use crate::fact::{FileMarkKind, Seq};

/// Something worth saying about a session's facts.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum Remark {
    /// The program noted something about the session's file.
    Marked {
        /// The fact.
        seq: Seq,
        /// What.
        kind: FileMarkKind,
        /// Its words.
        text: String,
    },
    /// A fact that could not be taken at its word.
    Ignored {
        /// The fact.
        seq: Seq,
        /// Why, and what to do.
        why: String,
    },
    /// The clock stepped back before a fact.
    ClockSteppedBack {
        /// The fact.
        seq: Seq,
        /// By how much, milliseconds.
        milliseconds: i64,
    },
    /// A reading's number cannot be turned into a direction.
    NotMapped {
        /// The reading.
        seq: Seq,
        /// Why, and what to do.
        why: String,
    },
    /// A round has readings under two stations or two maps.
    StationChanged {
        /// The round.
        round: Seq,
        /// The first reading under the second.
        seq: Seq,
    },
    /// A round has readings of the unit before and after it was built differently.
    UnitChanged {
        /// The round.
        round: Seq,
        /// The first reading of the unit as changed.
        seq: Seq,
    },
    /// Log readings of a channel that were not taken where the unit was set up, so that its circle is not
    /// fitted to them.
    NotAtSetUp {
        /// The round.
        round: Seq,
        /// Whose.
        channel: Channel,
        /// The first of them.
        seq: Seq,
        /// How many.
        count: usize,
    },
    /// Some readings of a channel were approached clockwise, some counter-clockwise.
    MixedApproaches {
        /// The round.
        round: Seq,
        /// Whose.
        channel: Channel,
    },
}

impl fmt::Display for Remark {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Marked { seq, text, .. } => {
                write!(f, "fact {seq}, {}", text.strip_suffix('.').unwrap_or(text))
            }
            Self::Ignored { seq, why } => write!(f, "fact {seq} is left aside: {why}"),
            Self::ClockSteppedBack { seq, milliseconds } => write!(
                f,
                "the clock stepped back by {} before fact {seq}; the order of facts is as they were \
                 entered; check the computer's clock",
                if milliseconds.abs() < 1000 {
                    format!("{milliseconds} ms")
                } else {
                    format!("{:.1} s", *milliseconds as f64 / 1000.0)
                }
            ),
            Self::NotMapped { seq, why } => write!(f, "reading {seq} is not used: {why}"),
            Self::StationChanged { seq, .. } => write!(
                f,
                "the station changed within the round before reading {seq}; open a new round and read \
                 again"
            ),
            Self::UnitChanged { seq, .. } => write!(
                f,
                "the unit was changed within the round before reading {seq}; open a new round and \
                 read again"
            ),
            Self::NotAtSetUp { channel, seq, count: 1, .. } => write!(
                f,
                "the {channel} circle is not fitted to reading {seq}: it was taken at another \
                 interpupillary distance or stop than the unit was set up at"
            ),
            Self::NotAtSetUp { channel, seq, count, .. } => write!(
                f,
                "the {channel} circle is not fitted to {count} readings, the first of them reading {seq}: \
                 they were taken at another interpupillary distance or stop than the unit was set up at"
            ),
            Self::MixedApproaches { channel, .. } => write!(
                f,
                "the {channel} ring was approached from both sides; its play is in the readings"
            ),
        }
    }
}
