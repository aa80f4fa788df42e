//! Settings against plain searches that share no code and no idea with the solver.
//!
//! - here: the best compromise against a search, ring by ring, on a grid looked at ever more closely;
//! - `over_swing`: the setting for a range of swing against such a search and against trying;
//! - `slips`: slack and ring map against walking the rings in small steps.

#![allow(clippy::unwrap_used, clippy::panic, reason = "tests fail by panicking")]
#![allow(clippy::print_stdout, reason = "the long comparison says how close it came")]

mod over_swing;
mod slips;

use core::f64::consts::TAU;

use rand::rngs::ChaCha8Rng;
use rand::{RngExt, SeedableRng};
use solver::setting::best_compromise;
use solver::{Direction, OffsetCircle, Window};

/// A random pair of circles and a window, of the sizes a bench sees.
fn invent(rng: &mut ChaCha8Rng) -> (OffsetCircle, OffsetCircle, Window) {
    let mut circle = || {
        let centre = Direction::new(rng.random_range(-30.0..30.0), rng.random_range(-30.0..30.0));
        OffsetCircle::unphased(centre, rng.random_range(1.0..40.0))
    };
    let (left, right) = (circle(), circle());
    let mut limit = || rng.random_range(3.0..45.0);
    let (convergence, divergence, dipvergence, boresight) = (limit(), limit(), limit(), limit());
    let boresight = (boresight > 8.0).then_some(boresight);
    (left, right, Window::new(convergence, divergence, dipvergence, boresight).unwrap())
}

/// The lowest value of a function of an angle: a grid of `n`, then golden sections about each
/// local minimum of the grid.
fn lowest_over_turn(n: usize, value: impl Fn(f64) -> f64) -> f64 {
    let step = TAU / n as f64;
    let grid: Vec<f64> = (0..n).map(|k| value(k as f64 * step)).collect();
    let mut lowest = f64::INFINITY;
    for k in 0..n {
        if grid[k] > grid[(k + n - 1) % n] || grid[k] > grid[(k + 1) % n] {
            continue;
        }
        lowest = lowest.min(golden((k as f64 - 1.0) * step, (k as f64 + 1.0) * step, &value));
    }
    lowest
}

/// The lowest value between two angles, by golden sections down to 1e-9 rad.
fn golden(mut from: f64, mut to: f64, value: impl Fn(f64) -> f64) -> f64 {
    const SHARE: f64 = 0.618_033_988_749_894_8;
    let (mut a, mut b) = (to - SHARE * (to - from), from + SHARE * (to - from));
    let (mut at_a, mut at_b) = (value(a), value(b));
    while to - from > 1e-9 {
        if at_a < at_b {
            (to, b, at_b) = (b, a, at_a);
            a = to - SHARE * (to - from);
            at_a = value(a);
        } else {
            (from, a, at_a) = (a, b, at_b);
            b = from + SHARE * (to - from);
            at_b = value(b);
        }
    }
    at_a.min(at_b)
}

/// The lowest window use: for each left place the lowest over the right ones.
fn grid_search(left: &OffsetCircle, right: &OffsetCircle, window: &Window, n: usize) -> f64 {
    let place = |circle: &OffsetCircle, angle: f64| {
        circle.centre + Direction::new(angle.cos(), angle.sin()) * circle.radius_arcmin
    };
    lowest_over_turn(n, |a| {
        let p = place(left, a);
        lowest_over_turn(n / 4, |b| window.used_by(p, place(right, b)).worst())
    })
}

fn compare(cases: u64, grid: usize) {
    let mut farthest = 0.0_f64;
    for seed in 0..cases {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let (left, right, window) = invent(&mut rng);
        let found = best_compromise(&left, &right, Some(&window)).unwrap();
        let searched = grid_search(&left, &right, &window, grid);
        // The gap is what the proof leaves open. The search stops at 1e-9 rad on circles of up to
        // 40′ in windows of 3′ and more, so it is off by up to 1e-9 × 40 / 3 on each ring.
        assert!(found.gap <= 1e-8, "seed {seed}: gap {}", found.gap);
        assert!(
            (found.value - searched).abs() <= 3e-8,
            "seed {seed}: {} but the grid finds {searched}",
            found.value
        );
        farthest = farthest.max((found.value - searched).abs());
        let there = window.used_by(found.points.left, found.points.right).worst();
        assert!((there - found.value).abs() < 1e-12, "seed {seed}: value is not its setting's");
        for (circle, point) in [(left, found.points.left), (right, found.points.right)] {
            assert!(circle.off_circle_arcmin(point).abs() < 1e-11, "seed {seed}: off its circle");
        }
    }
    println!("{cases} cases, {grid} places a ring: at most {farthest:.1e} of a window apart");
}

