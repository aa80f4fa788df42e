//! Every unit that could be built of a shelf and come inside.
//!
//! A housing, a tube in each pod either way up, an eyepiece in each. Where shelf and eyepieces make more
//! pairs than are looked at ([`MOST_PAIRS`]), each tube in a pod keeps the eyepieces that bring its circle
//! nearest to boresight; and each housing has its share of
//! shims to try. What was left out is bounded: a crossing lies on both circles, so it uses
//! no less of the window than the nearer of them allows.

use crate::channel::Channel;
use crate::error::Error;
use crate::shelf::known::{Half, Halves, Known};
use crate::shelf::model::{Radius, Shelf, Unknown};
use crate::shelf::worth::{ShimStock, WindowJudge};

/// Most pairs of circles that are all looked at.
const MOST_PAIRS: usize = 7_000_000;
/// Pairs that are looked at where there are more.
const SOME_PAIRS: usize = 1_000_000;
/// Most pairs of shims that are looked at in all, each housing its share.
const MOST_SHIMS_TRIED: usize = 60_000_000;

/// A unit that would come inside.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Candidate {
    pub(super) housing: u16,
    pub(super) tubes: [u16; 2],
    pub(super) eyepieces: [u16; 2],
    pub(super) turned: [bool; 2],
    pub(super) leaves: u16,
    pub(super) window_use: f64,
}

/// Units that were not looked at: of a housing with this tube in it, none uses less.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct LeftOut {
    pub(super) housing: u16,
    pub(super) tube: u16,
    /// Whether it could only come inside with a shim.
    pub(super) shimmed: bool,
    pub(super) least_use: f64,
}

/// All candidates, what was left out, and what is not known.
#[derive(Clone, Debug, Default)]
pub(super) struct Candidates {
    pub(super) inside: Vec<Candidate>,
    pub(super) left_out: Vec<LeftOut>,
    pub(super) unknown: Vec<Unknown>,
}

/// The largest numbers of parts that are matched: indices and time are bounded.
pub(super) const MOST_HOUSINGS: usize = 150;
pub(super) const MOST_TUBES: usize = 400;
pub(super) const MOST_EYEPIECES: usize = 400;

/// # Errors
/// [`Error::OutOfRange`] for more parts than are matched, a number that names no part, a radius that is
/// none; as for [`shims_of`](crate::remedy::shim::shims_of).
pub(super) fn check(shelf: &Shelf) -> Result<(), Error> {
    for (what, count, most, must) in [
        ("the number of housings", shelf.housings.len(), MOST_HOUSINGS, "150 at most"),
        ("the number of tubes", shelf.tubes.len(), MOST_TUBES, "400 at most"),
        ("the number of eyepieces", shelf.eyepieces.len(), MOST_EYEPIECES, "400 at most"),
        ("the number of leaves in a unit", shelf.most_leaves, 8, "8 at most"),
    ] {
        Error::check(count <= most, what, count as f64, must)?;
    }
    let mut kept = vec![false; shelf.eyepieces.len()];
    for pair in shelf.housings.iter().filter_map(|housing| housing.eyepieces) {
        for (_, &number) in pair.iter() {
            let free = kept.get(number).is_some_and(|kept| !kept);
            let must = "of an eyepiece that is listed and in no other pod";
            Error::check(free, "the number of an eyepiece", number as f64, must)?;
            if let Some(kept) = kept.get_mut(number) {
                *kept = true;
            }
        }
    }
    for Radius { arcmin, u_arcmin } in shelf.eyepieces.iter().filter_map(|one| one.radius) {
        let (holds, known) = (arcmin > 0.0 && arcmin.is_finite(), u_arcmin >= 0.0);
        Error::check(holds, "the radius of an eyepiece's circle", arcmin, "more than 0′")?;
        let what = "the uncertainty of an eyepiece's radius";
        Error::check(known && u_arcmin.is_finite(), what, u_arcmin, "0′ or more")?;
    }
    Ok(())
}

/// Pairs of circles, with so many eyepieces that go anywhere to each tube.
fn pairs(shelf: &Shelf, known: &Known, per_tube: usize) -> usize {
    let ways = known.ways.iter().zip(&shelf.housings).map(|([left, right], housing)| {
        let each = if housing.eyepieces.is_some() { 1 } else { per_tube };
        left.len() * each * right.len() * each
    });
    ways.sum()
}

/// Whether there are so few pairs of circles that each is looked at.
pub(super) fn all_are_looked_at(shelf: &Shelf, known: &Known) -> bool {
    pairs(shelf, known, known.free.len().max(1)) <= MOST_PAIRS
}

