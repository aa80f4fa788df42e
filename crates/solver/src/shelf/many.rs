//! The plan of a shelf that is too large for every unit to be looked at, none with a shim.
//!
//! Parts change places first ([`super::swaps`]); then units are settled one by one by the prices of their parts
//! ([`super::priced`]), and some of them time and again anew beside the others. The prices at which nothing is
//! settled bound every plan: the most units, and the least that so many can use.

use crate::monte_carlo::Source;
use crate::shelf::columns::Candidate;
use crate::shelf::known::Known;
use crate::shelf::model::Shelf;
use crate::shelf::priced::{PARTS, Pricing, UNIT, sum_of};
use crate::shelf::swaps::by_swaps;
use crate::shelf::weights::Totals;

/// Changes of place to each step that is allowed.
const CHANGES: usize = 5;
/// Units that are chosen anew at a time, and how often.
const FREED: usize = 7;
const OFTEN: usize = 150;
const SEED: u64 = 30;

/// What was found.
pub(super) struct Many {
    /// The units of the best plan found.
    pub(super) units: Vec<Candidate>,
    /// No plan without shims comes to more.
    pub(super) bound: Totals,
    /// The best unit of all.
    pub(super) best_single: Option<Candidate>,
    /// Units looked at that come inside.
    pub(super) looked_at: usize,
    /// Steps of the linear programme.
    pub(super) steps: usize,
}

/// The best plan found of `most` units at most, and what no other comes to; `None` where `go_on` said no at
/// once.
pub(super) fn of_many(
    shelf: &Shelf,
    known: &Known,
    most: usize,
    steps: usize,
    go_on: &dyn Fn() -> bool,
) -> Option<Many> {
    let mut best = by_swaps(shelf, known, steps.saturating_mul(CHANGES), go_on)?;
    let mut pricing = Pricing::of(shelf, known, most, steps, go_on);
    for one in &best {
        pricing.take(*one);
    }
    let bound = pricing.bound(most);
    // A unit is worth that much at least.
    let units = |bound: i64| usize::try_from(bound / (UNIT - PARTS as i64)).unwrap_or(0);
    let most_units = bound.map_or(most, units).min(most);
    better(&mut best, pricing.dive(&[], None));
    let mut source = Source::seeded(SEED);
    for _ in 0..OFTEN {
        if !pricing.may_go_on() || best.len() <= FREED {
            break;
        }
        let mut kept = best.clone();
        let mut freed = Vec::new();
        for _ in 0..FREED {
            let at = source.rectangular(0.0, kept.len() as f64) as usize;
            freed.push(kept.swap_remove(at.min(kept.len() - 1)));
        }
        better(&mut best, pricing.dive(&kept, Some(&freed)));
    }
    // Where no plan has as many units as there could be parts for, the bound of the use is that of so many.
    let of_so_many = if most_units < most && best.len() == most_units {
        pricing.bound(most_units)
    } else {
        bound
    };
    let least = of_so_many.map_or(0, |bound| most_units as i64 * UNIT - bound);
    let best_single = pricing.units.iter().min_by(|a, b| a.window_use.total_cmp(&b.window_use));
    Some(Many {
        units: best,
        bound: Totals {
            without_shim: most_units,
            units: most_units,
            leaves: 0,
            use_millionths: u64::try_from(least).unwrap_or(0),
        },
        best_single: best_single.copied(),
        looked_at: pricing.units.len(),
        steps: pricing.simplex.pivots,
    })
}

/// Takes what was found where it is better: more units, or as many that use less.
fn better(best: &mut Vec<Candidate>, found: Vec<Candidate>) {
    if (best.len(), sum_of(&found)) < (found.len(), sum_of(best)) {
        *best = found;
    }
}
