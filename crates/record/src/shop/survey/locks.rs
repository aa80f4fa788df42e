//! What tightening does, housing by housing: whether the locks drag their rings along.

use std::collections::{BTreeMap, HashMap};

use solver::stats::compare::holm;
use solver::stats::robust::{Middle, middle};
use solver::stats::sample::Sample;
use solver::{Channel, PerChannel};

use super::doubles::{VisitOf, first_visits, later_visits_words};
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

    /// The test it rests on: `t-test, p 0.031 corrected by Holm`; `None` where the values do not tell.
    #[must_use]
    pub fn test_words(&self) -> Option<String> {
        let p = super::differ::p_words(self.corrected_p?);
        Some(format!("t-test, p {p} corrected by Holm"))
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
        let (Some(half), Some(test)) = (half, self.test_words()) else {
            return match count {
                1 => format!("{name}, {side}: 1 unit of 2 needed to tell; it was {mean}.{later}"),
                _ => format!(
                    "{name}, {side}: {count} units, all alike to the last digit; it was {mean}.{later}"
                ),
            };
        };
        let half = number(half, 1);
        let test = format!("{test}, {count} units");
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

/// What tightening did to one unit on one visit.
#[derive(Clone, Copy, Debug)]
pub(in crate::shop) struct Tightened<'a> {
    /// The index of its session.
    pub(in crate::shop) index: usize,
    /// Whose visit it was.
    pub(in crate::shop) visit: VisitOf<'a>,
    /// How far tightening turned each ring, degrees clockwise.
    pub(in crate::shop) turned_deg: PerChannel<Option<f64>>,
}

impl Survey {
    /// What tightening did, by housing, left before right.
    #[must_use]
    pub fn locks(&self) -> Vec<LockTurns> {
        let tightened = self.counted().map(|(index, session)| {
            let visit =
                VisitOf { unit: &session.unit, housing: &session.housing, day: session.day };
            Tightened { index, visit, turned_deg: session.lock_turn_deg }
        });
        tested(&tightened.collect::<Vec<_>>())
    }
}

/// What tightening did, by housing, left before right, each put to the test; corrected for all of them.
pub(in crate::shop) fn tested(tightened: &[Tightened<'_>]) -> Vec<LockTurns> {
    let mut named: BTreeMap<(&str, Channel), Vec<(usize, f64)>> = BTreeMap::new();
    for one in tightened {
        for channel in Channel::BOTH {
            if let Some(turned_deg) = one.turned_deg[channel] {
                let of = named.entry((one.visit.housing, channel)).or_default();
                of.push((one.index, turned_deg));
            }
        }
    }
    let visits: HashMap<usize, VisitOf<'_>> =
        tightened.iter().map(|one| (one.index, one.visit)).collect();
    let turns = |((housing, channel), points): ((&str, Channel), Vec<(usize, f64)>)| {
        let (points, later_visits) = first_visits(points, |index| visits.get(&index).copied());
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
