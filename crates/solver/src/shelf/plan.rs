//! From a shelf to the best plan, with what each match is predicted to give.

use std::collections::BTreeSet;

use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::direction::{Direction, Misalignment};
use crate::error::Error;
use crate::meet::{RELATION_TOLERANCE, meet};
use crate::remedy::plans::scored;
use crate::remedy::shim::ChannelShim;
use crate::shelf::chance::{Drawn, chance};
use crate::shelf::columns::{Candidate, Candidates, all_are_looked_at, candidates, check};
use crate::shelf::known::Known;
use crate::shelf::many::of_many;
use crate::shelf::model::{Match, MatchPlan, MatchPrediction, Radius, Shelf, Unknown};
use crate::shelf::offsets::{Centres, Seated};
use crate::shelf::priced::sum_of;
use crate::shelf::search::{ChosenUnits, UnitChoices, choose};
use crate::shelf::weights::{Totals, Weights};
use crate::shelf::worth::{ShimStock, WindowJudge};
use crate::swing::{SwingRange, swung, worst_over};
use crate::tolerance::Window;

/// Steps of the search that a shelf is worth: some seconds.
pub const STEPS: usize = 200_000;

/// The best plan of a shelf: the most units inside without a shim, then the most units inside, then the
/// fewest leaves, then the least window use, added up.
///
/// Only what is known is matched: a part whose circles cannot be told takes no part, and is named in
/// [`MatchPlan::unknown`]. `steps`: how long the search may take, [`STEPS`] for a few seconds; where they do not
/// do, the plan is the best found, and [`MatchPlan::bound`] says how much better another could be.
///
/// # Errors
/// [`Error::OutOfRange`] for more than 150 housings, 400 tubes, 400 eyepieces or 8 leaves, an eyepiece that
/// stays in two pods, a radius that is none, or a seat that takes too many shims.
pub fn plan(shelf: &Shelf, steps: usize) -> Result<MatchPlan, Error> {
    Ok(plan_while(shelf, steps, &|| true)?.unwrap_or_default())
}

/// The same while `go_on`, which is asked between steps, says so: from then on the steps allowed count as
/// used up. `None` where it said no before there was anything to choose from.
///
/// # Errors
/// As [`plan`].
pub fn plan_while(
    shelf: &Shelf,
    steps: usize,
    go_on: &dyn Fn() -> bool,
) -> Result<Option<MatchPlan>, Error> {
    planned(shelf, steps, false, go_on)
}

/// The same in the way that is taken where not every unit can be looked at, whatever the size of the shelf:
/// what it finds need not be the best, and its bound says how much better another plan could be.
///
/// # Errors
/// As [`plan`].
pub fn plan_by_prices(shelf: &Shelf, steps: usize) -> Result<MatchPlan, Error> {
    Ok(planned(shelf, steps, true, &|| true)?.unwrap_or_default())
}

