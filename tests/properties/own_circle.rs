//! Readings of a unit in which nothing was moved are called off their circle as often as promised, and
//! those that were moved are found. The counts are of seeded trials, and their spread is the binomial's.

use solver::fit::{CircleFit, Reading, SenseChoice, Spread, fit_circle};
use solver::monte_carlo::Source;
use solver::own_circle::Departure;
use solver::{Channel, Direction, OffsetCircle, Phase, Sense};

const TRIALS: usize = 4_000;
const SIGMA_ARCMIN: f64 = 0.3;
/// The confirm readings' ring angle, degrees.
const RING_DEG: f64 = 137.0;

fn truth() -> OffsetCircle {
    OffsetCircle {
        centre: Direction::new(-7.0, 4.0),
        radius_arcmin: 24.0,
        phase: Some(Phase { zero_deg: 40.0, sense: Sense::With }),
    }
}

/// How a circle is logged: so many readings over so many degrees, with or without ring angles.
#[derive(Clone, Copy, Debug)]
struct Logged {
    count: u8,
    over_deg: f64,
    with_ring: bool,
    stated: bool,
}

fn fitted(logged: Logged, source: &mut Source) -> Option<CircleFit> {
    let readings: Vec<Reading> = (0..logged.count)
        .map(|k| {
            let ring_deg = logged.over_deg * f64::from(k) / f64::from(logged.count);
            let point = truth().at_ring(ring_deg).unwrap() + source.direction(SIGMA_ARCMIN);
            if logged.with_ring {
                Reading::at_ring(ring_deg, point)
            } else {
                Reading::without_ring(point)
            }
        })
        .collect();
    let sigma_arcmin = logged.stated.then_some(SIGMA_ARCMIN);
    let spread = Spread { sigma_arcmin, ring_sigma_deg: 0.0 };
    fit_circle(Channel::Left, &readings, spread, SenseChoice::Given(Sense::With)).ok()
}

/// Two later readings, moved outward and along.
fn read(outward: f64, along: f64, source: &mut Source) -> [Direction; 2] {
    let at = truth().at_ring(RING_DEG).unwrap();
    let n = (at - truth().centre) * (1.0 / truth().radius_arcmin);
    let t = Direction::new(-n.y_arcmin, n.x_arcmin);
    [(); 2].map(|()| at + n * outward + t * along + source.direction(SIGMA_ARCMIN))
}

const WAYS: [Logged; 7] = [
    // None to spare: the circle goes through its readings.
    Logged { count: 2, over_deg: 360.0, with_ring: true, stated: true },
    Logged { count: 3, over_deg: 360.0, with_ring: false, stated: true },
    Logged { count: 6, over_deg: 360.0, with_ring: true, stated: true },
    Logged { count: 3, over_deg: 360.0, with_ring: true, stated: false },
    Logged { count: 8, over_deg: 200.0, with_ring: true, stated: true },
    Logged { count: 8, over_deg: 360.0, with_ring: false, stated: true },
    Logged { count: 7, over_deg: 360.0, with_ring: false, stated: false },
];

/// Share of the trials in which a departure has p below a level.
fn below(
    level: f64,
    logged: Logged,
    departure: impl Fn(&CircleFit, &mut Source) -> Option<Departure>,
) -> f64 {
    let mut source = Source::seeded(41);
    let mut found = 0;
    for _ in 0..TRIALS {
        let Some(fit) = fitted(logged, &mut source) else { continue };
        let p_value = departure(&fit, &mut source).unwrap().p_value;
        found += usize::from(p_value < level);
    }
    found as f64 / TRIALS as f64
}

/// At 5 % and at 1 %: at most three binomial standard deviations more, never more than the level itself
/// promises; less where χ²/ν happened above 1 and widened what was stated.
#[test]
fn where_nothing_was_moved_false_alarms_are_as_rare_as_the_level() {
    for logged in WAYS {
        for level in [0.05, 0.01] {
            let spread = (level * (1.0 - level) / TRIALS as f64).sqrt();
            let across = below(level, logged, |fit, source| {
                fit.departure_across(&read(0.0, 0.0, source), 0.0)
            });
            assert!(across <= level + 3.0 * spread, "{logged:?}: {across} at {level} across");
            // Estimated σ is exact F up to the circle's bend; stated σ is widened in half the rounds.
            let least = if logged.stated { 0.2 * level } else { level - 4.0 * spread };
            assert!(across >= least, "{logged:?}: only {across} at {level} across");
            if logged.with_ring {
                let along = below(level, logged, |fit, source| {
                    fit.departure_along(&read(0.0, 0.0, source), RING_DEG, 0.0)
                });
                assert!(along <= level + 3.0 * spread, "{logged:?}: {along} at {level} along");
            }
        }
    }
}

/// 3′, ten standard uncertainties of a reading, are found in every trial at 1 %, where σ is stated.
#[test]
fn what_was_moved_is_found() {
    for logged in WAYS.into_iter().filter(|logged| logged.stated) {
        for by in [3.0, -3.0] {
            let across = below(0.01, logged, |fit, source| {
                fit.departure_across(&read(by, 0.0, source), 0.0)
            });
            assert!(across > 0.999, "{logged:?}: {across}");
            if logged.with_ring {
                let along = below(0.01, logged, |fit, source| {
                    fit.departure_along(&read(0.0, by, source), RING_DEG, 0.0)
                });
                assert!(along > 0.999, "{logged:?}: {along}");
            }
        }
    }
}

