//! The setting for a range of swing against searches that share nothing with the solver.

use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use solver::setting::{best_compromise, best_over_swing};
use solver::swing::SwingRange;
use solver::{Direction, OffsetCircle, PerChannel, Window};

use crate::{invent, lowest_over_turn};

/// The worst use over a range by trying swings, a tenth of a degree apart and at both ends; written
/// with the rotations themselves, not with the solver's formulas for them.
fn worst_by_trying(
    points: PerChannel<Direction>,
    window: &Window,
    range: SwingRange,
    steps: u32,
) -> f64 {
    (0..=steps)
        .map(|k| {
            let share = f64::from(k) / f64::from(steps);
            let deg = range.low_deg() + share * (range.high_deg() - range.low_deg());
            let rad = deg.to_radians();
            let (left, right) = (points.left.rotated(rad), points.right.rotated(-rad));
            window.used_by(left, right).worst()
        })
        .fold(0.0, f64::max)
}

fn place(circle: &OffsetCircle, angle: f64) -> Direction {
    circle.centre + Direction::polar(circle.radius_arcmin, angle)
}

/// Random units, over ranges where the worst is at an end for the box but may lie within for
/// boresight. The grid sees the swing at 9 places, so it may find what is really up to a little worse: its
/// answer is a lower bound of the truth along the swing and an upper one along the rings.
#[test]
fn the_swing_setting_agrees_with_grid_search() {
    for seed in 0..25 {
        let mut rng = ChaCha8Rng::seed_from_u64(1_000 + seed);
        let (left, right, window) = invent(&mut rng);
        let low = rng.random_range(-20.0..0.0);
        let range = SwingRange::new(low, rng.random_range(low..20.0)).unwrap();
        let found = best_over_swing(&left, &right, &window, range).unwrap();
        let value = found.price.over_swing.used.worst();
        assert!(found.gap <= 1e-8 * value.max(1.0), "seed {seed}: gap {}", found.gap);
        let searched = lowest_over_turn(120, |a| {
            let p = place(&left, a);
            lowest_over_turn(40, |b| {
                let points = PerChannel { left: p, right: place(&right, b) };
                worst_by_trying(points, &window, range, 8)
            })
        });
        // Between tried swings, 40°/8 apart at most, |b| can only rise by 1 − cos 2.5° of itself, and a
        // part of m by as much of its amplitude, below 4·70′ in a window of 3′.
        let unseen = (1.0 - 2.5_f64.to_radians().cos()) * 280.0 / 3.0;
        assert!(value <= searched + unseen, "seed {seed}: {value} but the grid finds {searched}");
        // The search stops at 1e-9 rad on circles of up to 40′ in windows of 3′ and more.
        assert!(value >= searched - 3e-8, "seed {seed}: {value} but the grid finds {searched}");
        let finely = worst_by_trying(found.points, &window, range, 400);
        assert!((finely..=finely + unseen).contains(&value) || (finely - value).abs() < 1e-12);
    }
}

/// No other pair of places does better, tried at random with the exact worst; and neither does the
/// setting at rest.
#[test]
fn nothing_tried_is_better_over_the_swing() {
    for seed in 0..60 {
        let mut rng = ChaCha8Rng::seed_from_u64(2_000 + seed);
        let (left, right, window) = invent(&mut rng);
        let low: f64 = rng.random_range(-180.0..170.0);
        let range = SwingRange::new(low, rng.random_range(low..180.0)).unwrap();
        let found = best_over_swing(&left, &right, &window, range).unwrap();
        let value = found.price.over_swing.used.worst();
        let allowed = 1e-8 * value.max(1.0);
        let at_rest = best_compromise(&left, &right, Some(&window)).unwrap();
        let worst = |points| solver::swing::worst_over(points, &window, range).used.worst();
        assert!(worst(at_rest.points) >= value - allowed);
        for _ in 0..2_000 {
            let mut angle = || rng.random_range(0.0..core::f64::consts::TAU);
            let points = PerChannel { left: place(&left, angle()), right: place(&right, angle()) };
            assert!(worst(points) >= value - found.gap - 1e-12, "seed {seed}: {points:?}");
        }
    }
}

/// A range of no width is the compromise at that swing: at rest itself, elsewhere of the circles
/// swung there.
#[test]
fn a_range_of_one_swing_is_the_compromise_there() {
    for seed in 0..60 {
        let mut rng = ChaCha8Rng::seed_from_u64(3_000 + seed);
        let (left, right, window) = invent(&mut rng);
        for deg in [0.0, 12.5, -40.0_f64] {
            let range = SwingRange::new(deg, deg).unwrap();
            let found = best_over_swing(&left, &right, &window, range).unwrap();
            let swung = |circle: &OffsetCircle, deg: f64| OffsetCircle {
                centre: circle.centre.rotated(deg.to_radians()),
                ..*circle
            };
            let there =
                best_compromise(&swung(&left, deg), &swung(&right, -deg), Some(&window)).unwrap();
            let value = found.price.over_swing.used.worst();
            // Both are within their gaps of the same minimum, and of a dozen roundings.
            let apart = (value - there.value).abs();
            assert!(apart <= found.gap.max(there.gap) + 1e-12, "seed {seed}: {value} {there:?}");
        }
    }
}

/// A far crossing is right at one interpupillary distance only: over the swing a nearer setting that is
/// wrong at rest costs less, and both prices say so.
#[test]
fn a_far_crossing_is_dear_over_the_swing() {
    let left = OffsetCircle::unphased(Direction::new(0.0, 30.0), 20.0);
    let right = OffsetCircle::unphased(Direction::new(4.0, 36.0), 20.0);
    let window = Window::new(45.0, 20.0, 15.0, None).unwrap();
    let range = SwingRange::new(0.0, 30.0).unwrap();
    let rest = best_compromise(&left, &right, Some(&window)).unwrap();
    let at_rest = solver::setting::Price::of(rest.points, &window, range);
    let swung = best_over_swing(&left, &right, &window, range).unwrap();
    assert_eq!(at_rest.at_rest.worst(), 0.0);
    assert!(swung.price.at_rest.worst() > 0.0);
    assert!(swung.price.over_swing.used.worst() < at_rest.over_swing.used.worst());
}
