//! Slack and ring map against walking the rings in small steps.

use rand::SeedableRng;
use rand::rngs::ChaCha8Rng;
use solver::setting::{RingMap, best_compromise, slack};
use solver::{Channel, OffsetCircle, PerChannel, Phase, Sense};

use crate::invent;

fn phased(circle: OffsetCircle, zero_deg: f64, sense: Sense) -> OffsetCircle {
    OffsetCircle { phase: Some(Phase { zero_deg, sense }), ..circle }
}

/// Walks one ring in steps of 0.01° until the window is left: the slack is where it was left, to
/// one step, each way and for both senses.
#[test]
fn slack_alone_is_where_walking_leaves_the_window() {
    const STEP_DEG: f64 = 0.01;
    let mut inside = 0;
    for seed in 0..60 {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let (left, right, window) = invent(&mut rng);
        let found = best_compromise(&left, &right, Some(&window)).unwrap();
        let sense = if seed % 2 == 0 { Sense::With } else { Sense::Against };
        let circles = PerChannel {
            left: phased(left, 40.0, sense),
            right: phased(right, 250.0, Sense::With),
        };
        let Some(slack) = slack(circles.as_ref(), found.points, &window) else {
            assert!(found.value > 1.0);
            continue;
        };
        inside += 1;
        let rings = PerChannel::from_fn(|channel: Channel| {
            circles[channel].ring_for(found.points[channel]).unwrap()
        });
        for channel in Channel::BOTH {
            for (way, told) in [
                (1.0, slack.alone[channel].clockwise_deg),
                (-1.0, slack.alone[channel].counter_deg),
            ] {
                let walked = (1..36_000).map(|k| f64::from(k) * STEP_DEG).find(|slip| {
                    let mut points = found.points;
                    points[channel] =
                        circles[channel].at_ring(rings[channel] + way * slip).unwrap();
                    !window.used_by(points.left, points.right).is_inside()
                });
                match (told, walked) {
                    (Some(told), Some(walked)) => {
                        // The walk stops at the first step beyond; both see rounding at the limit.
                        let off = walked - told;
                        assert!(
                            (-1e-6..=STEP_DEG + 1e-6).contains(&off),
                            "seed {seed}: {told} {walked}"
                        );
                    }
                    (None, None) => {}
                    // A share that only touches 1 on a full turn is left by nobody.
                    (told, walked) => panic!("seed {seed} {channel} {way}: {told:?} {walked:?}"),
                }
            }
        }
    }
    assert!(inside > 20, "only {inside} of the invented units can pass at all");
}

/// Within ±δ nothing leaves the window; a little beyond something does.
#[test]
fn slack_together_is_the_largest_square_that_passes() {
    for seed in 0..60 {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let (left, right, window) = invent(&mut rng);
        let found = best_compromise(&left, &right, Some(&window)).unwrap();
        let circles = PerChannel {
            left: phased(left, 0.0, Sense::With),
            right: phased(right, 0.0, Sense::With),
        };
        let Some(slack) = slack(circles.as_ref(), found.points, &window) else { continue };
        let ring = |channel: Channel| circles[channel].ring_for(found.points[channel]).unwrap();
        let worst_within = |half_deg: f64| {
            let mut worst = 0.0_f64;
            for i in -60..=60 {
                for j in -60..=60 {
                    let place = |channel: Channel, k: i32| {
                        let slip = half_deg * f64::from(k) / 60.0;
                        circles[channel].at_ring(ring(channel) + slip).unwrap()
                    };
                    let (p, q) = (place(Channel::Left, i), place(Channel::Right, j));
                    worst = worst.max(window.used_by(p, q).worst());
                }
            }
            worst
        };
        let within = worst_within(slack.together_deg);
        // Ring angles come back through one division by π/180 each: a few 1e-13 of a share.
        assert!(within <= 1.0 + 1e-9, "seed {seed}: {within} within {}", slack.together_deg);
        if slack.together_deg < 179.0 {
            let beyond = worst_within(slack.together_deg * 1.02 + 0.05);
            assert!(beyond > 1.0, "seed {seed}: {beyond} beyond {}", slack.together_deg);
        }
    }
}

/// Every value of the map is the window's own answer, and its outline parts passing from not:
/// each piece's ends use the window up to the change of use within one cell.
#[test]
fn the_map_is_the_window_s_answer_and_its_outline_is_at_one() {
    let mut outlined = 0;
    for seed in 0..20 {
        let mut rng = ChaCha8Rng::seed_from_u64(seed);
        let (left, right, window) = invent(&mut rng);
        let circles = PerChannel {
            left: phased(left, 10.0, Sense::With),
            right: phased(right, 80.0, Sense::Against),
        };
        let map = RingMap::new(circles.as_ref(), &window, 90).unwrap();
        let used = |left_deg: f64, right_deg: f64| {
            let p = circles.left.at_ring(left_deg).unwrap();
            let q = circles.right.at_ring(right_deg).unwrap();
            window.used_by(p, q).worst()
        };
        assert_eq!(map.at(7, 31), used(28.0, 124.0));
        // A step of 4° moves a crosshair by at most 4° of 40′; use changes by that over the
        // tightest limit, on each ring.
        let tightest = [
            window.convergence_arcmin(),
            window.divergence_arcmin(),
            window.dipvergence_arcmin(),
            window.boresight_arcmin().unwrap_or(f64::INFINITY),
        ]
        .into_iter()
        .fold(f64::INFINITY, f64::min);
        let change = 2.0 * 4.0_f64.to_radians() * 40.0 / tightest;
        for piece in map.outline() {
            outlined += 1;
            for [left_deg, right_deg] in piece {
                let off = (used(left_deg, right_deg) - 1.0).abs();
                assert!(off <= change, "seed {seed}: {off} at {left_deg} {right_deg}");
            }
        }
    }
    assert!(outlined > 100);
}

/// Without ring numbering there is no map.
#[test]
fn no_map_without_ring_numbering() {
    let mut rng = ChaCha8Rng::seed_from_u64(1);
    let (left, right, window) = invent(&mut rng);
    let circles = PerChannel { left: &left, right: &right };
    assert!(RingMap::new(circles, &window, 90).is_none());
}