fn planned(
    shelf: &Shelf,
    steps: usize,
    by_prices: bool,
    go_on: &dyn Fn() -> bool,
) -> Result<Option<MatchPlan>, Error> {
    check(shelf)?;
    let known = Known::of(shelf);
    let most = most_units(shelf);
    let could_shim = shelf.most_leaves > 0
        && shelf.housings.iter().any(|one| one.seat.is_some() && one.effect.is_some());
    let many = if all_are_looked_at(shelf, &known) && !by_prices {
        None
    } else {
        let Some(many) = of_many(shelf, &known, most, steps, go_on) else { return Ok(None) };
        if many.units.len() == most || !could_shim {
            let (units, bound) = (many.units, many.bound);
            let totals = Totals { use_millionths: millionths(&units), ..totals_of(&units) };
            let laid = Laid { units, best: many.best_single, unknown: known.unknown };
            let plan = laid.plan(shelf, totals, bound)?;
            return Ok(Some(MatchPlan { candidates: many.looked_at, steps: many.steps, ..plan }));
        }
        Some(many)
    };
    let (mut found, mut chosen) = (Candidates::default(), None);
    let allowed = (steps, go_on);
    if many.is_none() {
        let Some(bare) = candidates(shelf, false, go_on)? else { return Ok(None) };
        found = bare;
        if let Some(first) = choice_of(shelf, &found, most, allowed)? {
            // A shim is only looked for where not every unit that can be built does without.
            let all = first.candidates.len() == most && first.sum == first.bound;
            chosen = Some(first).filter(|_| all);
        }
    }
    if chosen.is_none() && could_shim {
        let Some(shimmed) = candidates(shelf, true, go_on)? else { return Ok(None) };
        found = shimmed;
    }
    found.inside.extend(many.iter().flat_map(|many| &many.units));
    let chosen = match chosen {
        Some(chosen) => chosen,
        None => choice_of(shelf, &found, most, allowed)?.unwrap_or(ChosenUnits {
            candidates: Vec::new(),
            sum: 0,
            bound: 0,
            steps: 0,
        }),
    };
    let weights = Weights::new(most, shelf.most_leaves).ok_or(TOO_MANY)?;
    let units: Vec<Candidate> =
        chosen.candidates.iter().filter_map(|&index| found.inside.get(index).copied()).collect();
    let best = found
        .inside
        .iter()
        .min_by(|a, b| a.leaves.cmp(&b.leaves).then(a.window_use.total_cmp(&b.window_use)));
    let (best, candidates) = (best.copied(), found.inside.len());
    let laid = Laid { units, best, unknown: found.unknown };
    let totals = Totals {
        use_millionths: weights.told(chosen.sum).use_millionths,
        ..totals_of(&laid.units)
    };
    let mut bound = if chosen.bound <= chosen.sum { totals } else { weights.told(chosen.bound) };
    if let Some(bare) = many.map(|many| many.bound.without_shim)
        && bare < bound.without_shim
    {
        // All others need a leaf each.
        bound = Totals { without_shim: bare, units: most, leaves: most - bare, use_millionths: 0 };
    }
    let plan = laid.plan(shelf, totals, bound)?;
    Ok(Some(MatchPlan { candidates, steps: chosen.steps, ..plan }))
}

/// Units that were chosen, and what is said beside them.
struct Laid {
    units: Vec<Candidate>,
    best: Option<Candidate>,
    unknown: Vec<Unknown>,
}

impl Laid {
    fn plan(self, shelf: &Shelf, totals: Totals, bound: Totals) -> Result<MatchPlan, Error> {
        let mut matches = Vec::new();
        for unit in &self.units {
            matches.extend(of(shelf, unit)?);
        }
        matches.sort_by_key(|one| one.housing);
        let best_single = self.best.map_or(Ok(None), |best| of(shelf, &best))?;
        let proved = bound == totals;
        let unknown = self.unknown;
        Ok(MatchPlan {
            matches,
            totals,
            bound,
            proved,
            best_single,
            unknown,
            ..MatchPlan::default()
        })
    }
}

fn totals_of(units: &[Candidate]) -> Totals {
    Totals {
        without_shim: units.iter().filter(|one| one.leaves == 0).count(),
        units: units.len(),
        leaves: units.iter().map(|one| usize::from(one.leaves)).sum(),
        use_millionths: 0,
    }
}

fn millionths(units: &[Candidate]) -> u64 {
    u64::try_from(sum_of(units)).unwrap_or(0)
}

const TOO_MANY: Error = Error::OutOfRange {
    what: "the number of units times leaves",
    value: f64::INFINITY,
    must: "small enough to be counted",
};

/// No choice makes more units: by kind, housings, half the tubes, half the eyepieces that go anywhere.
fn most_units(shelf: &Shelf) -> usize {
    let kinds: BTreeSet<usize> = shelf.housings.iter().map(|housing| housing.kind).collect();
    let of_kind = |kind: usize| {
        let of = |own: usize| own == kind;
        let free = shelf.housings.iter().filter(|one| of(one.kind) && one.eyepieces.is_none());
        let (free, fixed) = (
            free.count(),
            shelf.housings.iter().filter(|one| of(one.kind) && one.eyepieces.is_some()).count(),
        );
        let tubes = shelf.tubes.iter().filter(|tube| of(tube.kind)).count();
        let eyepieces = shelf.eyepieces.iter().filter(|eyepiece| of(eyepiece.kind)).count();
        (free.min(eyepieces / 2) + fixed).min(tubes / 2)
    };
    kinds.into_iter().map(of_kind).sum()
}

