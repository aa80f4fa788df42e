//! How a station stands on a day by its check standard.

use core::fmt;

use jiff::civil::Date;

use super::chart::Finding;
use super::{BASELINE_DAYS, CheckPoint, Checks};
use crate::axis::Axis;
use crate::journal::Meaning as _;
use crate::stamp::Stamp;
use crate::station::{DailyCheck, Station};

/// How a station stands on a day.
#[derive(Clone, Debug, PartialEq)]
pub enum CheckState {
    /// Every point of the baseline was read and kept every limit.
    InControl {
        /// When the last of them was read.
        at: Stamp,
    },
    /// A limit was broken.
    Outside {
        /// When the standard was last read.
        at: Stamp,
        /// Which, with the numbers; at least one.
        findings: Vec<Finding>,
    },
    /// The standard was not read, or not all of it.
    NotChecked {
        /// The points still to be read; all of them when nothing was.
        missing: Vec<CheckPoint>,
        /// Whether some were read.
        begun: bool,
    },
    /// There are not enough days to draw limits from.
    TooFew {
        /// Days so far, of the point that has fewest.
        days: usize,
        /// [`BASELINE_DAYS`].
        needed: usize,
    },
    /// There are enough days, but nobody drew limits from them.
    NoLimits {
        /// Days so far.
        days: usize,
    },
}

impl CheckState {
    /// Whether readings may be trusted on the strength of it.
    #[must_use]
    pub const fn is_in_control(&self) -> bool {
        matches!(self, Self::InControl { .. })
    }
}

impl fmt::Display for CheckState {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::InControl { at } => write!(f, "in control, read at {}", at.time_of_day()),
            Self::Outside { findings, .. } => {
                write!(f, "outside: {}", listed(findings, "; "))?;
                f.write_str("; read again, then find the cause before any unit is judged")
            }
            Self::NotChecked { begun: false, .. } => {
                f.write_str("not checked today; read the check standard")
            }
            Self::NotChecked { missing, .. } => {
                write!(f, "not checked yet today: still to be read: {}", listed(missing, "; "))
            }
            Self::TooFew { days, needed } => write!(
                f,
                "too few days to judge ({days} of {needed}); read the check standard each day"
            ),
            Self::NoLimits { days } => write!(
                f,
                "{days} days were read but no limits are drawn; look at them, then draw the limits"
            ),
        }
    }
}

fn listed<T: fmt::Display>(items: &[T], between: &str) -> String {
    items.iter().map(ToString::to_string).collect::<Vec<_>>().join(between)
}

impl Checks {
    /// How the station stands on a day.
    ///
    /// A broken limit tells even before all points were read. A file started anew needs limits of its
    /// own before it judges.
    #[must_use]
    pub fn state_on(&self, day: Date) -> CheckState {
        let began = self.began();
        let Some(limits) = self.limits.last().filter(|limits| limits.seq > began) else {
            let fewest = self.points().into_iter().map(|point| self.days(point).len()).min();
            let days = fewest.unwrap_or(0);
            return if days < BASELINE_DAYS {
                CheckState::TooFew { days, needed: BASELINE_DAYS }
            } else {
                CheckState::NoLimits { days }
            };
        };
        let (mut missing, mut findings, mut last) = (Vec::new(), Vec::new(), None::<Stamp>);
        for point in self.points_of(&limits.body.from) {
            let Some(read) = self.days(point).into_iter().find(|held| held.day == day) else {
                missing.push(point);
                continue;
            };
            last = Some(match last {
                Some(last) if read.last.is_before(last) => last,
                _ => read.last,
            });
            for axis in Axis::BOTH {
                let charted = self.chart(point, axis).into_iter().find(|held| held.day == day);
                findings.extend(charted.into_iter().flat_map(|held| held.findings));
            }
        }
        match last {
            Some(at) if !findings.is_empty() => CheckState::Outside { at, findings },
            Some(at) if missing.is_empty() => CheckState::InControl { at },
            last => CheckState::NotChecked { missing, begun: last.is_some() },
        }
    }

    /// The daily check that a session on this day copies in with its station; `None` where the standard
    /// does not decide it, and what the station says itself stands.
    #[must_use]
    pub fn daily_check(&self, day: Date) -> Option<DailyCheck> {
        let state = self.state_on(day);
        let standard = self.about().map_or("", |about| about.standard.as_str());
        let note = format!("check standard {standard}: {state}");
        match state {
            CheckState::InControl { at } => Some(DailyCheck { time: at, passed: true, note }),
            CheckState::Outside { at, .. } => Some(DailyCheck { time: at, passed: false, note }),
            CheckState::NotChecked { .. }
            | CheckState::TooFew { .. }
            | CheckState::NoLimits { .. } => None,
        }
    }

    /// The station as a session on this day copies it in: with the check its standard gives. A
    /// failed check on the standard is never covered by an earlier one that passed.
    #[must_use]
    pub fn as_checked(&self, station: &Station, day: Date) -> Station {
        let checked = self.daily_check(day).or_else(|| station.checked.clone());
        Station { checked, ..station.clone() }
    }
}
