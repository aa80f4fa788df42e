//! How long work takes from a session's first fact to its signature, and how old what waits is.

use jiff::civil::Date;
use solver::stats::order::quantile;
use solver::words::counted_s;

use super::visits::days_between;
use super::{SessionSummary, Survey};
use crate::figures::number;
use crate::review::State;
use crate::shown;

/// How long signed sessions took.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Turnaround {
    /// Each signed session: its index, the day it was signed, days from its first fact.
    pub points: Vec<(usize, Date, i32)>,
    /// A half and 95 % took no longer, days; `None` where none was signed.
    pub quantiles_days: Option<[f64; 2]>,
}

impl Turnaround {
    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let Some([half, most]) = self.quantiles_days else {
            return "No session was signed yet.".to_owned();
        };
        format!(
            "From the first fact to the signature half of {} took {} or less, 95 % {} or less.",
            counted_s(self.points.len(), "session"),
            days_words(half),
            days_words(most)
        )
    }
}

fn days_words(days: f64) -> String {
    let number = number(days, usize::from(days.fract() != 0.0));
    if number == "1" { "1 day".to_owned() } else { format!("{number} days") }
}

/// What a session waits for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum WaitsFor {
    /// A signature.
    Signature,
    /// A countersignature.
    Countersignature,
    /// To be signed anew.
    SigningAnew,
}

impl WaitsFor {
    /// The words for it.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Signature => "to be signed",
            Self::Countersignature => "to be countersigned",
            Self::SigningAnew => "to be signed anew",
        }
    }
}

/// A session that waits.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct WaitingSession {
    /// Its index.
    pub session: usize,
    /// For what.
    pub waits_for: WaitsFor,
    /// Since which day; `None` where none is known.
    pub since: Option<Date>,
    /// Its unit.
    pub unit: String,
}

impl WaitingSession {
    /// It in a line, seen from a day.
    #[must_use]
    pub fn words(&self, today: Date) -> String {
        let since = self.since.map_or_else(
            || "since an unknown day".to_owned(),
            |day| {
                format!(
                    "for {}, since {day}",
                    counted_s(days_between(day, today).max(0).unsigned_abs(), "day")
                )
            },
        );
        format!("{} waits {} {since}", shown::one_line(&self.unit), self.waits_for.words())
    }
}

impl Survey {
    /// How long signed sessions took, those that count.
    #[must_use]
    pub fn turnaround(&self) -> Turnaround {
        let took = |(index, session): (usize, &SessionSummary)| {
            let (signed, begun) = (session.signed_as.as_ref()?.day, session.begun?);
            Some((index, signed, days_between(begun, signed)))
        };
        let points: Vec<(usize, Date, i32)> = self.counted().filter_map(took).collect();
        let days: Vec<f64> = points.iter().map(|point| f64::from(point.2)).collect();
        let [half, most] = [0.5, 0.95].map(|share| quantile(&days, share).ok());
        Turnaround { quantiles_days: half.zip(most).map(|(half, most)| [half, most]), points }
    }

    /// Sessions that wait, those that wait longest first.
    #[must_use]
    pub fn waiting(&self) -> Vec<WaitingSession> {
        let waits = |(index, session): (usize, &SessionSummary)| {
            let signed = session.signed_as.as_ref();
            let (waits_for, since) = match session.state {
                State::Unsigned => (WaitsFor::Signature, session.begun.or(session.day)),
                State::Signed => (WaitsFor::Countersignature, signed.map(|signed| signed.day)),
                State::Returned => {
                    let answered = signed.and_then(|signed| signed.answered.as_ref());
                    (WaitsFor::SigningAnew, answered.map(|answer| answer.day))
                }
                State::Outdated => (WaitsFor::SigningAnew, session.day),
                State::Countersigned | State::DoesNotFollow | State::Damaged => return None,
            };
            let unit = session.unit.to_string();
            Some(WaitingSession { session: index, waits_for, since, unit })
        };
        let mut found: Vec<WaitingSession> = self.counted().filter_map(waits).collect();
        found.sort_by_key(|one| (one.since.is_none(), one.since, one.session));
        found
    }
}