/// Two hundred random units.
#[test]
fn compromise_agrees_with_grid_search() {
    let cases = std::env::var("COMPROMISE_CASES").ok().and_then(|n| n.parse().ok()).unwrap_or(200);
    compare(cases, 720);
}

/// Circles as regular as benches never see them, points among them, in windows of any size: proved
/// within the cells allowed, and never beaten by a coarse grid.
#[test]
fn awkward_circles_are_proved_as_well() {
    const PLACES: [(f64, f64); 5] =
        [(0.0, 0.0), (10.0, 0.0), (-10.0, 0.0), (0.0, 25.0), (1e4, -1e4)];
    const LIMITS: [(f64, f64, f64, Option<f64>); 6] = [
        (45.0, 20.0, 15.0, None),
        (45.0, 20.0, 15.0, Some(30.0)),
        (20.0, 20.0, 20.0, Some(20.0)),
        (1e-3, 1e-3, 1e-3, Some(1e3)),
        (1e3, 1e3, 1e3, Some(1e-3)),
        (1e-200, 20.0, 1e200, Some(1.0)),
    ];
    let circles: Vec<OffsetCircle> = PLACES
        .iter()
        .flat_map(|&(x, y)| {
            [0.0, 1e-9, 10.0, 40.0].map(|r| OffsetCircle::unphased(Direction::new(x, y), r))
        })
        .collect();
    for left in &circles {
        for right in &circles {
            for (convergence, divergence, dipvergence, boresight) in LIMITS {
                let window = Window::new(convergence, divergence, dipvergence, boresight).unwrap();
                let found = best_compromise(left, right, Some(&window)).unwrap();
                // A hundred-thousandth of the window or of the use, which no hand or bench could tell: the
                // search aims closer, but circles that lie on each other tie all the way round.
                let allowed = 1e-5 * found.value.max(1.0);
                assert!(found.gap <= allowed, "{left:?} {right:?} {window:?} {found:?}");
                for k in 0..36 {
                    for l in 0..36 {
                        let place = |circle: &OffsetCircle, k: i32| {
                            circle.centre
                                + Direction::polar(
                                    circle.radius_arcmin,
                                    f64::from(k).to_radians() * 10.0,
                                )
                        };
                        let used = window.used_by(place(left, k), place(right, l)).worst();
                        assert!(used >= found.value - allowed, "{left:?} {right:?} {window:?}");
                    }
                }
            }
        }
    }
}

/// Two settings use the box alike, at its upper and at its lower corner: the nearer to boresight is
/// taken. By hand: a point inside a circle of 50′, m must be 50′ long; the corner (20, ±15)t is 25t
/// long, (−45, ±15)t longer, so t = 50/√(45² + 15²), m = (−45, ±15)t; the shared direction is half m.
#[test]
fn the_larger_corner_and_among_ties_the_nearer() {
    let window = Window::new(45.0, 20.0, 15.0, None).unwrap();
    let t = 50.0 / 2250.0_f64.sqrt();
    for up in [3.0, -3.0] {
        let left = OffsetCircle::unphased(Direction::new(0.0, up), 0.0);
        let right = OffsetCircle::unphased(Direction::new(0.0, up), 50.0);
        let found = best_compromise(&left, &right, Some(&window)).unwrap();
        // A dozen roundings of numbers up to 50.
        assert!((found.value - t).abs() < 1e-14, "{}", found.value);
        let expected = Direction::new(-45.0 * t, up - 15.0 * t * up.signum());
        assert!(found.points.right.distance_arcmin(expected) < 1e-12, "{found:?}");
    }
}

/// Where circles cross and boresight is not limited, a crossing is the answer and uses nothing.
#[test]
fn a_crossing_needs_no_compromise() {
    let left = OffsetCircle::unphased(Direction::new(10.0, 4.0), 30.0);
    let right = OffsetCircle::unphased(Direction::new(-6.0, -3.0), 26.0);
    let window = Window::new(45.0, 20.0, 15.0, None).unwrap();
    let found = best_compromise(&left, &right, Some(&window)).unwrap();
    assert_eq!((found.value, found.gap), (0.0, 0.0));
    assert_eq!(found.points.left, found.points.right);
}

/// Without a window: the smallest |m|, along the line of centres. By hand: centres 10′ apart,
/// radii 3′ and 4′ leave 3′; radii 2′ and 15′ leave 3′ inside.
#[test]
fn without_a_window_the_smallest_misalignment() {
    for (r, s, gap) in [(3.0, 4.0, 3.0), (2.0, 15.0, 3.0), (15.0, 2.0, 3.0)] {
        let left = OffsetCircle::unphased(Direction::new(-4.0, 0.0), r);
        let right = OffsetCircle::unphased(Direction::new(6.0, 0.0), s);
        let found = best_compromise(&left, &right, None).unwrap();
        // One subtraction of numbers up to 20.
        assert!((found.value - gap).abs() < 1e-14, "{r} {s}: {}", found.value);
    }
}