/// By hand: a circle through exact readings, a reading 2′ outside it, one 90° on.
#[test]
fn the_distances_are_those_of_the_plane() {
    let readings: Vec<Reading> = (0..8)
        .map(|k| Reading::at_ring(f64::from(45 * k), truth().at_ring(f64::from(45 * k)).unwrap()))
        .collect();
    let spread = Spread { sigma_arcmin: Some(0.3), ring_sigma_deg: 0.0 };
    let fit =
        fit_circle(Channel::Left, &readings, spread, SenseChoice::Given(Sense::With)).unwrap();
    let at = truth().at_ring(RING_DEG).unwrap();
    let n = (at - truth().centre) * (1.0 / 24.0);
    let across = fit.departure_across(&[at + n * 2.0], 0.4).unwrap();
    assert!((across.off_arcmin - 2.0).abs() < 1e-9);
    // Eight readings evenly round, both residuals: u²(c) = σ²/8 an axis, and u²(r) = σ²/8, uncorrelated.
    let expected = (0.09 * (1.0 + 2.0 / 8.0) + 0.16_f64).sqrt();
    assert!((across.u.standard - expected).abs() < 1e-9, "{}", across.u.standard);
    // p at 2 standard uncertainties is 0.0455 (any table of the normal distribution).
    let two = Departure { off_arcmin: 2.0 * expected, ..across };
    assert!((two.explained_arcmin(0.045_500_263_9).unwrap() / expected - 2.0).abs() < 1e-6);
    // Clockwise ring, with the ring: 90° less of ring is a quarter turn counter-clockwise on.
    let on = truth().at_ring(RING_DEG - 90.0).unwrap();
    let along = fit.departure_along(&[on], RING_DEG, 0.0).unwrap();
    assert!((along.off_arcmin - 24.0 * core::f64::consts::FRAC_PI_2).abs() < 1e-9);
    let half = fit.departure_along(&[truth().at_ring(RING_DEG + 179.0).unwrap()], RING_DEG, 0.0);
    assert!((half.unwrap().off_arcmin + 24.0 * 179.0_f64.to_radians()).abs() < 1e-9);
    assert_eq!(fit.departure_across(&[], 0.0), None);
    assert_eq!(fit.departure_across(&[Direction::new(f64::NAN, 0.0)], 0.0), None);
    assert_eq!(fit.departure_along(&[at], f64::NAN, 0.0), None);
}

/// What a reading may lie off by, x and y: for n evenly spaced readings with ring angles the model is linear
/// with an orthogonal design, so that the place at any ring angle has variance 2σ²/n each way, and a reading
/// beside it σ²(1 + 2/n) (least squares, textbook; worked by hand). Turned with the pod it stays so, since
/// both ways are alike; what else may have moved it adds its own square.
#[test]
fn what_a_reading_may_lie_off_by_is_that_of_the_linear_model() {
    for count in [3_u8, 4, 6, 12] {
        let readings: Vec<Reading> = (0..count)
            .map(|k| {
                let ring_deg = 360.0 * f64::from(k) / f64::from(count);
                Reading::at_ring(ring_deg, truth().at_ring(ring_deg).unwrap())
            })
            .collect();
        let spread = Spread { sigma_arcmin: Some(SIGMA_ARCMIN), ring_sigma_deg: 0.0 };
        let fit = fit_circle(Channel::Left, &readings, spread, SenseChoice::Given(Sense::With));
        let fit = fit.unwrap();
        let expected = SIGMA_ARCMIN * (1.0 + 2.0 / f64::from(count)).sqrt();
        for (ring_deg, moved, rolled_deg) in
            [(0.0, 0.0, 0.0), (137.0, 0.0, 20.0), (250.0, 0.4, -11.0)]
        {
            let [x, y] = fit.departure_u(ring_deg, 0.0, moved, rolled_deg).unwrap();
            let expected = expected.hypot(moved);
            // Rounding of a dozen products of numbers near one.
            assert!((x.standard - expected).abs() < 1e-9, "{count} {x:?} {expected}");
            assert!((y.standard - expected).abs() < 1e-9, "{count} {y:?} {expected}");
        }
        // A ring set with an uncertainty moves it along the circle only: at ring angle 40° with the ring the
        // crosshair is at +x of the centre, so along is y.
        let u_deg: f64 = 0.5;
        let [x, y] = fit.departure_u(40.0, u_deg, 0.0, 0.0).unwrap();
        let slip = truth().radius_arcmin * u_deg.to_radians();
        assert!(
            (x.standard - expected).abs() < 1e-9
                && (y.standard - expected.hypot(slip)).abs() < 1e-9
        );
        // Rolled by a quarter turn, along is x.
        let [x, y] = fit.departure_u(40.0, u_deg, 0.0, 90.0).unwrap();
        assert!(
            (y.standard - expected).abs() < 1e-9
                && (x.standard - expected.hypot(slip)).abs() < 1e-9
        );
    }
}
