//! How long the live parts take, beside the same job by a general least-squares crate.
//!
//! `cargo bench -p solver` prints times and, first, ratios taken in one run.

#![allow(clippy::unwrap_used, clippy::print_stdout, reason = "a bench prints and may fail")]

use core::hint::black_box;
use std::time::{Duration, Instant};

use criterion::{Criterion, criterion_group, criterion_main};
use levenberg_marquardt::{LeastSquaresProblem, LevenbergMarquardt};
use nalgebra034::{Dyn, Matrix, OMatrix, OVector, Owned, U3, Vector3};
use solver::fit::Reading;
use solver::monte_carlo::Source;
use solver::optics::{Optics, ShimEnds, TubeImage};
use solver::remedy::shim::{Seat, ShimEffect, best_plans, shims_of};
use solver::swing::SwingRange;
use solver::{
    Channel, Direction, OffsetCircle, PerChannel, Phase, Problem, Sense, Spread, Window, solve,
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

struct Geometric<'a> {
    readings: &'a [Reading],
    at: Vector3<f64>,
}

impl LeastSquaresProblem<f64, Dyn, U3> for Geometric<'_> {
    type ResidualStorage = Owned<f64, Dyn>;
    type JacobianStorage = Owned<f64, Dyn, U3>;
    type ParameterStorage = Owned<f64, U3>;

    fn set_params(&mut self, at: &Vector3<f64>) {
        self.at = *at;
    }

    fn params(&self) -> Vector3<f64> {
        self.at
    }

    fn residuals(&self) -> Option<OVector<f64, Dyn>> {
        let centre = Direction::new(self.at[0], self.at[1]);
        Some(OVector::<f64, Dyn>::from_iterator(
            self.readings.len(),
            self.readings.iter().map(|r| r.direction.distance_arcmin(centre) - self.at[2]),
        ))
    }

    fn jacobian(&self) -> Option<Matrix<f64, Dyn, U3, Self::JacobianStorage>> {
        let centre = Direction::new(self.at[0], self.at[1]);
        let mut jacobian = OMatrix::<f64, Dyn, U3>::zeros(self.readings.len());
        for (row, reading) in self.readings.iter().enumerate() {
            let off = reading.direction - centre;
            let distance = off.boresight_arcmin();
            jacobian[(row, 0)] = -off.x_arcmin / distance;
            jacobian[(row, 1)] = -off.y_arcmin / distance;
            jacobian[(row, 2)] = -1.0;
        }
        Some(jacobian)
    }
}

/// Both circles by the general crate, covariance included.
fn by_general_crate(problem: &Problem) -> f64 {
    Channel::BOTH
        .map(|channel| {
            let readings = &problem.readings[channel];
            let points: Vec<Direction> = readings.iter().map(|r| r.direction).collect();
            let start = solver::fit::algebraic::taubin(&points).unwrap();
            let at =
                Vector3::new(start.centre.x_arcmin, start.centre.y_arcmin, start.radius_arcmin);
            let (solved, _) = LevenbergMarquardt::new().minimize(Geometric { readings, at });
            let jacobian = solved.jacobian().unwrap();
            let covariance = (jacobian.transpose() * jacobian).try_inverse().unwrap();
            solved.at[2] + covariance[(0, 0)]
        })
        .iter()
        .sum()
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

fn ratios() {
    for (name, free) in [("with ring angles", false), ("without ring angles", true)] {
        let problem = problem(24, free);
        let ours = least(2_000, || {
            black_box(solve(black_box(&problem)).unwrap());
        });
        let general = least(2_000, || {
            black_box(by_general_crate(black_box(&problem)));
        });
        let ratio = general.as_secs_f64() / ours.as_secs_f64();
        println!("live solve of 2×24 {name}: {ours:?}; general crate {general:?}; {ratio:.1}×");
    }
    let per_reading = |count: usize| {
        let problem = problem(count, false);
        let took = least(200_000 / count, || {
            black_box(solve(black_box(&problem)).unwrap());
        });
        took.as_secs_f64() * 1e9 / (2 * count) as f64
    };
    for count in [100, 1_000, 10_000] {
        println!("{count} readings a channel: {:.1} ns each", per_reading(count));
    }
}

fn benches(criterion: &mut Criterion) {
    ratios();
    let with_rings = problem(24, false);
    criterion.bench_function("live solve, 2×24 with ring angles", |bencher| {
        bencher.iter(|| solve(black_box(&with_rings)).unwrap());
    });
    let seat = Seat {
        clocks_deg: (0..16).map(|k| 22.5 * f64::from(k)).collect(),
        ends: vec![ShimEnds::Front, ShimEnds::Rear, ShimEnds::Both],
        leaves_mm: vec![0.05, 0.10, 0.15, 0.20],
        largest_mm: 0.50,
    };
    let optics = Optics::new(27.0, 27.0, TubeImage::Inverted).unwrap();
    let shims = shims_of(&seat, &ShimEffect::Model(optics)).unwrap();
    let range = Some(SwingRange::new(-15.0, 15.0).unwrap());
    let window = Window::new(45.0, 20.0, 15.0, Some(30.0)).unwrap();
    for (name, apart) in [("far apart", 120.0), ("meeting, far out", 20.0)] {
        let circles = PerChannel {
            left: OffsetCircle::unphased(Direction::new(-apart, 200.0), 50.0),
            right: OffsetCircle::unphased(Direction::new(apart, 200.0), 50.0),
        };
        criterion.bench_function(&format!("231,361 shim pairs, {name}"), |bencher| {
            let candidates = PerChannel { left: &shims[..], right: &shims[..] };
            bencher.iter(|| best_plans(circles, candidates, &window, range, 10).unwrap());
        });
    }
}

criterion_group!(all, benches);
criterion_main!(all);
