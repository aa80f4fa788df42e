//! How long the best compromise, the setting for a swing and the shim search take, and beside them
//! plain searches.
//!
//! `cargo bench -p solver --bench remedies` prints times and ratios taken in one run. Other work on the
//! machine lengthens times; only ratios within one run are claims.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a bench prints and may fail")]

use core::f64::consts::TAU;
use core::hint::black_box;
use std::time::{Duration, Instant};

use solver::meet::{RELATION_TOLERANCE, meet};
use solver::monte_carlo::Source;
use solver::optics::{Optics, ShimEnds, TubeImage};
use solver::remedy::shim::{ChannelShim, SeatLimits, ShimEffect, best_plans, shims_of};
use solver::setting::{best_compromise, best_over_swing};
use solver::swing::{SwingRange, worst_over};
use solver::{Direction, OffsetCircle, PerChannel, Window};

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

fn over_swing() {
    let mut source = Source::seeded(4);
    let mut gap = 0.0_f64;
    let cases = 500;
    let mut times: Vec<Duration> = (0..cases)
        .map(|_| {
            let (left, right, window) = invent(&mut source, 1.0);
            let half = source.rectangular(1.0, 25.0);
            let range = SwingRange::new(-half, half).unwrap();
            let found = best_over_swing(&left, &right, &window, range).unwrap();
            gap = gap.max(found.gap / found.price.over_swing.used.worst().max(1.0));
            least(3, || best_over_swing(&left, &right, &window, range).unwrap())
        })
        .collect();
    times.sort();
    println!(
        "setting over a swing: median {:?}, 99 % {:?}, longest {:?} of {cases}; gap at most {gap:.1e}",
        times[cases / 2],
        times[cases * 99 / 100],
        times[cases - 1],
    );
}

/// The least score over every pair, each met and followed over the swing.
fn every_pair(
    circles: PerChannel<OffsetCircle>,
    shims: &[ChannelShim],
    window: &Window,
    range: Option<SwingRange>,
) -> f64 {
    let moved = |circle: &OffsetCircle| -> Vec<OffsetCircle> {
        let shift = |by: Direction| OffsetCircle { centre: circle.centre + by, ..*circle };
        let shims = shims.iter().map(|shim| shift(shim.shift));
        core::iter::once(*circle).chain(shims).collect()
    };
    let (lefts, rights) = (moved(&circles.left), moved(&circles.right));
    let mut lowest = f64::INFINITY;
    for left in &lefts {
        for right in &rights {
            let met = meet(left, right, RELATION_TOLERANCE).unwrap();
            let Some(crossing) = met.nearest() else { continue };
            let points = PerChannel { left: crossing.point, right: crossing.point };
            let used = match range {
                Some(range) => worst_over(points, window, range).used,
                None => window.used_by(points.left, points.right),
            };
            lowest = lowest.min(used.worst());
        }
    }
    lowest
}

fn shims() {
    let seat = SeatLimits {
        clocks_deg: (0..16).map(|k| 22.5 * f64::from(k)).collect(),
        ends: vec![ShimEnds::Front, ShimEnds::Rear, ShimEnds::Both],
        leaves_mm: vec![0.05, 0.10, 0.15, 0.20],
        largest_mm: 0.50,
    };
    let optics = Optics::new(27.0, 27.0, TubeImage::Inverted).unwrap();
    let shims = shims_of(&seat, &ShimEffect::Model(optics)).unwrap();
    let candidates = PerChannel { left: &shims[..], right: &shims[..] };
    let swing = Some(SwingRange::new(-15.0, 15.0).unwrap());
    let circles = |left: [f64; 3], right: [f64; 3]| {
        let circle = |[x, y, r]: [f64; 3]| OffsetCircle::unphased(Direction::new(x, y), r);
        PerChannel { left: circle(left), right: circle(right) }
    };
    let limited = Window::new(45.0, 20.0, 15.0, Some(30.0)).unwrap();
    let open = Window::new(45.0, 20.0, 15.0, None).unwrap();
    for (name, circles) in [
        ("meeting far out", circles([-20.0, 200.0, 50.0], [20.0, 200.0, 50.0])),
        ("meeting everywhere", circles([-150.0, 300.0, 300.0], [150.0, 300.0, 300.0])),
        ("far apart", circles([-120.0, 200.0, 50.0], [120.0, 200.0, 50.0])),
        ("hardly out", circles([-150.0, 40.0, 50.0], [90.0, -30.0, 40.0])),
    ] {
        for (window, range) in [(&limited, swing), (&limited, None), (&open, swing), (&open, None)]
        {
            let plans = || best_plans(circles, candidates, window, range, 10).unwrap();
            let ours = least(5, plans);
            let plain = least(1, || every_pair(circles, &shims, window, range));
            println!(
                "231,361 shim pairs, {name}, {}, {}: {ours:?}; every pair {plain:?}: {:.0}×",
                if range.is_some() { "swing" } else { "at rest" },
                if window.boresight_arcmin().is_some() {
                    "boresight limit"
                } else {
                    "no boresight limit"
                },
                plain.as_secs_f64() / ours.as_secs_f64(),
            );
        }
    }
    let mut source = Source::seeded(6);
    let mut worst = (Duration::ZERO, None);
    for _ in 0..400 {
        let mut circle = || {
            let mut part = || source.rectangular(-400.0, 400.0);
            let centre = Direction::new(part(), part());
            OffsetCircle::unphased(centre, source.rectangular(5.0, 400.0))
        };
        let circles = PerChannel { left: circle(), right: circle() };
        let took = least(2, || best_plans(circles, candidates, &limited, swing, 10).unwrap());
        if took > worst.0 {
            worst = (took, Some(circles));
        }
    }
    println!("231,361 shim pairs, the slowest of 400 random units: {worst:?}");
}

fn main() {
    compromises();
    over_swing();
    shims();
}
