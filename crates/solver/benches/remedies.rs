//! How long the best compromise takes, and beside it a plain grid.
//!
//! `cargo bench -p solver --bench remedies` prints times and ratios taken in one run. Other work on the
//! machine lengthens times; only ratios within one run are claims.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a bench prints and may fail")]

use core::f64::consts::TAU;
use core::hint::black_box;
use std::time::{Duration, Instant};

use solver::monte_carlo::Source;
use solver::setting::best_compromise;
use solver::{Direction, OffsetCircle, Window};

/// The least of several times, which other work on the machine can only lengthen.
fn least<T>(times: usize, mut job: impl FnMut() -> T) -> Duration {
    (0..times)
        .map(|_| {
            let started = Instant::now();
            black_box(job());
            started.elapsed()
        })
        .min()
        .unwrap()
}

/// A pair of circles and a window; sizes are those of a bench times `scale`.
fn invent(source: &mut Source, scale: f64) -> (OffsetCircle, OffsetCircle, Window) {
    let mut circle = || {
        let mut part = |reach: f64| source.rectangular(-reach, reach) * scale;
        let centre = Direction::new(part(30.0), part(30.0));
        OffsetCircle::unphased(centre, scale * source.rectangular(1.0, 40.0))
    };
    let (left, right) = (circle(), circle());
    let mut limit = || source.rectangular(3.0, 45.0);
    let window = Window::new(limit(), limit(), limit(), Some(limit())).unwrap();
    (left, right, window)
}

/// The plainest search: every pair of 720 places a circle.
fn grid(left: &OffsetCircle, right: &OffsetCircle, window: &Window) -> f64 {
    let places = |circle: &OffsetCircle| -> Vec<Direction> {
        (0..720)
            .map(|k| {
                let angle = TAU * f64::from(k) / 720.0;
                circle.centre + Direction::polar(circle.radius_arcmin, angle)
            })
            .collect()
    };
    let (lefts, rights) = (places(left), places(right));
    lefts
        .iter()
        .flat_map(|&p| rights.iter().map(move |&q| window.used_by(p, q).worst()))
        .fold(f64::INFINITY, f64::min)
}

fn compromises() {
    for (name, scale, cases) in [
        ("bench", 1.0, 2_000),
        ("tenfold", 10.0, 1_000),
        ("thousandfold", 1e3, 1_000),
        ("absurd", 1e9, 500),
    ] {
        let mut source = Source::seeded(3);
        let mut gap = 0.0_f64;
        let mut times: Vec<Duration> = (0..cases)
            .map(|_| {
                let (left, right, window) = invent(&mut source, scale);
                let found = best_compromise(&left, &right, Some(&window)).unwrap();
                gap = gap.max(found.gap / found.value.max(1.0));
                least(5, || best_compromise(&left, &right, Some(&window)).unwrap())
            })
            .collect();
        times.sort();
        println!(
            "compromise, {name} sizes: median {:?}, 99 % {:?}, longest {:?} of {cases}; gap at most {gap:.1e}",
            times[cases / 2],
            times[cases * 99 / 100],
            times[cases - 1],
        );
    }
    let (left, right, window) = invent(&mut Source::seeded(5), 1.0);
    let ours = least(50, || best_compromise(&left, &right, Some(&window)).unwrap());
    let by_grid = least(5, || grid(&left, &right, &window));
    let ratio = by_grid.as_secs_f64() / ours.as_secs_f64();
    println!("720×720 grid without polish: {by_grid:?}; the compromise {ours:?}: {ratio:.0}×");
}

fn main() {
    compromises();
}
