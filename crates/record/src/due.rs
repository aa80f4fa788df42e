//! The calibration list: what is due when, and how each station stands by its check standard.

use core::fmt;

use jiff::civil::Date;
use solver::upkeep::calibration::CalibrationState;

use crate::checks::{CheckState, Checks, NOT_CHECKED};
use crate::figures::counted_s;
use crate::station::Station;

/// A year is common practice, no source: the interval where a certificate names no day of its own.
const YEAR_DAYS: i64 = 365;

/// A station on the list.
#[derive(Clone, Debug, PartialEq)]
pub struct Due {
    /// The station's name.
    pub station: String,
    /// The last day its calibration holds; `None` without a calibration.
    pub due: Option<Date>,
    /// Where today lies; `None` without a calibration.
    pub calibration: Option<CalibrationState>,
    /// How it stands by its check standard.
    pub check: CheckFrom,
}

/// Where the day's check comes from.
#[derive(Clone, Debug, PartialEq)]
pub enum CheckFrom {
    /// A check file.
    File(CheckState),
    /// The station's own entry: whether it was checked today and read right.
    Entry {
        /// Whether there is a check of today.
        today: bool,
        /// Whether the last check, whenever, passed; `None`: there never was one.
        passed: Option<bool>,
    },
}

impl CheckFrom {
    /// Whether readings may be trusted today.
    #[must_use]
    pub const fn is_good(&self) -> bool {
        match self {
            Self::File(state) => state.is_in_control(),
            Self::Entry { today, passed } => *today && matches!(passed, Some(true)),
        }
    }

    const fn failed(&self) -> bool {
        matches!(
            self,
            Self::File(CheckState::Outside { .. }) | Self::Entry { passed: Some(false), .. }
        )
    }
}

/// The shop's stations with what is due, the most urgent first: a failed check, then overdue by how
/// long, then no calibration or a wrong date, then due soonest; of equals, those not checked today
/// first, then by name.
///
/// `warning_days` before the last day a calibration counts as due soon.
#[must_use]
pub fn due_list<'a>(
    stations: impl IntoIterator<Item = (&'a Station, Option<&'a Checks>)>,
    today: Date,
    warning_days: u32,
) -> Vec<Due> {
    let mut list: Vec<Due> = stations
        .into_iter()
        .map(|(station, checks)| due_of(station, checks, today, warning_days))
        .collect();
    list.sort_by(|a, b| {
        (a.urgency(), a.check.is_good(), &a.station).cmp(&(
            b.urgency(),
            b.check.is_good(),
            &b.station,
        ))
    });
    list
}

fn due_of(station: &Station, checks: Option<&Checks>, today: Date, warning_days: u32) -> Due {
    let calibration = station.calibration.as_ref().and_then(|held| {
        let (now, due) = (day_number(today), day_number(held.due));
        // Without the day it was done, the interval is told by the due day alone and cannot be ahead.
        let done = held.done.map_or_else(|| (due - YEAR_DAYS).min(now), day_number);
        // A certificate that ends before it begins never held: overdue since its last day.
        let (last, interval) = if due > done { (done, due - done) } else { (due - 1, 1) };
        CalibrationState::on(now, last, interval, i64::from(warning_days)).ok()
    });
    let check = checks.map_or_else(
        || CheckFrom::Entry {
            today: station.checked.as_ref().is_some_and(|check| check.time.date() == today),
            passed: station.checked.as_ref().map(|check| check.passed),
        },
        |checks| CheckFrom::File(checks.state_on(today)),
    );
    Due {
        station: station.name.clone(),
        due: station.calibration.as_ref().map(|held| held.due),
        calibration,
        check,
    }
}

/// Days from 1970-01-01.
fn day_number(day: Date) -> i64 {
    day.duration_since(jiff::civil::date(1970, 1, 1)).as_hours() / 24
}

impl Due {
    /// Whether the station may be used today: in calibration and checked.
    #[must_use]
    pub fn is_fit(&self) -> bool {
        self.calibration.is_some_and(CalibrationState::is_valid) && self.check.is_good()
    }

    /// Less is more urgent.
    fn urgency(&self) -> (u8, i64) {
        if self.check.failed() {
            return (0, 0);
        }
        match self.calibration {
            Some(CalibrationState::Overdue { days }) => (1, -days),
            None | Some(CalibrationState::NotYet { .. }) => (2, 0),
            Some(
                CalibrationState::DueSoon { days_left } | CalibrationState::InDate { days_left },
            ) => (3, days_left),
        }
    }

    /// The calibration in words.
    #[must_use]
    pub fn calibration_words(&self) -> String {
        let day = self.due.map_or_else(String::new, |due| due.to_string());
        match self.calibration {
            None => "no calibration noted; have it calibrated, or note the certificate".to_owned(),
            Some(CalibrationState::InDate { days_left }) => {
                format!("in calibration to {day}, {} left", days(days_left))
            }
            Some(CalibrationState::DueSoon { days_left: 0 }) => {
                format!("calibration due: {day}, today, is its last day")
            }
            Some(CalibrationState::DueSoon { days_left }) => {
                format!("calibration due soon: holds to {day}, {} left", days(days_left))
            }
            Some(CalibrationState::Overdue { days: past }) => {
                format!("calibration overdue by {}, since {day}", days(past))
            }
            Some(CalibrationState::NotYet { days: ahead }) => format!(
                "its calibration lies {} in the future; check the dates and the computer's clock",
                days(ahead)
            ),
        }
    }

    /// The check in words.
    #[must_use]
    pub fn check_words(&self) -> String {
        match &self.check {
            CheckFrom::File(state) => state.to_string(),
            CheckFrom::Entry { passed: None, .. } => {
                "never checked; read the check standard".to_owned()
            }
            CheckFrom::Entry { today: true, passed: Some(true) } => "checked today".to_owned(),
            CheckFrom::Entry { passed: Some(false), .. } => {
                "its last check failed; find the cause before any unit is judged".to_owned()
            }
            CheckFrom::Entry { today: false, passed: Some(true) } => NOT_CHECKED.to_owned(),
        }
    }
}

impl fmt::Display for Due {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}", self.station, self.calibration_words(), self.check_words())
    }
}

fn days(number: i64) -> String {
    counted_s(number, "day")
}
