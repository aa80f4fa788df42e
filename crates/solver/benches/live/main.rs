//! How long the live parts take, beside the same job by a general least-squares crate.
//!
//! `cargo bench -p solver` prints times and, first, ratios taken in one run.
//!
//! Both sides fit both circles with covariance, take both senses where there are ring angles and keep
//! the better, find the crossings with covariance, their window use and the setting. Ours besides
//! checks every reading, says what is missing and counts degrees of freedom. Ours searches to
//! rounding; the general crate stops where its sum of squares stands still, which is sooner.
//! Without ring angles there is one fit of three parameters, in which a general search needs few steps, and
//! what both sides do after it alike (crossings, covariance, setting) is a third of ours. So the two fits
//! are measured alone as well: Taubin's moments, and three passes with a square root and a division for each
//! reading.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a bench prints and may fail")]

mod general;

use core::hint::black_box;
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};
use general::Start;
use solver::fit::{Reading, SenseChoice, fit_circle};
use solver::monte_carlo::Source;
use solver::{
    Channel, Direction, OffsetCircle, PerChannel, Phase, Problem, Sense, Setting, Solution, Spread,
    Window, solve,
};

/// Both channels read at `count` ring angles; without their angles where `free`.
fn problem(count: usize, free: bool) -> Problem {
    let mut source = Source::seeded(7);
    let readings = PerChannel::from_fn(|channel| {
        let circle = OffsetCircle {
            centre: Direction::new(if channel == Channel::Left { -12.0 } else { 15.0 }, 4.0),
            radius_arcmin: 50.0,
            phase: Some(Phase { zero_deg: 30.0, sense: Sense::With }),
        };
        (0..count)
            .map(|k| {
                let ring_deg = 360.0 * k as f64 / count as f64;
                let direction = circle.at_ring(ring_deg).unwrap() + source.direction(0.3);
                Reading { direction, ring_deg: (!free).then_some(ring_deg) }
            })
            .collect()
    });
    Problem {
        readings,
        spread: Spread { sigma_arcmin: Some(0.3), ring_sigma_deg: 0.0 },
        window: Some(Window::new(45.0, 20.0, 15.0, Some(60.0)).unwrap()),
        ..Problem::default()
    }
}

/// The least of several times, which other work on the machine can only lengthen.
fn least(times: usize, mut job: impl FnMut()) -> Duration {
    (0..times)
        .map(|_| {
            let started = Instant::now();
            job();
            started.elapsed()
        })
        .min()
        .unwrap()
}

/// The general crate must have found what we found, or the comparison is of nothing. It stops
/// where its sum of squares stands still, which leaves parameters open to the root of rounding.
fn same_answer(ours: &Solution, general: &(PerChannel<OffsetCircle>, Setting, f64)) {
    for channel in Channel::BOTH {
        let (ours, theirs) = (ours.fits[channel].as_ref().unwrap().circle, general.0[channel]);
        assert!(ours.centre.distance_arcmin(theirs.centre) < 1e-5, "{ours:?} {theirs:?}");
        assert!((ours.radius_arcmin - theirs.radius_arcmin).abs() < 1e-5);
        assert_eq!(ours.phase.map(|phase| phase.sense), theirs.phase.map(|phase| phase.sense));
    }
    let ours = ours.setting.as_ref().unwrap();
    assert_eq!(ours.kind, general.1.kind);
    assert!((ours.boresight_arcmin - general.1.boresight_arcmin).abs() < 1e-4);
}

fn ratios() {
    println!("live solve of 2×24 readings beside the same job by a general crate, one run:");
    for (name, free) in
        [("with ring angles, both senses tried", false), ("without ring angles", true)]
    {
        let problem = problem(24, free);
        let solution = solve(&problem).unwrap();
        let fits = solution.both_fits().unwrap();
        let ours = least(5_000, || {
            black_box(solve(black_box(&problem)).unwrap());
        });
        for start in [Start::Mean, Start::Taubin] {
            same_answer(&solution, &general::solve(&problem, fits, start));
            let general = least(2_000, || {
                black_box(general::solve(black_box(&problem), fits, start));
            });
            let ratio = general.as_secs_f64() / ours.as_secs_f64();
            println!("  {ratio:.1}× {name}: {ours:?}; general crate from {start:?} {general:?}");
        }
    }
    println!("both fits alone, with covariance, one run:");
    for (name, free) in
        [("fits with ring angles, both senses tried", false), ("fits without ring angles", true)]
    {
        let problem = problem(24, free);
        let ours = least(5_000, || {
            black_box(PerChannel::from_fn(|channel| {
                let readings = black_box(&problem.readings[channel]);
                fit_circle(channel, readings, problem.spread, SenseChoice::Auto).unwrap()
            }));
        });
        for start in [Start::Mean, Start::Taubin] {
            let general = least(2_000, || {
                black_box(general::fits(black_box(&problem), start));
            });
            let ratio = general.as_secs_f64() / ours.as_secs_f64();
            println!("  {ratio:.1}× {name}: {ours:?}; general crate from {start:?} {general:?}");
        }
    }
    println!("cost per reading, which must not grow with their number:");
    for (name, free) in [("with ring angles", false), ("without", true)] {
        let per_reading = [100, 1_000, 10_000].map(|count| {
            let problem = problem(count, free);
            let took = least(400_000 / count, || {
                black_box(solve(black_box(&problem)).unwrap());
            });
            took.as_secs_f64() * 1e9 / (2 * count) as f64
        });
        let [hundred, thousand, ten_thousand] = per_reading;
        println!(
            "  {name}: {hundred:.1} ns of 10², {thousand:.1} ns of 10³, {ten_thousand:.1} ns of 10⁴"
        );
    }
    let mut rough = problem(24, false);
    rough.spread.ring_sigma_deg = 0.5;
    let ours = least(2_000, || {
        black_box(solve(black_box(&rough)).unwrap());
    });
    println!("live solve with uncertain ring angles, both senses tried: {ours:?}");
}

fn benches(criterion: &mut Criterion) {
    ratios();
    let with_rings = problem(24, false);
    criterion.bench_function("live solve, 2×24 with ring angles", |bencher| {
        bencher.iter(|| solve(black_box(&with_rings)).unwrap());
    });
    let without_rings = problem(24, true);
    criterion.bench_function("live solve, 2×24 without ring angles", |bencher| {
        bencher.iter(|| solve(black_box(&without_rings)).unwrap());
    });
}

criterion_group!(all, benches);
criterion_main!(all);
