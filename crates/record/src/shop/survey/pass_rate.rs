//! The share of units that pass in their first round, month by month, with its interval.

use std::collections::BTreeMap;

use solver::stats::proportion::{Proportion, wilson};

use super::{By, COVERAGE, SessionSummary, Survey};
use crate::figures::percent;

/// A month.
#[derive(Clone, Debug, PartialEq)]
pub struct MonthlyRate {
    /// The year.
    pub year: i16,
    /// The month, 1 to 12.
    pub month: i8,
    /// Of the units that came to a verdict, each with its first session of the month, the share that
    /// passed in their first round, with its 95 % interval by Wilson's score.
    pub passed_first: Proportion,
    /// Those sessions' indices, in the order of the sessions.
    pub sessions: Vec<usize>,
}

impl MonthlyRate {
    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let Proportion { successes, trials, low, high } = self.passed_first;
        format!(
            "{}-{:02}: {successes} of {trials} passed in their first round, {} (95 % interval {} to {}).",
            self.year,
            self.month,
            percent(self.passed_first.share()),
            percent(low),
            percent(high)
        )
    }
}

/// A housing's month.
#[derive(Clone, Debug, PartialEq)]
pub struct HousingMonth {
    /// The housing; empty where nobody named it.
    pub housing: String,
    /// What passed of it in that month.
    pub rate: MonthlyRate,
}

impl Survey {
    /// The months of each housing in which its sessions came to a verdict, by name, the earliest first.
    #[must_use]
    pub fn pass_rate_by_housing(&self) -> Vec<HousingMonth> {
        let mut named: BTreeMap<&str, Vec<(usize, &SessionSummary)>> = BTreeMap::new();
        for (index, session) in self.counted() {
            named.entry(By::Housing.name(session)).or_default().push((index, session));
        }
        let mut found = Vec::new();
        for (housing, sessions) in named {
            let rates = self.pass_rate_of(sessions.into_iter()).into_iter();
            found.extend(rates.map(|rate| HousingMonth { housing: housing.to_owned(), rate }));
        }
        found
    }

    /// The months in which sessions came to a verdict, the earliest first. A month without any is not
    /// there: nothing is known of it.
    #[must_use]
    pub fn pass_rate(&self) -> Vec<MonthlyRate> {
        self.pass_rate_of(self.counted())
    }

    fn pass_rate_of<'a>(
        &self,
        sessions: impl Iterator<Item = (usize, &'a SessionSummary)>,
    ) -> Vec<MonthlyRate> {
        let mut months: BTreeMap<(i16, i8), Vec<usize>> = BTreeMap::new();
        for (index, session) in sessions.filter(|(_, session)| session.is_decided()) {
            if let Some(day) = session.day {
                months.entry((day.year(), day.month())).or_default().push(index);
            }
        }
        let rate = |((year, month), sessions): ((i16, i8), Vec<usize>)| {
            let of_month = sessions.into_iter().map(|index| (index, ())).collect();
            let (units, _) = self.first_visits(of_month);
            let sessions: Vec<usize> = units.into_iter().map(|(index, ())| index).collect();
            let passed = |index: &&usize| {
                self.sessions.get(**index).is_some_and(SessionSummary::passed_first)
            };
            let successes = sessions.iter().filter(passed).count();
            let passed_first = wilson(successes, sessions.len(), COVERAGE).ok()?;
            Some(MonthlyRate { year, month, passed_first, sessions })
        };
        months.into_iter().filter_map(rate).collect()
    }
}
