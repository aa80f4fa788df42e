//! The best that rings alone, and rings after a remedy, can give: what a score is held against.

use solver::fit::fit_circle;
use solver::remedy::PredictedSetting;
use solver::remedy::rank::RemedyAction;
use solver::setting::best_compromise;
use solver::{Channel, Direction, PerChannel, Reading, SenseChoice, Spread, Window, meet};

use super::built::{Built, BuiltCell};
use super::surroundings::{housing, limits};
use crate::error::Error;
use crate::fact::{Approach, Remedy, ShimUnder};
use crate::remedies::KnownOfUnit;
use crate::unit::Shim;

/// Whole degrees tried to either side of a target.
const AROUND: i32 = 1;

/// What rings and remedies can give.
#[derive(Clone, Debug, PartialEq)]
pub struct Reach {
    /// The best whole-degree setting of the rings as the unit came.
    pub alone: BestSetting,
    /// The cheapest remedy that gets inside the window; `None` where none is needed, or none does.
    pub remedy: Option<Remedy>,
    /// The least window use that is worth reaching: after that remedy where there is one, else alone.
    pub least_use: f64,
    /// The least that anything on the shelf is predicted to give, alone or after a remedy.
    pub(super) predicted_least: f64,
}

impl Reach {
    pub(super) fn of(made: &Built) -> Result<Self, Error> {
        let window = limits()?;
        let alone = best_alone(made, &window)?;
        if alone.used <= 1.0 {
            return Ok(Self::without_remedy(alone, alone.used));
        }
        let fits = PerChannel {
            left: exact_fit(made, Channel::Left)?,
            right: exact_fit(made, Channel::Right)?,
        };
        let known = KnownOfUnit::of_housing(&housing());
        let ranking = known.ranked(fits.as_ref(), &window, None)?;
        let first = ranking.remedies.first().filter(|first| first.predicted.score <= 1.0);
        if let Some(first) = first {
            let remedy = remedy_of(&first.action);
            let after = best_alone(&made.after(&remedy), &window)?;
            let (least_use, remedy) = (after.used, Some(remedy));
            return Ok(Self { alone, remedy, least_use, predicted_least: least_use });
        }
        let predicted = ranking.remedies.iter().filter_map(|one| one.predicted.setting.as_ref());
        let least = predicted.map(PredictedSetting::worst).fold(alone.used, f64::min);
        Ok(Self::without_remedy(alone, least))
    }

    const fn without_remedy(alone: BestSetting, predicted_least: f64) -> Self {
        Self { alone, remedy: None, least_use: alone.used, predicted_least }
    }

    /// Whether the unit as it came needs a remedy.
    #[must_use]
    pub fn needs_remedy(&self) -> bool {
        self.alone.used > 1.0
    }

    /// Whether nothing gets it inside.
    #[must_use]
    pub fn is_hopeless(&self) -> bool {
        self.needs_remedy() && self.remedy.is_none()
    }
}

/// A setting at whole degrees, rings approached clockwise and locked.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BestSetting {
    /// The rings, degrees in [0, 360).
    pub ring_deg: PerChannel<f64>,
    /// Window use there.
    pub used: f64,
    /// How far both point from boresight together, arcminutes.
    pub boresight_arcmin: f64,
}

impl Built {
    /// The best whole-degree setting of the rings, approached clockwise and locked.
    ///
    /// # Errors
    /// None for a unit that was drawn: [`Error::Solver`] stands for circles that are no numbers.
    pub fn best_setting(&self) -> Result<BestSetting, Error> {
        best_alone(self, &limits()?)
    }
}

/// The best whole-degree setting of a unit as it is built, locks tight.
///
/// Looked for around the nearest crossing and the best compromise, as the exact model reads.
pub(super) fn best_alone(built: &Built, window: &Window) -> Result<BestSetting, Error> {
    let circles = built.circles();
    let compromise = best_compromise(&circles.left, &circles.right, Some(window))?.points;
    let best = around(built, compromise, window)?;
    let met = meet::meet(&circles.left, &circles.right, meet::RELATION_TOLERANCE)?;
    let Some(near) = met.nearest() else { return Ok(best) };
    let crossing = around(built, PerChannel { left: near.point, right: near.point }, window)?;
    Ok(if crossing.used <= best.used { crossing } else { best })
}

