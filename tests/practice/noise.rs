//! What a look adds to the truth: normal noise of the stated size, rounded, fresh at each look and the
//! same again for the same look.

use record::practice::{BuiltCell, Grade, Look, PracticeUnit, Series};
use record::{Approach, Channel};
use solver::Direction;

const LOOKS: u64 = 20_000;

fn cell() -> BuiltCell {
    BuiltCell { ring_deg: 40.0, approach: Approach::Clockwise, locked: true }
}

fn errors(grade: Grade, seed: u64) -> Vec<Direction> {
    let unit = PracticeUnit::of_series(Series::First, grade, 7).unwrap();
    let built = unit.as_made();
    let truth = built.point(Channel::Left, cell()).unwrap();
    let look = |number| built.seen(Channel::Left, cell(), Look { seed, number }).unwrap() - truth;
    (0..LOOKS).map(look).collect()
}

/// Bounds at five standard deviations of each statistic of `n` normal values: mean σ/√n, variance
/// σ²√(2/n), kurtosis √(24/n), correlation 1/√n (Kendall and Stuart, *The Advanced Theory of
/// Statistics*, vol. 1, from memory). Rounding to 0.1′ adds 0.1²/12 to the variance (Sheppard).
#[test]
fn noise_has_the_mean_the_variance_and_the_shape_it_states() {
    for &grade in Series::First.grades() {
        let hand = grade.hand();
        let expected = hand.noise_arcmin.powi(2) + hand.rounding_arcmin.powi(2) / 12.0;
        let n = LOOKS as f64;
        let errors = errors(grade, 3);
        let x: Vec<f64> = errors.iter().map(|error| error.x_arcmin).collect();
        let y: Vec<f64> = errors.iter().map(|error| error.y_arcmin).collect();
        for values in [&x, &y] {
            let mean = values.iter().sum::<f64>() / n;
            assert!(mean.abs() < 5.0 * (expected / n).sqrt(), "{grade:?}: mean {mean}");
            let moment =
                |power: i32| values.iter().map(|v| (v - mean).powi(power)).sum::<f64>() / n;
            let variance = moment(2);
            let bound = 5.0 * expected * (2.0 / n).sqrt();
            assert!((variance - expected).abs() < bound, "{grade:?}: {variance}, not {expected}");
            let kurtosis = moment(4) / variance.powi(2);
            // Rounding flattens by at most (0.1/0.15)⁴/120 = 0.002.
            assert!((kurtosis - 3.0).abs() < 5.0 * (24.0 / n).sqrt() + 0.002, "{kurtosis}");
        }
        let correlation = |a: &[f64], b: &[f64]| {
            let sum: f64 = a.iter().zip(b).map(|(a, b)| a * b).sum();
            sum / (n * expected)
        };
        // x with y of a look, and each look with the next.
        for found in [correlation(&x, &y), correlation(&x, &x[1..]), correlation(&y, &x[1..])] {
            assert!(found.abs() < 5.0 / n.sqrt(), "{grade:?}: correlation {found}");
        }
    }
}

#[test]
fn the_same_look_shows_the_same_and_another_another() {
    assert_eq!(errors(Grade::Second, 3)[..50], errors(Grade::Second, 3)[..50]);
    assert_ne!(errors(Grade::Second, 3)[..50], errors(Grade::Second, 4)[..50]);
}

#[test]
fn readings_are_whole_steps_of_the_graticule() {
    let unit = PracticeUnit::of_series(Series::First, Grade::First, 7).unwrap();
    for number in 0..200 {
        let look = Look { seed: 1, number };
        let seen = unit.as_made().seen(Channel::Right, cell(), look).unwrap();
        for value in [seen.x_arcmin, seen.y_arcmin] {
            let steps = value / 0.1;
            assert!((steps - steps.round()).abs() < 1e-9, "{value}");
        }
    }
}
