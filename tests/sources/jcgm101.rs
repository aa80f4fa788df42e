//! JCGM 101:2008, 9.2.2 to 9.2.4: sums of four quantities, by seeded trials. The printed figures (from
//! memory) and exact ones, by integration (scipy 1.17).

use crate::{close, printed};
use solver::monte_carlo::{Interval, Source, coverage, propagate};

const TRIALS: usize = 400_000;

/// Checks u and the 95 % interval of a sum symmetric about 0.
fn check(u: f64, half_width: f64, density_at_end: f64, model: impl FnMut(&mut Source) -> f64) {
    let values = propagate(TRIALS, 20_260_101, model);
    let count = values.len() as f64;
    let variance = values.iter().map(|value| value * value).sum::<f64>() / count;
    // The scatter of a variance is at most u²√(2/M) for these (no heavier-tailed than normal);
    // that of a quantile √(p(1 − p)/M)/density; four of each.
    close("u", variance.sqrt(), u, 4.0 * u * (0.5 / count).sqrt());
    let allowed = 4.0 * (0.025 * 0.975 / count).sqrt() / density_at_end;
    let (low, high) = coverage(&values, 0.95, Interval::Symmetric).unwrap();
    close("low", low, -half_width, allowed);
    close("high", high, half_width, allowed);
    let (short_low, short_high) = coverage(&values, 0.95, Interval::Shortest).unwrap();
    assert!(short_high - short_low <= high - low);
    close("shortest", short_high - short_low, 2.0 * half_width, 4.0 * allowed);
}

/// 9.2.2: four standard normal quantities: u 2.0, ±3.92.
#[test]
fn four_normal_quantities() {
    printed("exact", 2.0 * 1.959_963_984_540_054, 3.92, 2);
    check(2.0, 3.919_927_969_080, 0.0292, |source| (0..4).map(|_| source.normal()).sum());
}

/// 9.2.3: four rectangular quantities of unit standard deviation: u 2.0, ±3.88.
#[test]
fn four_rectangular_quantities() {
    let half = 3f64.sqrt();
    // The outermost tail of the sum is (2√3·2 − x)⁴/(4!·(2√3)⁴): exact.
    let exact = 2.0 * half * (2.0 - 0.6f64.powf(0.25));
    printed("published", exact, 3.88, 2);
    printed("exact", exact, 3.879_406_741_348, 12);
    check(2.0, exact, 0.0328, |source| (0..4).map(|_| source.rectangular(-half, half)).sum());
}

/// 9.2.4: the same with one quantity of standard deviation 10: u 10.1, ±17.0.
#[test]
fn one_rectangular_quantity_dominates() {
    let half = 3f64.sqrt();
    printed("published", 17.015_814_099_9, 17.0, 1);
    printed("published", 103f64.sqrt(), 10.1, 1);
    check(103f64.sqrt(), 17.015_814_099_9, 0.0211, |source| {
        let wide = source.rectangular(-10.0 * half, 10.0 * half);
        wide + (0..3).map(|_| source.rectangular(-half, half)).sum::<f64>()
    });
}
