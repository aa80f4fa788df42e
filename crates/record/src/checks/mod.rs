//! The check standard of a station: the same thing read each day, in the shop's `checks/`, one
//! append-only file a station, kept as a session is kept.
//!
//! - what can be said is here; [`fold`](mod@fold): what the facts come to, and what may be said next; what
//!   it shares with other such files: [`journal`](crate::journal);
//! - [`limits`]: drawn from a baseline's days; [`chart`]: the days of one point and axis against them;
//! - [`state`]: how the station stands on a day, and the daily check a session copies in;
//! - `wire`: the words of its formats.
//!
//! # Source
//! NIST/SEMATECH *e-Handbook of Statistical Methods*, 2.2 (a check standard is read on each
//! occasion, limits come from past occasions, the short-term spread has a limit of its own).

pub mod chart;
pub mod fold;
pub mod limits;
pub mod state;
mod wire;

use core::fmt;

use solver::angle::{reduced_deg, turn_deg};
use solver::error::told;
use solver::{Channel, Direction};

use crate::error::Error;
use crate::fact::texts::texts;
use crate::fact::{Approach, Seq, Withdrawn};
use crate::journal::{JournalFact, JournalFile, JournalHeader, Logged};
use crate::number::Typed;
use crate::station::{ReadingUnit, StationMap};

pub use crate::journal::fold::fold;
pub use chart::{BrokenLimit, ChartedDay, LimitRule};
pub use fold::Checks;
pub use limits::{CheckDay, PointLimits};
pub use state::{CheckState, CheckedOn, NOT_CHECKED, ReadOn};

/// Days of a baseline before limits may be drawn from it: common practice, no source; the worked
/// examples of the handbook have 10 (6.3.2.2) to 25 (2.6.2).
pub const BASELINE_DAYS: usize = 10;

/// Ring angles closer than this are the same, degrees: far below what any ring shows.
const SAME_ANGLE_DEG: f64 = 1e-9;

/// A station's check file.
pub type CheckFile = JournalFile<CheckBody>;

/// A fact of a check file.
pub type CheckFact = JournalFact<CheckBody>;

/// How a check file begins.
pub type CheckHeader = JournalHeader<CheckAbout>;

/// What a hand says in a check file.
#[derive(Clone, Debug, PartialEq)]
pub enum CheckBody {
    /// The standard was read.
    Taken(CheckTaken),
    /// A reading that was real is left out, with the reason.
    Withdrawn(Withdrawn),
    /// Limits are drawn from these readings, and hold until others are.
    Limits(CheckLimits),
    /// The station was zeroed, mended or calibrated, or the standard replaced: days before are not
    /// compared with days after. The reason.
    StartedAnew(String),
}

/// What a check file is about.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckAbout {
    /// The station's name.
    pub station: String,
    /// What is read: the standard's name or number.
    pub standard: String,
    /// Where it points, as far as that is known.
    pub accepted: Vec<Accepted>,
}

/// Where a standard points by its certificate.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Accepted {
    /// Which of its points.
    pub point: CheckPoint,
    /// Where it points, x and y, arcminutes.
    pub direction_arcmin: [f64; 2],
    /// Standard uncertainty of that, each axis, arcminutes; 0 when none is stated.
    pub u_arcmin: f64,
}

/// What is read of a standard: one channel, at one ring angle if it has a ring.
#[derive(Clone, Copy, Debug)]
pub struct CheckPoint {
    /// Whose crosshair.
    pub channel: Channel,
    /// The ring angle, degrees; `None` where the standard has no ring or it stays untouched.
    pub ring_deg: Option<f64>,
}

/// Ring angles a turn apart are the same.
impl PartialEq for CheckPoint {
    fn eq(&self, other: &Self) -> bool {
        self.channel == other.channel
            && match (self.ring_deg, other.ring_deg) {
                (None, None) => true,
                (Some(a), Some(b)) => turn_deg(a, b).abs() <= SAME_ANGLE_DEG,
                _ => false,
            }
    }
}

impl fmt::Display for CheckPoint {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.channel)?;
        self.ring_deg.map_or(Ok(()), |deg| write!(f, ", ring {}°", told(reduced_deg(deg))))
    }
}

/// A reading of the standard that was logged.
pub type CheckReading = Logged<CheckTaken>;

/// One reading of the standard.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckTaken {
    /// Whose crosshair.
    pub channel: Channel,
    /// The ring angle, degrees.
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

impl CheckTaken {
    /// What was read.
    #[must_use]
    pub fn point(&self) -> CheckPoint {
        CheckPoint { channel: self.channel, ring_deg: self.ring_deg.as_ref().map(Typed::value) }
    }

    /// Where it points.
    ///
    /// # Errors
    /// [`Error::BeyondField`].
    pub fn direction(&self) -> Result<Direction, Error> {
        let typed = [self.x.value(), self.y.value()];
        let direction = self.map.direction_from_typed(self.unit, typed);
        crate::fold::round::within_field(direction)?;
        Ok(direction)
    }
}

/// Limits by decision: from these readings, in this way, and not worked out again when readings
/// are added or withdrawn.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckLimits {
    /// The readings of the baseline, by `seq`.
    pub from: Vec<Seq>,
    /// Where the spread of a day's value comes from.
    pub spread: SpreadFrom,
    /// How many standard deviations the limits lie from the centre; 3 is usual.
    pub factor: f64,
    /// Weight of the newest day in the moving average, above 0 and up to 1; 0.2 to 0.3 is usual.
    pub weight: f64,
    /// Share of days whose own scatter stays below its limit while all is well.
    pub scatter_share: f64,
    /// Why these, in the hand's words.
    pub reason: String,
}

impl CheckLimits {
    /// The usual limits from a baseline: three standard deviations by moving range, weight 0.3,
    /// scatter to 99 %.
    #[must_use]
    pub fn usual(from: Vec<Seq>, reason: &str) -> Self {
        Self {
            from,
            spread: SpreadFrom::MovingRange,
            factor: 3.0,
            weight: 0.3,
            scatter_share: 0.99,
            reason: reason.to_owned(),
        }
    }
}

/// Where the spread of a day's value comes from.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum SpreadFrom {
    /// How far each day lies from the one before.
    MovingRange,
    /// The standard deviation of the days.
    Deviation,
}

texts!(enum CheckBody { Withdrawn, Limits, StartedAnew; Taken; });
texts!(CheckAbout { station, standard; accepted });
texts!(CheckLimits { reason; from, spread, factor, weight, scatter_share });
