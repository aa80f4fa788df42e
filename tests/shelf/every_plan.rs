//! A thousand small shelves: every plan of each, by recursion over the housings, no bound and no price.

use std::cell::Cell;

use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use solver::meet::{RELATION_TOLERANCE, meet};
use solver::remedy::shim::shims_of;
use solver::shelf::{STEPS, Shelf, Totals, plan, plan_by_prices, plan_while};
use solver::swing::worst_over;
use solver::{Direction, OffsetCircle, PerChannel, Window};

use crate::{Invented, Sizes, invent};

/// More is better: units without a shim, units, leaves saved, millionths of use saved.
type Score = (i64, i64, i64, i64);

fn score(totals: Totals) -> Score {
    let Totals { without_shim, units, leaves, use_millionths } = totals;
    (without_shim as i64, units as i64, -(leaves as i64), -(use_millionths as i64))
}

/// The use of a pair of circles at their nearest crossing, if inside, by the published parts of the solver.
fn used(left: OffsetCircle, right: OffsetCircle, shelf: &Shelf, housing: usize) -> Option<f64> {
    let met = meet(&left, &right, RELATION_TOLERANCE).unwrap();
    let point = met.nearest()?.point;
    let used = match shelf.housings[housing].swing {
        Some(range) => {
            worst_over(PerChannel { left: point, right: point }, &shelf.window, range).used.worst()
        }
        None => shelf.window.used_by(point, point).worst(),
    };
    (used <= 1.0).then_some(used)
}

/// What the best way to put these parts together is worth, either way up, shimmed where need be.
fn pair(
    made: &Invented,
    housing: usize,
    tubes: [usize; 2],
    eyepieces: [usize; 2],
) -> Option<(i64, f64)> {
    let shelf = &made.shelf;
    let frame = &shelf.housings[housing];
    let fits = tubes.iter().all(|&tube| shelf.tubes[tube].kind == frame.kind)
        && eyepieces.iter().all(|&one| shelf.eyepieces[one].kind == frame.kind);
    if !fits {
        return None;
    }
    let bores = [made.bores[housing].left?, made.bores[housing].right?];
    let offsets = [made.tubes[tubes[0]]?, made.tubes[tubes[1]]?];
    let radii = [shelf.eyepieces[eyepieces[0]].radius?, shelf.eyepieces[eyepieces[1]].radius?];
    let shims = match (&frame.seat, &frame.effect) {
        (Some(seat), Some(effect)) => shims_of(seat, effect).unwrap(),
        _ => Vec::new(),
    };
    let mut shifts = vec![(0, Direction::BORESIGHT)];
    shifts.extend(shims.iter().map(|shim| (shim.leaves(), shim.shift)));
    let mut best: Option<(i64, f64)> = None;
    for ways in 0..4 {
        let turned = [ways & 1 == 1, ways & 2 == 2];
        if (0..2).any(|side| turned[side] && !shelf.tubes[tubes[side]].may_turn) {
            continue;
        }
        let circle = |side: usize, shift: Direction| {
            let sign = if turned[side] { -1.0 } else { 1.0 };
            let centre = bores[side] + offsets[side] * sign + shift;
            OffsetCircle::unphased(centre, radii[side].arcmin)
        };
        for &(on_left, left) in &shifts {
            for &(on_right, right) in &shifts {
                let leaves = on_left + on_right;
                if leaves > shelf.most_leaves {
                    continue;
                }
                let found = used(circle(0, left), circle(1, right), shelf, housing);
                let Some(found) = found.map(|used| (leaves as i64, used)) else { continue };
                if best.is_none_or(|held| found < held) {
                    best = Some(found);
                }
            }
        }
    }
    best
}

fn best_from(made: &Invented, housing: usize, free: u32, eyes: u32, worth: &Worths) -> Score {
    if housing == made.shelf.housings.len() {
        return (0, 0, 0, 0);
    }
    let mut best = best_from(made, housing + 1, free, eyes, worth);
    for (tubes, eyepieces, (leaves, used)) in &worth[housing] {
        let [a, b] = tubes.map(|tube| 1_u32 << tube);
        let [e, f] = eyepieces.map(|one| 1_u32 << one);
        if free & (a | b) != (a | b) || eyes & (e | f) != (e | f) {
            continue;
        }
        let rest = best_from(made, housing + 1, free & !(a | b), eyes & !(e | f), worth);
        let own = (
            rest.0 + i64::from(*leaves == 0),
            rest.1 + 1,
            rest.2 - leaves,
            rest.3 - (used * 1e6).round() as i64,
        );
        best = best.max(own);
    }
    best
}

type Worths = Vec<Vec<([usize; 2], [usize; 2], (i64, f64))>>;

fn best_of_all(made: &Invented) -> Score {
    let shelf = &made.shelf;
    let stays: Vec<usize> = shelf
        .housings
        .iter()
        .filter_map(|housing| housing.eyepieces)
        .flat_map(|pair| [pair.left, pair.right])
        .collect();
    let worth: Worths = (0..shelf.housings.len())
        .map(|housing| {
            let mut found = Vec::new();
            let mut offered = Vec::new();
            match shelf.housings[housing].eyepieces {
                Some(pair) => offered.push([pair.left, pair.right]),
                None => {
                    for e in 0..shelf.eyepieces.len() {
                        for f in 0..shelf.eyepieces.len() {
                            if e != f && !stays.contains(&e) && !stays.contains(&f) {
                                offered.push([e, f]);
                            }
                        }
                    }
                }
            }
            for a in 0..shelf.tubes.len() {
                for b in (0..shelf.tubes.len()).filter(|&b| b != a) {
                    for &eyepieces in &offered {
                        let worth = pair(made, housing, [a, b], eyepieces);
                        found.extend(worth.map(|worth| ([a, b], eyepieces, worth)));
                    }
                }
            }
            found
        })
        .collect();
    best_from(made, 0, u32::MAX, u32::MAX, &worth)
}

