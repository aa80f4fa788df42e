//! What is stated of a round at 95 %, and whether it holds.

use solver::angle::turn_deg;
use solver::fit::fit_circle;
use solver::meet::{RELATION_TOLERANCE, meet};
use solver::monte_carlo::{self, Source};
use solver::{Channel, CircleFit, CrossingPoint, Direction, OffsetCircle, PerChannel, SenseChoice};

use crate::rounds::Kind;

/// Trials of a setting, or of a crossing, in each round.
const TRIALS_EACH: usize = 400;

/// What is stated.
#[derive(Clone, Copy)]
pub(crate) enum Statement {
    /// The ellipse of the left centre.
    Centre,
    /// The interval of the left radius.
    Radius,
    /// The ellipse of the nearest crossing point, where linear covariance is said to hold.
    Crossing,
    /// The circle of trials about the same, where it is not.
    Trials,
    /// The interval of the left ring target.
    Ring,
    /// No more misaligned than this, once both rings are set.
    Misaligned,
}

impl Statement {
    pub(crate) const ALL: [Self; 6] =
        [Self::Centre, Self::Radius, Self::Crossing, Self::Trials, Self::Ring, Self::Misaligned];

    pub(crate) const fn word(self) -> &'static str {
        match self {
            Self::Centre => "centre",
            Self::Radius => "radius",
            Self::Crossing => "crossing",
            Self::Trials => "by trials",
            Self::Ring => "ring target",
            Self::Misaligned => "misaligned",
        }
    }
}

/// How often a statement was made and held.
#[derive(Clone, Copy, Default)]
pub(crate) struct Tally {
    made: usize,
    held: usize,
}

impl Tally {
    fn add(&mut self, holds: Option<bool>) {
        self.made += usize::from(holds.is_some());
        self.held += usize::from(holds == Some(true));
    }

    pub(crate) fn words(self, trials: usize) -> String {
        if self.made == 0 {
            return "–".to_owned();
        }
        let share = 100.0 * self.held as f64 / self.made as f64;
        if self.made == trials {
            format!("{share:.1}")
        } else {
            format!("{share:.1} ({:.0} %)", 100.0 * self.made as f64 / trials as f64)
        }
    }
}

/// One round of both channels, and all that is stated of it.
pub(crate) fn count(kind: &Kind, source: &mut Source, tallies: &mut [Tally; 6]) {
    let truth = kind.unit(source);
    let readings = PerChannel::from_fn(|channel| kind.readings(&truth[channel], source));
    let fit = |channel: Channel| {
        let fit = fit_circle(channel, &readings[channel], kind.spread(), SenseChoice::Auto).ok()?;
        Some(fit.with_step(&readings[channel], kind.step_arcmin))
    };
    let (Some(left), Some(right)) = (fit(Channel::Left), fit(Channel::Right)) else { return };
    let fits = PerChannel { left: &left, right: &right };
    let crossing = nearest(fits);
    let held = [
        left.centre_ellipse().map(|ellipse| ellipse.contains(truth.left.centre)),
        left.half_width_95(2)
            .map(|half| (left.circle.radius_arcmin - truth.left.radius_arcmin).abs() <= half),
        crossing.and_then(|found| crossing_holds(&found, &truth)),
        crossing.and_then(|found| trials_hold(fits, &found, &truth)),
        crossing.and_then(|found| ring_holds(&found, &truth)),
        crossing.and_then(|found| misaligned_holds(kind, fits, &found, &truth, source)),
    ];
    for (tally, holds) in tallies.iter_mut().zip(held) {
        tally.add(holds);
    }
}

fn nearest(fits: PerChannel<&CircleFit>) -> Option<CrossingPoint> {
    if fits.left.arc_too_short() || fits.right.arc_too_short() {
        return None;
    }
    let met = meet(&fits.left.circle, &fits.right.circle, RELATION_TOLERANCE).ok()?;
    met.with_covariance(fits).nearest().copied()
}

fn true_crossing(truth: &PerChannel<OffsetCircle>, near: Direction) -> Option<CrossingPoint> {
    let met = meet(&truth.left, &truth.right, RELATION_TOLERANCE).ok()?;
    met.crossings()
        .min_by(|a, b| a.point.distance_arcmin(near).total_cmp(&b.point.distance_arcmin(near)))
        .copied()
}

fn crossing_holds(found: &CrossingPoint, truth: &PerChannel<OffsetCircle>) -> Option<bool> {
    let ellipse = found.ellipse()?;
    Some(ellipse.contains(true_crossing(truth, found.point)?.point))
}

fn trials_hold(
    fits: PerChannel<&CircleFit>,
    found: &CrossingPoint,
    truth: &PerChannel<OffsetCircle>,
) -> Option<bool> {
    if found.is_linear() || !fits.left.states_regions() || !fits.right.states_regions() {
        return None;
    }
    let spread = monte_carlo::crossing(fits, found.point, TRIALS_EACH, 1).ok()?;
    let radius_arcmin = spread.radius_95_arcmin?;
    let real = true_crossing(truth, found.point)?.point;
    Some(real.distance_arcmin(spread.mean) <= radius_arcmin)
}

fn ring_holds(found: &CrossingPoint, truth: &PerChannel<OffsetCircle>) -> Option<bool> {
    let half = found.uncertainty.filter(|_| found.is_linear())?.ring_u_deg.left?.half_width_95()?;
    let real = true_crossing(truth, found.point)?.ring_deg.left?;
    Some(turn_deg(real, found.ring_deg.left?).abs() <= half)
}

/// Both rings are set by the scale that was read, to no step.
fn misaligned_holds(
    kind: &Kind,
    fits: PerChannel<&CircleFit>,
    found: &CrossingPoint,
    truth: &PerChannel<OffsetCircle>,
    source: &mut Source,
) -> Option<bool> {
    let rings = PerChannel { left: found.ring_deg.left?, right: found.ring_deg.right? };
    let stated = monte_carlo::setting(fits, rings, 0.0, None, TRIALS_EACH, 1).ok()?;
    let mut set = |channel: Channel| {
        truth[channel].at_ring(rings[channel] + kind.ring_sigma_deg * source.normal())
    };
    let (left, right) = (set(Channel::Left)?, set(Channel::Right)?);
    Some(left.distance_arcmin(right) <= stated.misalignment_95_arcmin)
}