fn choice_of(
    shelf: &Shelf,
    found: &Candidates,
    most_units: usize,
    (most_steps, go_on): (usize, &dyn Fn() -> bool),
) -> Result<Option<ChosenUnits>, Error> {
    if found.inside.is_empty() && found.left_out.is_empty() {
        return Ok(None);
    }
    let weights = Weights::new(most_units, shelf.most_leaves).ok_or(TOO_MANY)?;
    let mut stays = vec![false; shelf.eyepieces.len()];
    for pair in shelf.housings.iter().filter_map(|housing| housing.eyepieces) {
        for (_, &number) in pair.iter() {
            if let Some(stays) = stays.get_mut(number) {
                *stays = true;
            }
        }
    }
    Ok(Some(choose(&UnitChoices {
        candidates: &found.inside,
        left_out: &found.left_out,
        weights,
        most_units,
        counts: [shelf.housings.len(), shelf.tubes.len(), shelf.eyepieces.len()],
        stays,
        most_steps,
        go_on,
    })))
}

/// A candidate worked out again, in full.
fn of(shelf: &Shelf, candidate: &Candidate) -> Result<Option<Match>, Error> {
    let index = usize::from(candidate.housing);
    let Some(housing) = shelf.housings.get(index) else { return Ok(None) };
    let [left, right] = candidate.tubes.map(usize::from);
    let tubes = PerChannel { left, right };
    let turned = PerChannel { left: candidate.turned[0], right: candidate.turned[1] };
    let [left, right] = candidate.eyepieces.map(usize::from);
    let eyepieces = PerChannel { left, right };
    let Ok(centres) = centres_of(shelf, index, tubes, turned, eyepieces) else { return Ok(None) };
    let radius = |number: usize| shelf.eyepieces.get(number).and_then(|one| one.radius);
    let (Some(left), Some(right)) = (radius(eyepieces.left), radius(eyepieces.right)) else {
        return Ok(None);
    };
    let radii = PerChannel { left, right };
    let circles = PerChannel::from_fn(|channel: Channel| {
        OffsetCircle::unphased(centres.at[channel], radii[channel].arcmin)
    });
    let shims = if candidate.leaves == 0 {
        PerChannel { left: None, right: None }
    } else {
        let stock = ShimStock::of(housing, shelf.most_leaves)?;
        let judge = WindowJudge::new(shelf.window, housing.swing);
        let mut all = usize::MAX;
        let Some(worth) = judge.shimmed(&circles.left, &circles.right, &stock, &mut all) else {
            return Ok(None);
        };
        worth.shims.map(|shim| shim.and_then(|index| stock.shims.get(index).cloned()))
    };
    let shift = |channel: Channel| {
        shims[channel].as_ref().map_or(Direction::BORESIGHT, |shim: &ChannelShim| shim.shift)
    };
    let relative_u = housing.effect.map_or(0.0, |effect| effect.relative_u());
    let shifts = PerChannel::from_fn(shift);
    let prediction = predict(centres, radii, shifts, relative_u, &shelf.window, housing.swing);
    Ok(prediction.map(|prediction| Match {
        housing: index,
        tubes,
        turned,
        eyepieces,
        shims,
        prediction,
    }))
}

