//! How a station stands on a day by its check standard.

use core::fmt;

use jiff::civil::Date;

use super::chart::BrokenLimit;
use super::{BASELINE_DAYS, CheckPoint, CheckReading, Checks};
use crate::axis::Axis;
use crate::fact::DayNote;
use crate::figures::listed;
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
        findings: Vec<BrokenLimit>,
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
        /// What was read on this one.
        today: ReadOn,
    },
    /// There are enough days, but nobody drew limits from them.
    NoLimits {
        /// Days so far.
        days: usize,
        /// What was read on this one.
        today: ReadOn,
    },
}

/// What was read of a check standard on a day on which nothing judges it yet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReadOn {
    /// When it was last read; `None`: not at all.
    pub at: Option<Stamp>,
    /// The points of earlier days that were not.
    pub missing: Vec<CheckPoint>,
}

impl ReadOn {
    /// When the last of all points was read; `None` while one is missing.
    #[must_use]
    pub fn whole(&self) -> Option<Stamp> {
        self.at.filter(|_| self.missing.is_empty())
    }

    /// Whether it was checked, in words; nothing judges it, for the reason behind them.
    fn words(&self) -> String {
        match (self.at, self.missing.as_slice()) {
            (None, _) => "not checked today".to_owned(),
            (Some(at), []) => {
                format!("checked today at {}, cannot be judged yet", at.time_of_day())
            }
            (Some(_), missing) => still_to_read(missing),
        }
    }
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
            Self::NotChecked { begun: false, .. } => f.write_str(NOT_CHECKED),
            Self::NotChecked { missing, .. } => f.write_str(&still_to_read(missing)),
            Self::TooFew { days, needed, today } => write!(
                f,
                "{}: too few days for limits ({days} of {needed}); read the check standard each day",
                today.words()
            ),
            Self::NoLimits { days, today } => write!(
                f,
                "{}: {days} days were read but no limits are drawn; look at them, then draw the limits",
                today.words()
            ),
        }
    }
}

/// Said of a station that was not read today.
pub const NOT_CHECKED: &str = "not checked today; read the check standard";

fn still_to_read(missing: &[CheckPoint]) -> String {
    format!("not checked yet today: still to be read: {}", listed(missing, "; "))
}

/// What the note of a check begins with that a standard gave.
fn given_by(standard: &str) -> String {
    format!("check standard {standard}: ")
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
            let (days, today) = (fewest.unwrap_or(0), self.read_on(day));
            return if days < BASELINE_DAYS {
                CheckState::TooFew { days, needed: BASELINE_DAYS, today }
            } else {
                CheckState::NoLimits { days, today }
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

    /// What is to be read next on a day: a point still missing; the other channel, before anybody showed
    /// that the standard has one alone; else channel by channel in turn, what was read least and longest
    /// ago.
    #[must_use]
    pub fn next_point(&self, day: Date) -> Option<CheckPoint> {
        if let CheckState::NotChecked { missing, .. } = self.state_on(day) {
            return missing.first().copied();
        }
        let points = self.points();
        let today = |point: CheckPoint| {
            let of_point = self.comparable().filter(move |held| held.taken.point() == point);
            of_point.filter(|held| held.time.date() == day)
        };
        let last = self.comparable().last().filter(|held| held.time.date() == day);
        let Some(last) = last.map(|held| held.taken.point()) else {
            return points.first().copied();
        };
        if let Some(missing) = points.iter().find(|point| today(**point).next().is_none()) {
            return Some(*missing);
        }
        let other = CheckPoint { channel: last.channel.other(), ..last };
        let of_channel = points.iter().any(|point| point.channel == other.channel);
        let earlier_day = self.comparable().any(|held| held.time.date() < day);
        if !of_channel && !earlier_day {
            return Some(other);
        }
        let order = |point: &&CheckPoint| {
            let (count, seq) =
                today(**point).fold((0, 0), |(count, _), held| (count + 1, held.seq));
            (count, point.channel == last.channel, seq)
        };
        points.iter().min_by_key(order).copied()
    }

    fn read_on(&self, day: Date) -> ReadOn {
        let of_day = |held: &&CheckReading| held.time.date() == day;
        let read: Vec<&CheckReading> = self.comparable().filter(of_day).collect();
        let was_read = |point: &CheckPoint| read.iter().any(|held| held.taken.point() == *point);
        let missing = self.points().into_iter().filter(|point| !was_read(point)).collect();
        ReadOn { at: read.last().map(|held| held.time), missing }
    }

    /// The note of the day that a session copies in where the standard was read, all of it, and nothing
    /// judges it yet; `None` where it was not, or where it decides.
    #[must_use]
    pub fn unjudged_note(&self, day: Date) -> Option<DayNote> {
        let state = self.state_on(day);
        let (CheckState::TooFew { today, .. } | CheckState::NoLimits { today, .. }) = &state else {
            return None;
        };
        today.whole()?;
        let about = self.about()?;
        Some(DayNote::checked(&about.station, &format!("{}: {state}", about.standard)))
    }

    /// The daily check that a session on this day copies in with its station; `None` where the standard
    /// does not decide it, and what the station says itself stands.
    #[must_use]
    pub fn daily_check(&self, day: Date) -> Option<DailyCheck> {
        let state = self.state_on(day);
        let standard = self.about().map_or("", |about| about.standard.as_str());
        let note = format!("{}{state}", given_by(standard));
        match state {
            CheckState::InControl { at } => Some(DailyCheck { time: at, passed: true, note }),
            CheckState::Outside { at, .. } => Some(DailyCheck { time: at, passed: false, note }),
            CheckState::NotChecked { .. }
            | CheckState::TooFew { .. }
            | CheckState::NoLimits { .. } => None,
        }
    }

    /// Whether it was the standard that gave a daily check, and not a hand.
    #[must_use]
    pub fn gave(&self, check: &DailyCheck) -> bool {
        let about = self.about();
        about.is_some_and(|about| check.note.starts_with(&given_by(&about.standard)))
    }

    /// What a session on a day copies in of it.
    #[must_use]
    pub fn on(&self, day: Date) -> CheckedOn {
        CheckedOn { day, decided: self.daily_check(day), unjudged: self.unjudged_note(day) }
    }
}

/// What a session on a day copies in of its station's check file.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckedOn {
    /// The day.
    pub day: Date,
    /// What the standard decides; `None` where it does not.
    pub decided: Option<DailyCheck>,
    /// What is noted where all of it was read and nothing judges it yet.
    pub unjudged: Option<DayNote>,
}

impl CheckedOn {
    /// The station with the check its standard gives. A failed check on the standard is never covered by
    /// an earlier one that passed.
    #[must_use]
    pub fn as_checked(&self, station: Station) -> Station {
        match &self.decided {
            Some(decided) => Station { checked: Some(decided.clone()), ..station },
            None => station,
        }
    }
}