#[test]
fn a_thousand_small_shelves_get_the_best_of_all_plans() {
    let mut rng = ChaCha8Rng::seed_from_u64(24);
    let (mut with_shims, mut without, mut short) = (0, 0, 0);
    let (mut by_prices, mut as_good) = (0, 0);
    for case in 0..1_000 {
        let shims = case % 3 == 0;
        let few = shims || case % 2 == 0;
        let sizes = Sizes {
            housings: rng.random_range(1..=3),
            tubes: rng.random_range(2..=if few { 5 } else { 6 }),
            eyepieces: (case % 2 == 1).then(|| rng.random_range(2..=if few { 3 } else { 4 })),
            kinds: if case % 5 == 0 { 2 } else { 1 },
            spread_arcmin: rng.random_range(3.0..12.0),
            unknown: if case % 4 == 0 { 0.15 } else { 0.0 },
            shims,
        };
        let limit = |rng: &mut ChaCha8Rng| rng.random_range(2.0..30.0);
        let window = Window::new(
            limit(&mut rng),
            limit(&mut rng),
            limit(&mut rng),
            (case % 7 != 0).then_some(limit(&mut rng)),
        );
        let made = invent(&mut rng, sizes, window.unwrap());
        let found = plan(&made.shelf, STEPS).unwrap();
        let best = best_of_all(&made);
        let totals = found.totals;
        assert_eq!(score(totals), best, "shelf {case}: {:?}", found.bound);
        assert!(found.proved, "shelf {case} is not proved: {:?} {:?}", totals, found.bound);
        // The way of large shelves, where eyepieces go anywhere: a plan, and a bound that holds.
        if sizes.eyepieces.is_some() {
            let other = plan_by_prices(&made.shelf, 2_000).unwrap();
            by_prices += 1;
            as_good += usize::from(score(other.totals) == best);
            assert!(score(other.totals) <= best, "shelf {case}: {:?}", other.totals);
            assert!(best <= score(other.bound), "shelf {case}: {best:?} {:?}", other.bound);
            assert_eq!(other.matches.len(), other.totals.units, "shelf {case}");
            assert_eq!(other.proved, other.totals == other.bound);
        }
        with_shims += usize::from(totals.leaves > 0);
        without += usize::from(totals.without_shim > 1);
        short += usize::from(totals.units < sizes.housings.min(sizes.tubes / 2));
        // No part is used twice, and all that is said of a match is its own.
        let mut tubes: Vec<usize> =
            found.matches.iter().flat_map(|one| [one.tubes.left, one.tubes.right]).collect();
        let mut eyes: Vec<usize> = found
            .matches
            .iter()
            .flat_map(|one| [one.eyepieces.left, one.eyepieces.right])
            .collect();
        for used in [&mut tubes, &mut eyes] {
            let count = used.len();
            used.sort_unstable();
            used.dedup();
            assert_eq!(used.len(), count, "shelf {case}");
        }
        for one in &found.matches {
            assert!(one.prediction.window_use <= 1.0 && one.leaves() <= made.shelf.most_leaves);
        }
    }
    // The shelves are of all sorts, or the comparison says little.
    assert!(by_prices == 500 && as_good > 475, "{as_good} of {by_prices}");
    assert!(with_shims > 20 && without > 100 && short > 200, "{with_shims} {without} {short}");
}

/// Stopped after any number of steps: what is there is a plan, and no plan of all is better than its bound.
#[test]
fn a_search_that_is_stopped_says_how_good_another_plan_could_be() {
    let mut rng = ChaCha8Rng::seed_from_u64(25);
    let key = |totals: Totals| {
        let Totals { without_shim, units, leaves, use_millionths } = totals;
        (without_shim, units, std::cmp::Reverse(leaves), std::cmp::Reverse(use_millionths))
    };
    let (mut nothing, mut not_proved) = (0, 0);
    for case in 0..60 {
        let sizes = Sizes {
            housings: 4,
            tubes: 9,
            eyepieces: Some(9),
            kinds: 1,
            spread_arcmin: 6.0,
            unknown: 0.0,
            shims: case % 2 == 0,
        };
        let window = Window::new(5.0, 5.0, 4.0, None).unwrap();
        let shelf = invent(&mut rng, sizes, window).shelf;
        let asked = Cell::new(0_usize);
        let counting = || {
            asked.set(asked.get() + 1);
            true
        };
        let best = plan_while(&shelf, STEPS, &counting).unwrap().unwrap();
        assert!(best.proved);
        let all = asked.get();
        for stop_at in [0, 1, all / 2, all - all / 8, all - 1, all] {
            let asked = Cell::new(0_usize);
            let go_on = || {
                asked.set(asked.get() + 1);
                asked.get() <= stop_at
            };
            let Some(found) = plan_while(&shelf, STEPS, &go_on).unwrap() else {
                nothing += 1;
                continue;
            };
            not_proved += usize::from(!found.proved);
            assert!(key(found.totals) <= key(best.totals), "{case} {stop_at}");
            assert!(key(best.totals) <= key(found.bound), "{case} {stop_at}: {:?}", found.bound);
            assert!(!found.proved || found.totals == best.totals, "{case} {stop_at}");
        }
    }
    assert!(nothing > 60 && not_proved > 5, "{nothing} {not_proved}");
}
