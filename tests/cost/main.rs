//! What a live solve costs in memory: nothing that grows with the readings.

#![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

use allocation_counter::measure;
use solver::fit::{Reading, Spread};
use solver::{
    Direction, OffsetCircle, PerChannel, Phase, Problem, Sense, SettingKind, Window, solve,
};

/// How the readings of a round are logged.
#[derive(Clone, Copy, Debug)]
enum Logged {
    WithRing,
    WithoutRing,
    Mixed,
}

fn problem(count: u32, logged: Logged, ring_sigma_deg: f64) -> Problem {
    let readings = PerChannel { left: -12.0, right: 15.0 }.map(|x| {
        let circle = OffsetCircle {
            centre: Direction::new(x, 4.0),
            radius_arcmin: 50.0,
            phase: Some(Phase { zero_deg: 30.0, sense: Sense::With }),
        };
        (0..count)
            .map(|k| {
                let ring_deg = 360.0 * f64::from(k) / f64::from(count);
                // A wobble in place of noise: seven waves round the circle.
                let wobble = Direction::polar(0.2, f64::from(7 * k));
                let direction = circle.at_ring(ring_deg).unwrap() + wobble;
                let with_ring = match logged {
                    Logged::WithRing => true,
                    Logged::WithoutRing => false,
                    Logged::Mixed => k % 2 == 0,
                };
                Reading { direction, ring_deg: with_ring.then_some(ring_deg) }
            })
            .collect()
    });
    Problem {
        readings,
        spread: Spread { sigma_arcmin: Some(0.3), ring_sigma_deg },
        window: Some(Window::new(45.0, 20.0, 15.0, Some(60.0)).unwrap()),
        ..Problem::default()
    }
}

#[test]
fn a_solve_of_many_readings_allocates_no_more_than_one_of_few() {
    for (logged, ring_sigma_deg) in [
        (Logged::WithRing, 0.0),
        (Logged::WithRing, 0.5),
        (Logged::WithoutRing, 0.0),
        (Logged::Mixed, 0.5),
    ] {
        let [few, many] = [100, 10_000].map(|count| {
            let problem = problem(count, logged, ring_sigma_deg);
            // The first solve may set things up.
            let first = solve(&problem).unwrap();
            assert_eq!(first.setting.unwrap().kind, SettingKind::Crossing);
            measure(|| {
                let again = solve(&problem).unwrap();
                assert!(again.setting.is_ok());
            })
            .bytes_total
        });
        assert_eq!(few, many, "{logged:?}");
    }
}