/// Every unit that would come inside; those that need a shim only where `with_shims`. `None` where
/// `go_on`, which is asked time and again, says no.
///
/// # Errors
/// As [`check`].
pub(super) fn candidates(
    shelf: &Shelf,
    with_shims: bool,
    go_on: &dyn Fn() -> bool,
) -> Result<Option<Candidates>, Error> {
    check(shelf)?;
    let known = Known::of(shelf);
    let mut found = Candidates { unknown: known.unknown.clone(), ..Candidates::default() };
    // All eyepieces with each tube, or so many that all is looked at in bounded time.
    let all = known.free.len().max(1);
    let (each, in_all) = if all_are_looked_at(shelf, &known) {
        (all, usize::MAX)
    } else {
        let each = ((SOME_PAIRS / pairs(shelf, &known, 1).max(1)) as f64).sqrt() as usize;
        let in_all = ((SOME_PAIRS / shelf.housings.len().max(1)) as f64).sqrt() as usize;
        (each.clamp(1, all), in_all.max(1))
    };
    for (index, housing) in shelf.housings.iter().enumerate() {
        let judge = WindowJudge::new(shelf.window, housing.swing);
        let stock = ShimStock::of(housing, if with_shims { shelf.most_leaves } else { 0 })?;
        let mut left_to_look_at = MOST_SHIMS_TRIED / shelf.housings.len().max(1);
        let sides = Channel::BOTH.map(|channel| {
            let halves = known.halves(shelf, index, channel, &judge);
            let (kept, dropped) = fewer(halves, each, in_all);
            found.left_out.extend(dropped.into_iter().map(|(tube, least_use)| LeftOut {
                housing: index as u16,
                tube,
                shimmed: false,
                least_use,
            }));
            kept
        });
        let [lefts, rights] = &sides;
        for left in lefts {
            for right in rights {
                if !go_on() {
                    return Ok(None);
                }
                let (Some(a), Some(b)) = (left.first(), right.first()) else { continue };
                if a.tube == b.tube || a.eyepiece == b.eyepiece {
                    continue;
                }
                let mut best: Option<Candidate> = None;
                let offer =
                    |best: &mut Option<Candidate>, l: &Half, r: &Half, worth: (usize, f64)| {
                        let (leaves, window_use) = worth;
                        let better = best
                            .is_none_or(|held| worth < (usize::from(held.leaves), held.window_use));
                        if better {
                            *best = Some(Candidate {
                                housing: index as u16,
                                tubes: [l.tube, r.tube],
                                eyepieces: [l.eyepiece, r.eyepiece],
                                turned: [l.turned, r.turned],
                                leaves: leaves as u16,
                                window_use,
                            });
                        }
                    };
                for l in left {
                    for r in right {
                        if let Some(window_use) = judge.bare(&l.circle, &r.circle) {
                            offer(&mut best, l, r, (0, window_use));
                        }
                    }
                }
                if best.is_none() && !stock.shims.is_empty() {
                    for l in left {
                        for r in right {
                            if left_to_look_at == 0 {
                                found.left_out.push(LeftOut {
                                    housing: index as u16,
                                    tube: l.tube,
                                    shimmed: true,
                                    least_use: 0.0,
                                });
                            } else if let Some(worth) =
                                judge.shimmed(&l.circle, &r.circle, &stock, &mut left_to_look_at)
                            {
                                offer(&mut best, l, r, (worth.leaves, worth.window_use));
                            }
                        }
                    }
                }
                found.inside.extend(best);
            }
        }
    }
    found.left_out.sort_by_key(|out| (out.housing, out.tube, out.shimmed));
    found.left_out.dedup_by(|next, kept| {
        let same =
            (next.housing, next.tube, next.shimmed) == (kept.housing, kept.tube, kept.shimmed);
        if same {
            kept.least_use = kept.least_use.min(next.least_use);
        }
        same
    });
    Ok(Some(found))
}

/// Of each tube the best eyepieces, of all halves the best; and of what was left out, the least use by
/// tube.
fn fewer(halves: Halves, each: usize, in_all: usize) -> (Halves, Vec<(u16, f64)>) {
    let least = |half: &Vec<Half>| half.iter().map(|h| h.least_use).fold(f64::INFINITY, f64::min);
    let tube = |half: &Vec<Half>| half.first().map_or(u16::MAX, |h| h.tube);
    let mut dropped = Vec::new();
    let mut kept: Halves = Vec::new();
    for of_tube in halves.chunk_by(|a, b| tube(a) == tube(b)) {
        let mut of_tube = of_tube.to_vec();
        if of_tube.len() > each {
            // Half of them by what they allow, half by turns, so that every eyepiece is with some tube.
            of_tube.sort_by(|a, b| least(a).total_cmp(&least(b)));
            let by_turns = usize::from(tube(&of_tube[0])) * each;
            let count = of_tube.len() - each.div_ceil(2);
            for k in 0..each / 2 {
                let from = each.div_ceil(2) + k;
                let to = each.div_ceil(2) + (by_turns + k) % count;
                of_tube.swap(from, to);
            }
        }
        dropped.extend(of_tube.iter().skip(each).map(|half| (tube(half), least(half))));
        of_tube.truncate(each);
        kept.extend(of_tube);
    }
    kept.sort_by(|a, b| least(a).total_cmp(&least(b)));
    dropped.extend(kept.iter().skip(in_all).map(|half| (tube(half), least(half))));
    kept.truncate(in_all);
    (kept, dropped)
}
