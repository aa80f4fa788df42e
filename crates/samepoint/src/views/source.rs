//! What a picture of a session is made from, and the sentences it is made of.

use record::fact::Seq;
use record::{ApproachUsed, ReadingUnit, Station};
use solver::{PerChannel, Problem};

use super::log::Log;
use super::overlay::Overlay;
use crate::widgets::Tone;

/// A sentence with its tone.
#[derive(Clone, Debug, PartialEq)]
pub struct TonedSentence {
    /// How it is meant.
    pub tone: Tone,
    /// The sentence.
    pub text: String,
}

impl TonedSentence {
    pub(crate) fn look(text: impl Into<String>) -> Self {
        Self { tone: Tone::Look, text: text.into() }
    }

    pub(crate) fn plain(text: impl Into<String>) -> Self {
        Self { tone: Tone::Plain, text: text.into() }
    }
}

/// What a picture is made from.
#[derive(Clone, Copy, Debug)]
pub struct ReadingsFrom<'a> {
    /// The round's readings.
    pub log: &'a Log,
    /// The round as a problem.
    pub problem: &'a Problem,
    /// Where each ring and crosshair is now: the last reading in use.
    pub place: PerChannel<Option<solver::Reading>>,
    /// The way each ring was approached when logging.
    pub approach: PerChannel<ApproachUsed>,
    /// The station in force.
    pub station: Option<&'a Station>,
    /// The smallest step a ring can be set to, degrees.
    pub ring_step_deg: f64,
    /// The unit being read.
    pub unit: ReadingUnit,
    /// The reading selected in the log.
    pub selected: Option<Seq>,
    /// What is laid beside the readings: a setting by hand, circles that are not this round's.
    pub aside: &'a Overlay,
}
