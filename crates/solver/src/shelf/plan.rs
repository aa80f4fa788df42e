//! From a shelf to the best plan, with what each match is predicted to give.

use std::collections::BTreeSet;

use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::direction::{Direction, Misalignment};
use crate::error::Error;
use crate::remedy::plans::scored;
use crate::remedy::shim::Shim;
use crate::shelf::chance::{Drawn, chance};
use crate::shelf::columns::{Candidate, Candidates, candidates};
use crate::shelf::model::{Match, Plan, Prediction, Radius, Shelf};
use crate::shelf::offsets::{Centres, Seated};
use crate::shelf::search::{Choice, Chosen, choose};
use crate::shelf::weights::{Totals, Weights};
use crate::shelf::worth::{Judge, Stock};
use crate::swing::{SwingRange, swung, worst_over};

/// Steps of the search that a shelf is worth: some seconds.
pub const STEPS: usize = 200_000;

/// The best plan of a shelf: the most units inside without a shim, then the most units inside, then the
/// fewest leaves, then the least window use, added up.
///
/// Only what is known is matched: a part whose circles cannot be told takes no part, and is named in
/// [`Plan::unknown`]. `steps`: how long the search may take, [`STEPS`] for a few seconds; where they do not
/// do, the plan is the best found, and [`Plan::bound`] says how much better another could be.
///
/// # Errors
/// [`Error::OutOfRange`] for more than 150 housings, 400 tubes, 400 eyepieces or 8 leaves, an eyepiece that
/// stays in two pods, a radius that is none, or a seat that takes too many shims.
pub fn plan(shelf: &Shelf, steps: usize) -> Result<Plan, Error> {
    let bare = candidates(shelf, false)?;
    let most = most_units(shelf);
    let (mut found, mut chosen) = (bare, None);
    if let Some(first) = choice_of(shelf, &found, most, steps)? {
        // A shim is only looked for where not every unit that can be built does without.
        let all = first.candidates.len() == most && first.sum == first.bound;
        chosen = Some(first).filter(|_| all);
    }
    let could_shim = shelf.most_leaves > 0
        && shelf.housings.iter().any(|one| one.seat.is_some() && one.effect.is_some());
    if chosen.is_none() && could_shim {
        found = candidates(shelf, true)?;
    }
    let chosen = match chosen {
        Some(chosen) => chosen,
        None => choice_of(shelf, &found, most, steps)?.unwrap_or(Chosen {
            candidates: Vec::new(),
            sum: 0,
            bound: 0,
            steps: 0,
        }),
    };
    let weights = Weights::new(most, shelf.most_leaves).ok_or(TOO_MANY)?;
    let mut matches = Vec::new();
    for &index in &chosen.candidates {
        if let Some(candidate) = found.inside.get(index) {
            matches.extend(of(shelf, candidate)?);
        }
    }
    matches.sort_by_key(|one| one.housing);
    let best = found
        .inside
        .iter()
        .min_by(|a, b| a.leaves.cmp(&b.leaves).then(a.window_use.total_cmp(&b.window_use)));
    let best_single = match best {
        Some(best) => of(shelf, best)?,
        None => None,
    };
    let proved = chosen.bound <= chosen.sum;
    let totals = Totals {
        without_shim: matches.iter().filter(|one| one.leaves() == 0).count(),
        units: matches.len(),
        leaves: matches.iter().map(Match::leaves).sum(),
        use_millionths: weights.told(chosen.sum).use_millionths,
    };
    Ok(Plan {
        totals,
        bound: if proved { totals } else { weights.told(chosen.bound) },
        proved,
        best_single,
        unknown: found.unknown,
        candidates: found.inside.len(),
        steps: chosen.steps,
        matches,
    })
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
    most_steps: usize,
) -> Result<Option<Chosen>, Error> {
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
    Ok(Some(choose(&Choice {
        candidates: &found.inside,
        left_out: &found.left_out,
        weights,
        most_units,
        counts: [shelf.housings.len(), shelf.tubes.len(), shelf.eyepieces.len()],
        stays,
        most_steps,
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
        let stock = Stock::of(housing, shelf.most_leaves)?;
        let judge = Judge::new(shelf.window, housing.swing);
        let Some(worth) = judge.shimmed(&circles.left, &circles.right, &stock) else {
            return Ok(None);
        };
        worth.shims.map(|shim| shim.and_then(|index| stock.shims.get(index).cloned()))
    };
    let prediction = predicted(
        shelf,
        housing.swing,
        centres,
        radii,
        &shims,
        housing.effect.map_or(0.0, |effect| effect.relative_u()),
    );
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

/// What circles give with these shims; `None` where they do not meet.
fn predicted(
    shelf: &Shelf,
    swing: Option<SwingRange>,
    centres: Centres,
    radii: PerChannel<Radius>,
    shims: &PerChannel<Option<Shim>>,
    relative_u: f64,
) -> Option<Prediction> {
    let shift =
        |channel: Channel| shims[channel].as_ref().map_or(Direction::BORESIGHT, |shim| shim.shift);
    let at = PerChannel::from_fn(|channel| centres.at[channel] + shift(channel));
    let (window_use, crossing) = scored(
        &OffsetCircle::unphased(at.left, radii.left.arcmin),
        &OffsetCircle::unphased(at.right, radii.right.arcmin),
        &shelf.window,
        swing,
    );
    let crossing = crossing?;
    let points = PerChannel { left: crossing, right: crossing };
    let at_swing_deg = swing.map_or(0.0, |range| worst_over(points, &shelf.window, range).at_deg);
    let there = swung(points, at_swing_deg);
    let drawn = Drawn {
        centres: at,
        covariance_arcmin2: centres.covariance_arcmin2,
        radii,
        shims: PerChannel::from_fn(|channel| shift(channel) * relative_u),
    };
    Some(Prediction {
        centres: at,
        covariance_arcmin2: centres.covariance_arcmin2,
        radii,
        crossing,
        window_use,
        misalignment: Misalignment::between(there.left, there.right),
        at_swing_deg,
        chance: chance(&drawn, &shelf.window, swing, SEED),
    })
}

/// The seed of all trials: the same shelf gives the same answer on every machine.
const SEED: u64 = 24;

/// What a unit is predicted to give whose parts are given, whatever it uses of the window; `None` where
/// its circles do not meet.
///
/// `shims` as they are in it. What each shift is uncertain by, as a share of itself: `relative_u`.
///
/// # Errors
/// [`Missing`](crate::shelf::offsets::Missing) says what is not known.
pub fn predict(
    shelf: &Shelf,
    housing: usize,
    seated: PerChannel<Seated>,
    radii: PerChannel<Radius>,
) -> Result<Option<Prediction>, crate::shelf::offsets::Missing> {
    let centres = shelf.offsets.centres(housing, seated)?;
    let swing = shelf.housings.get(housing).and_then(|housing| housing.swing);
    let none = PerChannel { left: None, right: None };
    Ok(predicted(shelf, swing, centres, radii, &none, 0.0))
}