fn centres_of(
    shelf: &Shelf,
    housing: usize,
    tubes: PerChannel<usize>,
    turned: PerChannel<bool>,
    eyepieces: PerChannel<usize>,
) -> Result<Centres, crate::shelf::offsets::Missing> {
    let seated = PerChannel::from_fn(|channel: Channel| Seated {
        tube: tubes[channel],
        turned_deg: if turned[channel] { 180.0 } else { 0.0 },
    });
    let mut centres = shelf.offsets.centres(housing, seated)?;
    for (channel, first) in [(Channel::Left, 0), (Channel::Right, 2)] {
        let Some(eyepiece) = shelf.eyepieces.get(eyepieces[channel]) else { continue };
        let moved = centres.at[channel] + eyepiece.centre.value;
        match channel {
            Channel::Left => centres.at.left = moved,
            Channel::Right => centres.at.right = moved,
        }
        for i in 0..2 {
            for j in 0..2 {
                centres.covariance_arcmin2[first + i][first + j] +=
                    eyepiece.centre.covariance_arcmin2[i][j];
            }
        }
    }
    Ok(centres)
}

/// The seed of all trials: the same shelf gives the same answer on every machine.
const SEED: u64 = 24;

/// What a unit is predicted to give whose parts are given, whatever it uses of the window; `None` where
/// its circles do not meet.
///
/// `shims`: what they do to each centre, and `relative_u` the standard uncertainty of that as a share of
/// itself, the same for both.
#[must_use]
pub fn predict(
    centres: Centres,
    radii: PerChannel<Radius>,
    shims: PerChannel<Direction>,
    relative_u: f64,
    window: &Window,
    swing: Option<SwingRange>,
) -> Option<MatchPrediction> {
    let at = PerChannel::from_fn(|channel: Channel| centres.at[channel] + shims[channel]);
    let circles = PerChannel::from_fn(|channel: Channel| {
        OffsetCircle::unphased(at[channel], radii[channel].arcmin)
    });
    let (crossing, window_use) = at_crossing(&circles, window, swing)?;
    let points = PerChannel { left: crossing, right: crossing };
    let at_swing_deg = swing.map_or(0.0, |range| worst_over(points, window, range).at_deg);
    let there = swung(points, at_swing_deg);
    // What a shim does is off by the same share on both sides.
    let off =
        [shims.left.x_arcmin, shims.left.y_arcmin, shims.right.x_arcmin, shims.right.y_arcmin]
            .map(|shift| shift * relative_u);
    let mut covariance_arcmin2 = centres.covariance_arcmin2;
    for (i, row) in covariance_arcmin2.iter_mut().enumerate() {
        for (j, entry) in row.iter_mut().enumerate() {
            *entry += off[i] * off[j];
        }
    }
    let drawn = Drawn { centres: at, covariance_arcmin2, radii };
    Some(MatchPrediction {
        centres: at,
        covariance_arcmin2,
        radii,
        crossing,
        window_use,
        misalignment: Misalignment::between(there.left, there.right),
        at_swing_deg,
        chance: chance(&drawn, window, swing, SEED),
    })
}

/// Where two circles cross nearest to boresight, and what that uses of a window, the worst over a swing
/// where there is one; `None` where they do not meet.
fn at_crossing(
    circles: &PerChannel<OffsetCircle>,
    window: &Window,
    swing: Option<SwingRange>,
) -> Option<(Direction, f64)> {
    let (window_use, crossing) = scored(&circles.left, &circles.right, window, swing);
    Some((crossing?, window_use))
}

/// The same of the crossing point nearest to a place: of two that lie about as near to boresight, the one
/// that was meant.
#[must_use]
pub fn at_crossing_near(
    circles: &PerChannel<OffsetCircle>,
    near: Direction,
    window: &Window,
    swing: Option<SwingRange>,
) -> Option<(Direction, f64)> {
    let bare = |circle: OffsetCircle| OffsetCircle { phase: None, ..circle };
    let met = meet(&bare(circles.left), &bare(circles.right), RELATION_TOLERANCE).ok()?;
    let points = met.crossings().map(|crossing| crossing.point);
    let point =
        points.min_by(|a, b| a.distance_arcmin(near).total_cmp(&b.distance_arcmin(near)))?;
    let used = match swing {
        Some(range) => worst_over(PerChannel { left: point, right: point }, window, range).used,
        None => window.used_by(point, point),
    };
    Some((point, used.worst()))
}
