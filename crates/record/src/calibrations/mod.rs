//! A station's calibration: which way its numbers run, what was shown to it and what was read, in the shop's
//! `calibrations/`, one append-only file each time, kept as a session is kept. The map that follows is worked
//! out from that whenever it is asked for.
//!
//! - what can be said is here; [`fold`](mod@fold): what the facts come to, and what may be said next; what
//!   it shares with other such files: [`journal`](crate::journal);
//! - [`outcome`]: the maps that follow, and what is missing; [`signed`]: the numbers a hand signs;
//! - [`source`]: the words in a station's file that name the calibration its map was found by;
//! - [`told`]: a map in words;
//! - [`reviewed`]: whether what was signed follows; [`noted`]: its signature in the shop's ledger;
//! - `wire`: the words of its formats.

pub mod fold;
pub mod noted;
pub mod outcome;
pub mod reviewed;
pub mod signed;
pub mod source;
pub mod told;
mod wire;

use jiff::civil::Date;
use solver::Channel;

use crate::axis::Axis;
use crate::fact::texts::texts;
use crate::fact::{Seq, Withdrawn};
use crate::journal::{JournalFact, JournalFile, JournalHeader};
use crate::number::Typed;

pub use crate::journal::fold::fold;
pub use fold::{Calibrating, KnownShown, ReadingOf};
pub use outcome::{Arrows, CalibrationGap, CalibrationOutcome};
pub use reviewed::{CalibrationReview, review_calibration};
pub use signed::{CalibrationSigned, SignedMap};
pub use source::FoundBy;

/// A calibration's file.
pub type CalibrationFile = JournalFile<CalibrationBody>;

/// A fact of a calibration.
pub type CalibrationFact = JournalFact<CalibrationBody>;

/// How a calibration begins.
pub type CalibrationHeader = JournalHeader<CalibrationAbout>;

/// What a hand says in a calibration.
#[derive(Clone, Debug, PartialEq)]
pub enum CalibrationBody {
    /// Which way a number went.
    Flip(FlipSeen),
    /// A known deviation is shown.
    Shown(DeviationShown),
    /// It was read.
    Read(DeviationRead),
    /// A reading or a deviation is left out, with the reason; a deviation takes its readings with it.
    Withdrawn(Withdrawn),
    /// What certificate, how well known, to which day: the last word counts.
    Terms(CalibrationTerms),
    /// A hand signs what follows.
    Signed(CalibrationSigned),
}

/// What a calibration is about.
#[derive(Clone, Debug, PartialEq)]
pub struct CalibrationAbout {
    /// The station's name.
    pub station: String,
}

/// What was seen when a crosshair was put to the right (x) or up (y) as the user sees it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FlipSeen {
    /// Whose crosshair.
    pub channel: Channel,
    /// Right, or up.
    pub axis: Axis,
    /// Whether the number of that axis fell.
    pub falls: bool,
}

/// A deviation that is known: none at all is boresight.
#[derive(Clone, Debug, PartialEq)]
pub struct DeviationShown {
    /// Across, arcminutes, right positive as the user sees it, as typed.
    pub x: Typed,
    /// Up, arcminutes, as typed.
    pub y: Typed,
    /// Its own standard uncertainty, each axis, arcminutes, as typed; `None`: none is stated.
    pub u: Option<Typed>,
    /// What it is and by what it is known: a wedge's number, graticule marks, a turned reference.
    pub source: String,
}

/// What was read of a deviation, divisions.
#[derive(Clone, Debug, PartialEq)]
pub struct DeviationRead {
    /// Which deviation: the `seq` of its fact.
    pub deviation: Seq,
    /// Whose crosshair.
    pub channel: Channel,
    /// x, as typed.
    pub x: Typed,
    /// y, as typed.
    pub y: Typed,
}

/// What holds for the whole calibration.
#[derive(Clone, Debug, PartialEq)]
pub struct CalibrationTerms {
    /// The certificate of what was shown, or who did it.
    pub certificate: String,
    /// Standard uncertainty of a reading, each axis, divisions; `None`: the scatter tells it.
    pub sigma: Option<Typed>,
    /// What all deviations have in common, x: standard, arcminutes (GUM, JCGM 100:2008, 4.3, type B).
    pub common_x: Option<Typed>,
    /// The same, y.
    pub common_y: Option<Typed>,
    /// Whether each axis has a scale of its own.
    pub each_axis: bool,
    /// The day it was done.
    pub done: Date,
    /// The last day it holds.
    pub due: Date,
}

texts!(enum CalibrationBody { Shown, Withdrawn, Terms, Signed; Flip, Read; });
texts!(CalibrationAbout { station; });
texts!(DeviationShown { source; x, y, u });
texts!(CalibrationTerms { certificate; sigma, common_x, common_y, each_axis, done, due });
