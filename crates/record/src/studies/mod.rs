//! Repeatability and reproducibility of a bench: the same parts read by several hands several times
//! in random order, one append-only file a study in the shop's `studies/`.
//!
//! - what can be said is here; [`plan`]: parts, hands, trials and their order;
//! - [`fold`](mod@fold): what was measured, what comes next, what may be said; what it shares with other
//!   such files: [`journal`](crate::journal);
//! - [`result`]: each axis by analysis of variance and by average and range;
//! - `wire`: the words of its formats.
//!
//! # Source
//! AIAG, *Measurement Systems Analysis*, 4th ed. (2010), chapter III section B.

pub mod fold;
pub mod plan;
pub mod result;
mod wire;

use solver::Channel;

use crate::fact::texts::texts;
use crate::fact::{Approach, Withdrawn};
use crate::journal::{JournalFact, JournalFile, JournalHeader, Logged};
use crate::number::Typed;
use crate::station::{ReadingUnit, StationMap};

pub use crate::journal::fold::fold;
pub use fold::Study;
pub use plan::{Plan, PlanCell};
pub use result::{AxisResult, LimitShare, Results, StudyGap};

/// A study's file.
pub type StudyFile = JournalFile<StudyBody>;

/// A fact of a study.
pub type StudyFact = JournalFact<StudyBody>;

/// How a study begins.
pub type StudyHeader = JournalHeader<StudyAbout>;

/// What a hand says in a study.
#[derive(Clone, Debug, PartialEq)]
pub enum StudyBody {
    /// One cell was measured.
    Measured(CellMeasured),
    /// A measurement that was real is left out, with the reason; its cell is open again.
    Withdrawn(Withdrawn),
}

/// What a study is about.
#[derive(Clone, Debug, PartialEq)]
pub struct StudyAbout {
    /// The station studied.
    pub station: String,
    /// Which channel's crosshair is read.
    pub channel: Channel,
    /// What is to be measured, and in which order.
    pub plan: Plan,
}

/// A measurement that was logged.
pub type LoggedMeasurement = Logged<CellMeasured>;

/// One measurement of one cell.
#[derive(Clone, Debug, PartialEq)]
pub struct CellMeasured {
    /// Which part, hand and trial.
    pub cell: PlanCell,
    /// The ring angle, degrees, when the ring is read.
    pub ring_deg: Option<Typed>,
    /// Across, as typed.
    pub x: Typed,
    /// Up, as typed.
    pub y: Typed,
    /// The unit x and y were typed in.
    pub unit: ReadingUnit,
    /// The channel's map as the station had it.
    pub map: StationMap,
    /// The way the ring was turned to get there.
    pub approach: Approach,
}

texts!(enum StudyBody { Withdrawn; Measured; });
texts!(StudyAbout { station, plan; channel });
