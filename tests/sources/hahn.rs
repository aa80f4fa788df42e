//! Prediction limits of one further value.
//!
//! G. J. Hahn, *Factors for Calculating Two-Sided Prediction Intervals for Samples from a Normal
//! Distribution*, J. Amer. Statist. Assoc. 64 (1969) 878: mean ± r s holds the next value with 95 %; r for
//! one value of 5, 10 and 25: 3.04, 2.37, 2.10 (from memory; by hand t √(1 + 1/n) with the printed t
//! 2.776, 2.262 and 2.064).

use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use solver::stats::sample::Sample;
use solver::upkeep::check_standard::ControlChart;

#[test]
fn factors_of_the_table() {
    for (count, factor) in [(5_u32, 3.04), (10, 2.37), (25, 2.10)] {
        let values: Vec<f64> = (0..count).map(f64::from).collect();
        let chart = ControlChart::from_baseline(&values).unwrap();
        // 95 % lies within 1.959 964 standard deviations.
        let limits = chart.next_value(1.959_964, false).unwrap();
        let found = (limits.high - limits.centre) / chart.baseline.deviation.unwrap();
        assert!((found - factor).abs() < 0.006, "{count}: {found}");
        assert!(
            (limits.centre - limits.low - found * chart.baseline.deviation.unwrap()).abs() < 1e-12
        );
    }
    // The same of any sample; its other half is the mean's own interval.
    for (count, factor) in [(5_u32, 3.04), (10, 2.37), (25, 2.10)] {
        let values: Vec<f64> = (0..count).map(f64::from).collect();
        let sample = Sample::of(&values).unwrap();
        let found = sample.half_width_of_next(0.95).unwrap().unwrap() / sample.deviation.unwrap();
        assert!((found - factor).abs() < 0.006, "{count}: {found}");
    }
    assert_eq!(Sample::of(&[1.0]).unwrap().half_width_of_next(0.95), Ok(None));
    let chart = ControlChart::from_baseline(&[0.0, 1.0, 0.5]).unwrap();
    assert!(chart.next_value(-1.0, false).is_err() && chart.next_value(f64::NAN, true).is_err());
    let wide = chart.next_value(50.0, true).unwrap();
    assert!(wide.high.is_finite() && wide.high - wide.centre >= 50.0 * 0.75 * 0.886);
}

/// Of twelve days, 40,000 times: limits that take them for exact leave the next day outside several times
/// as often as three standard deviations promise (0.27 %), prediction limits about that often. Three
/// standard deviations of such a share are 0.08 %; the degrees of freedom of a mean moving range are an
/// approximation, so that it is given twice.
#[test]
fn three_standard_deviations_keep_their_promise() {
    let rng = &mut ChaCha8Rng::seed_from_u64(12);
    let mut normal = || {
        let (u, v): (f64, f64) = (1.0 - rng.random::<f64>(), rng.random());
        (-2.0 * u.ln()).sqrt() * (core::f64::consts::TAU * v).cos()
    };
    let trials = 40_000;
    let [mut exact, mut by_range, mut by_deviation] = [0.0_f64; 3];
    for _ in 0..trials {
        let days: Vec<f64> = (0..12).map(|_| normal()).collect();
        let next = normal();
        let chart = ControlChart::from_baseline(&days).unwrap();
        exact += f64::from(!chart.individuals(3.0).hold(next));
        by_range += f64::from(!chart.next_value(3.0, true).unwrap().hold(next));
        by_deviation += f64::from(!chart.next_value(3.0, false).unwrap().hold(next));
    }
    let share = |count: f64| count / f64::from(trials);
    assert!(share(exact) > 3.0 * 0.0027, "{}", share(exact));
    assert!((share(by_deviation) - 0.0027).abs() < 0.0008, "{}", share(by_deviation));
    assert!((share(by_range) - 0.0027).abs() < 0.0016, "{}", share(by_range));
}
