//! What is drawn of a unit before and beside its channels, and whether channels make the kind of unit that
//! is asked for.

use solver::monte_carlo::Source;
use solver::simulate::{InventedChannel, ReadingNoise};
use solver::{Channel, PerChannel, meet};

use super::built::Built;
use super::fault::{Fault, PlacedFault};
use super::grade::Grade;
use super::lesson::Lesson;
use super::reach::{Reach, best_alone};
use super::series::Series;
use super::surroundings::limits;
use crate::error::Error;
use crate::fact::Remedy;

/// What kind of unit is asked for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum WantedUnit {
    /// Circles that cross broadly, well inside.
    Broad,
    /// The nearer crossing inside, the farther one outside.
    NearerOnly,
    /// The same, crossing broadly, the nearer one close to boresight.
    OneGood,
    /// Something on the shelf brings it inside.
    Remedy,
    /// One shim under one tube does.
    OneShim,
    /// Nothing does.
    Hopeless,
}

impl WantedUnit {
    pub(super) const fn needs_remedy(self) -> bool {
        matches!(self, Self::Remedy | Self::OneShim | Self::Hopeless)
    }
}

/// All that is drawn before the channels.
pub(super) struct Drawing {
    pub(super) source: Source,
    pub(super) wanted: WantedUnit,
    pub(super) hand: ReadingNoise,
    pub(super) lock_turn_deg: PerChannel<f64>,
    pub(super) refit_deg: PerChannel<f64>,
    pub(super) planted: Option<PlacedFault>,
}

/// How much play a ring with the planted fault has, degrees.
pub(super) const PLANTED_PLAY_DEG: f64 = 8.0;

impl Drawing {
    pub(super) fn of(series: Series, grade: Grade, number: u64) -> Self {
        match series {
            Series::First => Self::first(grade, number),
            Series::Second => Self::second(grade, number),
        }
    }

    fn first(grade: Grade, number: u64) -> Self {
        let mut source = Source::seeded((number << 2) | grade.number());
        let hopeless = grade == Grade::Third && source.rectangular(0.0, 1.0) < 0.2;
        let mut even = |most: f64| source.rectangular(-most, most);
        let refit_deg = PerChannel { left: even(180.0), right: even(180.0) };
        let most = grade.lock_turn_deg();
        let lock_turn_deg = PerChannel { left: even(most), right: even(most) };
        let wanted = match grade {
            Grade::First | Grade::Fourth => WantedUnit::Broad,
            Grade::Second => WantedUnit::NearerOnly,
            Grade::Third if hopeless => WantedUnit::Hopeless,
            Grade::Third => WantedUnit::Remedy,
        };
        Self { source, wanted, hand: grade.hand(), lock_turn_deg, refit_deg, planted: None }
    }

    /// Every unit draws the same things in the same order, used or not.
    fn second(grade: Grade, number: u64) -> Self {
        // Apart from every seed of the first series, whose numbers end below 2²².
        let mut source = Source::seeded((1 << 40) | (number << 3) | grade.number());
        let lesson = Lesson::of(grade, number);
        let hopeless = source.rectangular(0.0, 1.0) < 0.2;
        let mut even = |most: f64| source.rectangular(-most, most);
        let refit_deg = PerChannel { left: even(180.0), right: even(180.0) };
        let turns = PerChannel { left: even(1.0), right: even(1.0) };
        // One in nine of what is behind the lessons has nothing wrong.
        let one_of = source.rectangular(0.0, 1.0 + Fault::ALL.len() as f64) as usize;
        let channel =
            if source.rectangular(0.0, 1.0) < 0.5 { Channel::Left } else { Channel::Right };
        let fault = match (grade, lesson) {
            (_, Some(Lesson::Planted(fault))) => Some(fault),
            (Grade::Fourth, _) => Fault::ALL.get(one_of).copied(),
            _ => None,
        };
        let wanted = match (grade, lesson) {
            (_, Some(Lesson::NearerCrossing)) => WantedUnit::OneGood,
            (_, Some(Lesson::Approach | Lesson::Locks)) => WantedUnit::NearerOnly,
            (_, Some(Lesson::OneShim)) => WantedUnit::OneShim,
            (_, Some(Lesson::NothingHelps)) => WantedUnit::Hopeless,
            (Grade::Fourth, _) if fault == Some(Fault::RemedyDidNotTake) => WantedUnit::OneShim,
            (Grade::First | Grade::Fourth, _) => WantedUnit::Broad,
            (Grade::Second, _) => WantedUnit::NearerOnly,
            (Grade::Third, _) if hopeless => WantedUnit::Hopeless,
            (Grade::Third, _) => WantedUnit::Remedy,
        };
        let mut hand = grade.hand();
        let mut lock_turn_deg = turns.map(|share| share * grade.lock_turn_deg());
        if let Some(lesson) = lesson {
            // One thing at a time: everything else is as clean as in the first grade.
            let clean = Grade::First.hand();
            hand = ReadingNoise {
                ring_play_deg: if lesson == Lesson::Approach { 6.0 } else { 0.0 },
                ..clean
            };
            // 1.5° to 3°, never next to nothing.
            let well = |share: f64| share.signum() * 1.5 * (1.0 + share.abs());
            lock_turn_deg =
                turns.map(|share| if lesson == Lesson::Locks { well(share) } else { 0.0 });
        }
        let planted = fault.map(|fault| PlacedFault::new(fault, channel));
        Self { source, wanted, hand, lock_turn_deg, refit_deg, planted }
    }
}

/// Whether a unit is of the kind that is asked for, and what can be made of it.
pub(super) fn suits(wanted: WantedUnit, made: &Built) -> Result<Option<Reach>, Error> {
    let window = limits()?;
    let PerChannel { left, right } = made.channels.map(|InventedChannel { circle, .. }| circle);
    let met = meet::meet(&left, &right, meet::RELATION_TOLERANCE)?;
    if wanted.needs_remedy() {
        // The cheap question first: most units answer it.
        if best_alone(made, &window)?.used <= 1.2 {
            return Ok(None);
        }
        let reach = Reach::of(made)?;
        let suits = match wanted {
            WantedUnit::Hopeless => reach.is_hopeless() && reach.predicted_least > 1.3,
            WantedUnit::OneShim => {
                let one = matches!(&reach.remedy, Some(Remedy::Shim(shims)) if shims.len() == 1);
                one && reach.least_use <= 0.8
            }
            _ => reach.remedy.is_some() && reach.least_use <= 0.8,
        };
        return Ok(suits.then_some(reach));
    }
    let [Some(near), Some(far)] = [met.crossings().next(), met.crossings().nth(1)] else {
        return Ok(None);
    };
    let used = |point| window.used_by(point, point).worst();
    // Broadly: the chord between the crossings is as long as the smaller radius at least.
    let chord = near.point.distance_arcmin(far.point);
    let broad = chord >= left.radius_arcmin.min(right.radius_arcmin);
    let suits = match wanted {
        WantedUnit::Broad => broad && used(near.point) <= 0.6,
        WantedUnit::OneGood => broad && used(near.point) <= 0.3 && used(far.point) > 1.2,
        _ => used(near.point) <= 0.8 && used(far.point) > 1.2,
    };
    if suits { Reach::of(made).map(Some) } else { Ok(None) }
}
