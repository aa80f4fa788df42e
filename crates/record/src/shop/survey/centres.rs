//! Where the circles of each housing lie: the centres of the first round, channel by channel, with the
//! ellipse the next unit is to be expected in and whether their mean is boresight.
//!
//! A centre is the sum of all that is off in a channel: bore, tube and their seats. Tubes differ from
//! unit to unit; what the units of a housing have in common is its own.

use std::collections::BTreeMap;

use solver::stats::compare::holm;
use solver::stats::scatter::{MeanTest, Scatter};
use solver::{Channel, Direction, Ellipse};

use super::doubles::later_visits_words;
use super::{COVERAGE, SIGNIFICANT, Survey};
use crate::figures::{direction, number};

/// Units of a housing from which its ellipse is drawn and its mean tested: common practice for a
/// normal sample, no source.
pub const ENOUGH_UNITS: usize = 5;

/// One housing's centres on one side.
#[derive(Clone, Debug, PartialEq)]
pub struct HousingCentres {
    /// The housing; empty where nobody named it.
    pub housing: String,
    /// Which side.
    pub channel: Channel,
    /// The centre of each unit's first visit, with the index of its session.
    pub points: Vec<(usize, Direction)>,
    /// Later visits of the same units, which are left out.
    pub later_visits: usize,
    /// Mean and covariance; `None` of fewer than [`ENOUGH_UNITS`].
    pub scatter: Option<Scatter>,
    /// The ellipse in which the next unit's centre lies with 95 %.
    pub of_next: Option<Ellipse>,
    /// The ellipse in which the mean lies with 95 %.
    pub of_mean: Option<Ellipse>,
    /// Hotelling's T² of the mean against boresight.
    pub test: Option<MeanTest>,
    /// Its probability, corrected by Holm for all housings and sides tested.
    pub corrected_p: Option<f64>,
}

impl HousingCentres {
    /// Whether the housing itself is off on this side, as far as 5 % tells.
    #[must_use]
    pub fn is_off(&self) -> bool {
        self.corrected_p.is_some_and(|p| p < SIGNIFICANT)
    }

    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let name = if self.housing.is_empty() { "not named" } else { &self.housing };
        let (Some(scatter), Some(test), Some(p)) = (&self.scatter, &self.test, self.corrected_p)
        else {
            return format!(
                "{name}, {}: {} of {ENOUGH_UNITS} units needed to tell.{}",
                self.channel.word(),
                self.points.len(),
                later_visits_words(self.later_visits)
            );
        };
        let is =
            if p < SIGNIFICANT { "is off by" } else { "may well be at boresight; its mean is" };
        format!(
            "{name}, {}: the housing {is} {} (Hotelling’s T² {}, {} units, p {} corrected by Holm).{}",
            self.channel.word(),
            direction(scatter.mean),
            number(test.t_squared, 1),
            scatter.count,
            super::differ::p_words(p),
            later_visits_words(self.later_visits)
        )
    }
}

impl Survey {
    /// The centres of each housing, by name, left before right: of each unit's first visit, since a unit
    /// brings its bores and tubes along each time.
    #[must_use]
    pub fn centres(&self) -> Vec<HousingCentres> {
        let mut named: BTreeMap<(&str, Channel), Vec<(usize, Direction)>> = BTreeMap::new();
        for (index, session) in self.counted() {
            for channel in Channel::BOTH {
                if let Some(centre) = session.centres[channel] {
                    named.entry((&session.housing, channel)).or_default().push((index, centre));
                }
            }
        }
        let mut found: Vec<HousingCentres> = named
            .into_iter()
            .map(|((housing, channel), points)| {
                of_housing(housing, channel, self.first_visits(points))
            })
            .collect();
        let tested: Vec<f64> =
            found.iter().filter_map(|one| one.test.map(|test| test.p_value)).collect();
        let mut corrected = holm(&tested).unwrap_or_default().into_iter();
        for one in found.iter_mut().filter(|one| one.test.is_some()) {
            one.corrected_p = corrected.next();
        }
        found
    }
}

fn of_housing(
    housing: &str,
    channel: Channel,
    (points, later_visits): (Vec<(usize, Direction)>, usize),
) -> HousingCentres {
    let directions: Vec<Direction> = points.iter().map(|(_, centre)| *centre).collect();
    let enough = directions.len() >= ENOUGH_UNITS;
    let scatter = Scatter::of(&directions).ok().filter(|_| enough);
    HousingCentres {
        housing: housing.to_owned(),
        channel,
        of_next: scatter.and_then(|scatter| scatter.ellipse_of_next(COVERAGE).ok()),
        of_mean: scatter.and_then(|scatter| scatter.ellipse_of_mean(COVERAGE).ok()),
        test: scatter.and_then(|scatter| scatter.mean_is(Direction::BORESIGHT).ok().flatten()),
        corrected_p: None,
        later_visits,
        scatter,
        points,
    }
}
