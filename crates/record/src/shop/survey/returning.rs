//! How many units come back, and after how long.

use std::collections::BTreeMap;

use jiff::civil::Date;
use solver::stats::proportion::{Proportion, wilson};
use solver::stats::robust::{Middle, middle};
use solver::words::counted_s;

use super::visits::{ago_words, days_between};
use super::{COVERAGE, SessionSummary, Survey};
use crate::figures::{number, percent};
use crate::shown;

/// Units and their visits.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Returning {
    /// Each unit, the one that came last first.
    pub units: Vec<UnitSeen>,
    /// The share of units that came more than once, with its 95 % interval by Wilson's score; `None` without
    /// units.
    pub came_back: Option<Proportion>,
    /// Days from one visit to the next.
    pub between_days: Option<Middle>,
}

/// A unit that came.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct UnitSeen {
    /// Its name.
    pub unit: String,
    /// Its housing.
    pub housing: String,
    /// The sessions of its visits that count, the first first.
    pub sessions: Vec<usize>,
    /// The day of its last visit.
    pub last: Option<Date>,
    /// Days between its last two visits.
    pub before_days: Option<i32>,
}

impl UnitSeen {
    /// It in a line, seen from a day.
    #[must_use]
    pub fn words(&self, today: Date) -> String {
        let last = self.last.map_or_else(
            || "no day".to_owned(),
            |day| format!("last on {day}, {}", ago_words(days_between(day, today))),
        );
        let before = self.before_days.map_or_else(String::new, |days| {
            format!(", {} after the visit before", counted_s(days.unsigned_abs(), "day"))
        });
        format!(
            "{} · {} · {} · {last}{before}",
            shown::one_line(&self.unit),
            shown::one_line(&self.housing),
            counted_s(self.sessions.len(), "visit")
        )
    }
}

impl Returning {
    /// It in sentences.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let Some(Proportion { successes, trials, low, high }) = self.came_back else {
            return vec!["No session names its unit yet.".to_owned()];
        };
        let mut said = vec![format!(
            "{successes} of {} came back at least once, {} (95 % interval by Wilson’s score {} to {}). A unit is \
             known by its name and housing; what came before this shop kept sessions is not counted.",
            counted_s(trials, "unit"),
            percent(successes as f64 / (trials.max(1)) as f64),
            percent(low),
            percent(high)
        )];
        if let Some(between) = self.between_days {
            said.push(format!(
                "From one visit to the next it took {} days at the median ({}).",
                number(between.median, 0),
                counted_s(between.count, "return")
            ));
        }
        said
    }
}

/// From which day to which a session went on, and its index.
type Stay = (Date, Date, usize);

impl Survey {
    /// Units by their visits that count. A session begun on the day on which the last one of its unit ended is
    /// of the same visit.
    #[must_use]
    pub fn returning(&self) -> Returning {
        let mut named: BTreeMap<(&str, &str), Vec<Stay>> = BTreeMap::new();
        let mut undated: BTreeMap<(&str, &str), Vec<usize>> = BTreeMap::new();
        for (index, session) in self.counted().filter(|(_, session)| !session.unit.is_empty()) {
            let SessionSummary { unit, housing, day, begun, .. } = session;
            let key = (unit.as_str(), housing.as_str());
            match (begun.or(*day), day.or(*begun)) {
                (Some(begun), Some(ended)) => {
                    named.entry(key).or_default().push((begun, ended, index));
                }
                _ => undated.entry(key).or_default().push(index),
            }
        }
        let mut between = Vec::new();
        let mut units = Vec::new();
        for ((unit, housing), mut sessions) in named {
            sessions.sort_unstable();
            let mut visits: Vec<Stay> = Vec::new();
            for (begun, ended, index) in sessions {
                match visits.last_mut() {
                    Some(last) if begun <= last.1 => *last = (last.0, last.1.max(ended), index),
                    _ => visits.push((begun, ended, index)),
                }
            }
            let gaps: Vec<i32> = visits
                .windows(2)
                .map(|pair| match pair {
                    [(_, ended, _), (begun, ..)] => days_between(*ended, *begun),
                    _ => 0,
                })
                .collect();
            between.extend(gaps.iter().map(|days| f64::from(*days)));
            undated.remove(&(unit, housing));
            units.push(UnitSeen {
                unit: unit.to_owned(),
                housing: housing.to_owned(),
                last: visits.last().map(|(_, ended, _)| *ended),
                before_days: gaps.last().copied(),
                sessions: visits.into_iter().map(|(.., index)| index).collect(),
            });
        }
        let without_day = undated.into_iter().map(|((unit, housing), sessions)| UnitSeen {
            unit: unit.to_owned(),
            housing: housing.to_owned(),
            // Without days nothing tells one visit from another.
            sessions: sessions.into_iter().take(1).collect(),
            last: None,
            before_days: None,
        });
        units.extend(without_day);
        units.sort_by(|a, b| b.last.cmp(&a.last).then_with(|| a.unit.cmp(&b.unit)));
        let back = units.iter().filter(|unit| unit.sessions.len() > 1).count();
        Returning {
            came_back: wilson(back, units.len(), COVERAGE).ok(),
            between_days: middle(&between).ok(),
            units,
        }
    }
}
