//! What tightening does, housing by housing: whether the locks drag their rings along.

use std::collections::BTreeMap;

use solver::Channel;
use solver::stats::compare::holm;
use solver::stats::robust::{Middle, middle};
use solver::stats::sample::Sample;

use super::doubles::later_visits_words;
use super::{COVERAGE, SIGNIFICANT, Survey};
use crate::figures::{number, turn};

/// One housing's locks on one side.
#[derive(Clone, Debug, PartialEq)]
pub struct LockTurns {
    /// The housing; empty where nobody named it.
    pub housing: String,
    /// Which side.
    pub channel: Channel,
    /// How far tightening turned the ring at each unit's first visit, degrees clockwise, with the index
    /// of its session.
    pub points: Vec<(usize, f64)>,
    /// Later visits of the same units, which are left out.
    pub later_visits: usize,
    /// Median and spread, degrees.
    pub middle: Middle,
    /// Mean and standard deviation, degrees.
    pub sample: Sample,
    /// Probability of such a mean if tightening turned nothing (Student’s t), corrected by Holm for all
    /// housings and sides; `None` where the values do not tell: of one, or all alike.
    pub corrected_p: Option<f64>,
}

impl LockTurns {
    /// Whether tightening is shown to turn the ring, as far as 5 % tells.
    #[must_use]
    pub fn turns(&self) -> bool {
        self.corrected_p.is_some_and(|p| p < SIGNIFICANT)
    }

    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let name = if self.housing.is_empty() { "not named" } else { &self.housing };
        let side = self.channel.word();
        let count = self.points.len();
        let later = later_visits_words(self.later_visits);
        let mean = turn(self.sample.mean);
        let half = self.sample.half_width_of_mean(COVERAGE).ok().flatten();
        let (Some(half), Some(p)) = (half, self.corrected_p) else {
            return format!(
                "{name}, {side}: {count} {} of 2 needed to tell; it was {mean}.{later}",
                if count == 1 { "unit" } else { "units" }
            );
        };
        let half = number(half, 1);
        let test =
            format!("t-test, {count} units, p {} corrected by Holm", super::differ::p_words(p));
        if self.turns() {
            format!("{name}, {side}: tightening turns the ring {mean} ± {half}° ({test}).{later}")
        } else {
            format!(
                "{name}, {side}: it is not shown that tightening turns the ring; the mean is {mean} ± \
                 {half}° ({test}).{later}"
            )
        }
    }
}

impl Survey {
    /// What tightening did, by housing, left before right.
    #[must_use]
    pub fn locks(&self) -> Vec<LockTurns> {
        let mut named: BTreeMap<(&str, Channel), Vec<(usize, f64)>> = BTreeMap::new();
        for (index, session) in self.counted() {
            for channel in Channel::BOTH {
                if let Some(turned_deg) = session.lock_turn_deg[channel] {
                    named.entry((&session.housing, channel)).or_default().push((index, turned_deg));
                }
            }
        }
        let turns = |((housing, channel), points): ((&str, Channel), Vec<(usize, f64)>)| {
            let (points, later_visits) = self.first_visits(points);
            let values: Vec<f64> = points.iter().map(|(_, value)| *value).collect();
            let (middle, sample) = (middle(&values).ok()?, Sample::of(&values).ok()?);
            let corrected_p = sample.mean_is(0.0).ok().flatten();
            let housing = housing.to_owned();
            Some(LockTurns { housing, channel, points, later_visits, middle, sample, corrected_p })
        };
        let mut found: Vec<LockTurns> = named.into_iter().filter_map(turns).collect();
        let tested: Vec<f64> = found.iter().filter_map(|one| one.corrected_p).collect();
        let mut corrected = holm(&tested).unwrap_or_default().into_iter();
        for one in found.iter_mut().filter(|one| one.corrected_p.is_some()) {
            one.corrected_p = corrected.next();
        }
        found
    }
}
