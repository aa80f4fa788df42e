//! One whole number for an objective in four steps, so that no step can make up for an earlier one.
//!
//! In order: the most units inside without a shim; the most units inside; the fewest leaves; the least
//! window use, added up. Of n units at most, with at most ℓ leaves each and a use of at most 1, counted in
//! q parts:
//! - C = n q + 1 is more than all uses together, and weighs a leaf;
//! - B = C (n ℓ + 1) is more than all leaves and uses together, and weighs a unit;
//! - A = B (n + 1) is more than all units together, and weighs a unit without a shim.
//!
//! A unit is worth A [no shim] + B − C leaves − use, which is above 0. All sums stay below 2⁴⁶, where
//! floating point still counts in ones: q is 10⁶, and less for a shelf of hundreds.

/// What a plan comes to.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Totals {
    /// Units inside without a shim.
    pub without_shim: usize,
    /// Units inside.
    pub units: usize,
    /// Leaves in all.
    pub leaves: usize,
    /// Window use added up, in millionths.
    pub use_millionths: u64,
}

impl Totals {
    /// Window use added up.
    #[must_use]
    pub fn window_use(&self) -> f64 {
        self.use_millionths as f64 * 1e-6
    }
}

/// The weights.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct Weights {
    units: i64,
    parts: i64,
    leaf: i64,
    unit: i64,
    without_shim: i64,
}

const LARGEST_SUM: i128 = 1 << 46;

impl Weights {
    /// For so many units at most, with so many leaves each; `None` where not even tenths of a window can
    /// be told apart.
    pub(super) fn new(units: usize, leaves: usize) -> Option<Self> {
        let (n, most) = (i128::try_from(units).ok()?, i128::try_from(leaves).ok()?);
        let of = |parts: i128| {
            let leaf = n.checked_mul(parts)?.checked_add(1)?;
            let unit = leaf.checked_mul(n.checked_mul(most)?.checked_add(1)?)?;
            let without_shim = unit.checked_mul(n.checked_add(1)?)?;
            let sum = without_shim.checked_add(unit)?.checked_mul(n.max(1))?;
            (sum < LARGEST_SUM).then_some((parts, leaf, unit, without_shim))
        };
        let (parts, leaf, unit, without_shim) =
            [1_000_000, 100_000, 10_000, 1_000, 100, 10].into_iter().find_map(of)?;
        let small = |value: i128| i64::try_from(value).ok();
        Some(Self {
            units: small(n)?,
            parts: small(parts)?,
            leaf: small(leaf)?,
            unit: small(unit)?,
            without_shim: small(without_shim)?,
        })
    }

    /// What a unit is worth, of a use in [0, 1].
    pub(super) fn of(&self, leaves: usize, window_use: f64) -> i64 {
        let parts = (window_use * self.parts as f64).round().clamp(0.0, self.parts as f64);
        let bare = if leaves == 0 { self.without_shim } else { 0 };
        bare + self.unit - self.leaf * leaves as i64 - parts as i64
    }

    /// The most that a unit can be worth, of a use no less than this: without a shim, or with one leaf.
    pub(super) fn at_most(&self, shimmed: bool, least_use: f64) -> i64 {
        let parts = (least_use.clamp(0.0, 1.0) * self.parts as f64).floor();
        self.of(usize::from(shimmed), 0.0) - parts as i64
    }

    /// A sum of weights, told as the best that can have such a sum.
    pub(super) fn told(&self, sum: i64) -> Totals {
        let sum = sum.max(0);
        let without_shim = (sum / self.without_shim).min(self.units);
        let rest = sum - without_shim * self.without_shim;
        let units = ((rest + self.unit - 1) / self.unit).min(self.units);
        let below = (units * self.unit - rest).max(0);
        let whole = |value: i64| usize::try_from(value).unwrap_or(0);
        Totals {
            without_shim: whole(without_shim),
            units: whole(units),
            leaves: whole(below / self.leaf),
            use_millionths: u64::try_from(below % self.leaf * (1_000_000 / self.parts))
                .unwrap_or(0),
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    /// The worst of one step against the best of all later ones, at the ends of every range.
    #[test]
    fn no_step_makes_up_for_an_earlier_one() {
        for (units, leaves) in [(1, 1), (3, 4), (30, 6), (100, 8)] {
            let weights = Weights::new(units, leaves).unwrap();
            let n = units as i64;
            // One more unit without a shim, all else as bad as can be, beside one fewer with all else best.
            let many_bad = weights.of(0, 1.0);
            let none_best = n * weights.of(1, 0.0);
            assert!(many_bad > none_best, "{units} units, {leaves} leaves");
            // One more unit, all with the most leaves and the largest use, beside one fewer at best.
            assert!(n * weights.of(leaves, 1.0) > (n - 1) * weights.of(1, 0.0));
            // One leaf fewer outweighs all uses.
            let (fewer, more) = (weights.leaf, n * weights.parts);
            assert!(fewer > more);
        }
        assert_eq!(Weights::new(usize::MAX, 4), None);
    }

    #[test]
    fn a_sum_is_told_as_what_it_was_made_of() {
        let weights = Weights::new(12, 4).unwrap();
        let made = [(0, 0.25), (0, 0.5), (2, 0.125), (1, 1.0)];
        let sum = made.iter().map(|&(leaves, share)| weights.of(leaves, share)).sum();
        let told = weights.told(sum);
        assert_eq!((told.without_shim, told.units, told.leaves), (2, 4, 3));
        assert_eq!(told.use_millionths, 1_875_000);
    }
}
