//! What a picture of a session is made from, and the sentences and rows it is made of.

use record::fact::{Approach, Purpose, Seq};
use record::{ApproachUsed, ReadingUnit, Station};
use solver::{PerChannel, Problem, Residual};

use super::aside::Aside;
use crate::widgets::Tone;

/// A reading as the log shows it.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// The reading's identity.
    pub seq: Seq,
    /// Its place among this channel's readings of the round, from 1.
    pub number: usize,
    /// Ring angle as typed, with a true minus sign, as x and y are.
    pub ring: Option<String>,
    /// x as typed.
    pub x: String,
    /// y as typed.
    pub y: String,
    /// Unit as typed.
    pub unit: ReadingUnit,
    /// What it is for.
    pub purpose: Purpose,
    /// Where it points and at what ring angle.
    pub reading: solver::Reading,
    /// The way the ring was turned.
    pub approach: Approach,
    /// What else was noted with it, as recorded: lock, seating, place, dioptre.
    pub noted: Vec<String>,
    /// What it leaves over, once its circle is known.
    pub residual: Option<Residual>,
}

/// A sentence with its tone.
#[derive(Clone, Debug, PartialEq)]
pub struct Remark {
    /// How it is meant.
    pub tone: Tone,
    /// The sentence.
    pub text: String,
}

impl Remark {
    pub(super) fn look(text: impl Into<String>) -> Self {
        Self { tone: Tone::Look, text: text.into() }
    }

    pub(super) fn plain(text: impl Into<String>) -> Self {
        Self { tone: Tone::Plain, text: text.into() }
    }
}

/// What a picture is made from.
#[derive(Clone, Copy, Debug)]
pub struct Source<'a> {
    /// The round's readings, without residuals.
    pub rows: &'a PerChannel<Vec<Row>>,
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
    pub aside: &'a Aside,
}