/// The best of the whole degrees about a target.
fn around(
    built: &Built,
    target: PerChannel<Direction>,
    window: &Window,
) -> Result<BestSetting, Error> {
    let circles = built.circles();
    let centre = PerChannel::from_fn(|channel| {
        let wanted = circles[channel].ring_for(target[channel]).unwrap_or(0.0);
        // The cell lags by half the play when turned clockwise, and the lock turns it.
        let carried = built.lock_turn_deg[channel] - 0.5 * built.hand.ring_play_deg;
        (wanted - carried).round()
    });
    let mut best = setting_at(built, centre, window)?;
    for left in -AROUND..=AROUND {
        for right in -AROUND..=AROUND {
            let near = PerChannel {
                left: centre.left + f64::from(left),
                right: centre.right + f64::from(right),
            };
            let found = setting_at(built, near, window)?;
            if found.used < best.used {
                best = found;
            }
        }
    }
    Ok(best)
}

/// The most that a hand uses who sets the recommended place, each ring up to a whole degree off.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct BesideRecommended {
    /// Window use.
    pub(super) used: f64,
    /// Distance from boresight, arcminutes.
    pub(super) boresight_arcmin: f64,
    /// Whether it is a crossing; otherwise the best compromise.
    pub(super) is_crossing: bool,
}

/// The recommended place by the doctrine, and what lies within a degree of it: the nearest crossing where it
/// is inside the window, else the best compromise.
pub(super) fn beside_recommended(built: &Built) -> Result<BesideRecommended, Error> {
    let window = limits()?;
    let circles = built.circles();
    let met = meet::meet(&circles.left, &circles.right, meet::RELATION_TOLERANCE)?;
    let used = |points: PerChannel<Direction>| window.used_by(points.left, points.right).worst();
    let crossing = met.nearest().map(|near| PerChannel { left: near.point, right: near.point });
    let crossing = crossing.filter(|points| used(*points) <= 1.0);
    let place = match crossing {
        Some(points) => points,
        None => best_compromise(&circles.left, &circles.right, Some(&window))?.points,
    };
    // Where the cells have to stand, play, locks and all left out: those are the hand's to see to.
    let mut most = BesideRecommended {
        used: used(place),
        boresight_arcmin: place.left.midpoint(place.right).boresight_arcmin(),
        is_crossing: crossing.is_some(),
    };
    for left in -AROUND..=AROUND {
        for right in -AROUND..=AROUND {
            let off = PerChannel { left, right };
            let points = PerChannel::from_fn(|channel| {
                let ring = circles[channel].ring_for(place[channel]).unwrap_or(0.0);
                let turned = circles[channel].at_ring(ring + f64::from(off[channel]));
                turned.unwrap_or(place[channel])
            });
            let out = points.left.midpoint(points.right).boresight_arcmin();
            most.used = most.used.max(used(points));
            most.boresight_arcmin = most.boresight_arcmin.max(out);
        }
    }
    Ok(most)
}

fn setting_at(
    built: &Built,
    ring_deg: PerChannel<f64>,
    window: &Window,
) -> Result<BestSetting, Error> {
    let points = built.points(ring_deg.map(locked_at))?;
    Ok(BestSetting {
        ring_deg: ring_deg.map(|deg| deg.rem_euclid(360.0)),
        used: window.used_by(points.left, points.right).worst(),
        boresight_arcmin: points.left.midpoint(points.right).boresight_arcmin(),
    })
}

const fn locked_at(ring_deg: f64) -> BuiltCell {
    BuiltCell { ring_deg, approach: Approach::Clockwise, locked: true }
}

/// The circle as a perfect bench would fit it, for the list of remedies.
fn exact_fit(made: &Built, channel: Channel) -> Result<solver::CircleFit, Error> {
    let circle = made.circles()[channel];
    let readings: Vec<Reading> = [0.0, 90.0, 180.0, 270.0]
        .into_iter()
        .filter_map(|deg| Some(Reading::at_ring(deg, circle.at_ring(deg)?)))
        .collect();
    let spread = Spread { sigma_arcmin: Some(0.01), ring_sigma_deg: 0.0 };
    Ok(fit_circle(channel, &readings, spread, SenseChoice::Auto)?)
}

/// An action of the solver's list as a remedy that can be taken.
#[must_use]
pub fn remedy_of(action: &RemedyAction) -> Remedy {
    match action {
        RemedyAction::EyepieceSwap => Remedy::SwapEyepieces,
        RemedyAction::TubeSwap => Remedy::SwapTubes,
        RemedyAction::TubeTurn(channel) => {
            Remedy::TurnTube(crate::fact::TurnedPart { channel: *channel, by_deg: 180.0 })
        }
        RemedyAction::Shims(shims) => Remedy::Shim(
            shims
                .iter()
                .filter_map(|(channel, shim)| {
                    let shim = shim.as_ref()?;
                    let (clock_deg, ends) = (shim.clock_deg, shim.ends);
                    let shim = Shim { clock_deg, leaves_mm: shim.leaves_mm.clone(), ends };
                    Some(ShimUnder { channel, shim })
                })
                .collect(),
        ),
    }
}
