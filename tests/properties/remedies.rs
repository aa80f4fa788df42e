//! Shim plans are those that brute force finds; a source split gives back what it can and no more; an
//! invented unit's readings give back its circle.

use crate::given::circle;
use proptest::prelude::*;
use solver::fit::{SenseChoice, Spread, fit_circle};
use solver::meet::{RELATION_TOLERANCE, meet};
use solver::monte_carlo::Source;
use solver::optics::{Optics, ShimEnds, TubeImage};
use solver::remedy::shim::{ChannelShim, SeatLimits, ShimEffect, best_plans, shims_of};
use solver::simulate::{Making, ReadingNoise, invent, read};
use solver::source_split::{CentrePart, Observation, Split};
use solver::swing::{SwingRange, worst_over};
use solver::{Channel, Direction, OffsetCircle, PerChannel, Window};

fn optics() -> Optics {
    Optics::new(27.0, 27.0, TubeImage::Inverted).unwrap()
}

fn seat(clocks: usize) -> SeatLimits {
    SeatLimits {
        clocks_deg: (0..clocks).map(|k| 360.0 * k as f64 / clocks as f64).collect(),
        ends: vec![ShimEnds::Front, ShimEnds::Rear, ShimEnds::Both],
        leaves_mm: vec![0.05, 0.10, 0.15],
        largest_mm: 0.30,
    }
}

/// Every pair, scored from the definition, with the key spelled out as a sortable tuple.
fn brute_force(
    circles: PerChannel<OffsetCircle>,
    shims: &[ChannelShim],
    window: &Window,
    range: Option<SwingRange>,
    most: usize,
) -> Vec<f64> {
    let moved = |circle: &OffsetCircle, shim: Option<&ChannelShim>| {
        let shift = shim.map_or(Direction::BORESIGHT, |shim| shim.shift);
        OffsetCircle::unphased(circle.centre + shift, circle.radius_arcmin)
    };
    let options: Vec<Option<&ChannelShim>> =
        core::iter::once(None).chain(shims.iter().map(Some)).collect();
    let mut all = Vec::new();
    for left in &options {
        for right in &options {
            let channels = usize::from(left.is_some()) + usize::from(right.is_some());
            if channels == 0 {
                continue;
            }
            let leaves = left.map_or(0, ChannelShim::leaves) + right.map_or(0, ChannelShim::leaves);
            let (l, r) = (moved(&circles.left, *left), moved(&circles.right, *right));
            let met = meet(&l, &r, RELATION_TOLERANCE).unwrap();
            let (score, away) = met.nearest().map_or((f64::INFINITY, f64::INFINITY), |crossing| {
                let points = PerChannel { left: crossing.point, right: crossing.point };
                let used = match range {
                    Some(range) => worst_over(points, window, range).used,
                    None => window.used_by(points.left, points.right),
                };
                (used.worst(), crossing.boresight_arcmin)
            });
            all.push((channels, leaves, score, away));
        }
    }
    let effort = |a: &(usize, usize, f64, f64)| (a.0, a.1);
    all.sort_by(|a, b| {
        let (inside_a, inside_b) = (a.2 <= 1.0, b.2 <= 1.0);
        let score = a.2.total_cmp(&b.2);
        inside_b
            .cmp(&inside_a)
            .then(if inside_a {
                effort(a).cmp(&effort(b)).then(score)
            } else {
                score.then(effort(a).cmp(&effort(b)))
            })
            .then(a.3.total_cmp(&b.3))
    });
    all.truncate(most);
    all.into_iter().map(|plan| plan.2).collect()
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(40))]

    #[test]
    fn no_shim_plan_is_lost(
        left in circle(),
        right in circle(),
        boresight in prop::option::of(5.0..60.0),
        swing in prop::option::of(1.0..20.0),
    ) {
        let window = Window::new(45.0, 20.0, 15.0, boresight).unwrap();
        let range = swing.map(|deg: f64| SwingRange::new(-deg, deg).unwrap());
        let shims = shims_of(&seat(8), &ShimEffect::Model(optics())).unwrap();
        prop_assert_eq!(shims.len(), 6 * 3 * 8);
        let circles = PerChannel { left, right };
        let candidates = PerChannel { left: &shims[..], right: &shims[..] };
        let plans = best_plans(circles, candidates, &window, range, 10).unwrap();
        let found: Vec<f64> = plans.iter().map(|plan| plan.score).collect();
        prop_assert_eq!(found, brute_force(circles, &shims, &window, range, 10));
    }
}

proptest! {
    /// Round 1 with tube A left, round 2 traded: the differences of the module's formulas, nothing else;
    /// with a tube turned besides, every part.
    #[test]
    fn a_source_split_knows_what_it_knows(
        b_left in circle(), b_right in circle(), t_a in circle(), t_b in circle(),
    ) {
        let [bl, br, ta, tb] = [b_left, b_right, t_a, t_b].map(|circle| circle.centre);
        let seen = |pod, tube, turned_deg: f64| {
            let b = if pod == Channel::Left { bl } else { br };
            let t = if tube == 0 { ta } else { tb };
            let centre = b + t.rotated(-turned_deg.to_radians());
            Observation { pod, tube, turned_deg, centre, u_arcmin: 0.5 }
        };
        let (left, right) = (CentrePart::Pod(Channel::Left), CentrePart::Pod(Channel::Right));
        let (a, b) = (CentrePart::Tube(0), CentrePart::Tube(1));
        let mut rounds = vec![
            seen(Channel::Left, 0, 0.0),
            seen(Channel::Right, 1, 0.0),
            seen(Channel::Left, 1, 0.0),
            seen(Channel::Right, 0, 0.0),
        ];
        let split = Split::of(&rounds).unwrap();
        prop_assert_eq!((split.rank, split.degrees_of_freedom), (6, 2));
        prop_assert!(split.determined(&[(left, 1.0)]).is_none());
        prop_assert!(split.determined(&[(a, 1.0)]).is_none());
        let pods = split.determined(&[(left, 1.0), (right, -1.0)]).unwrap();
        let tubes = split.determined(&[(a, 1.0), (b, -1.0)]).unwrap();
        // Coordinates up to 300′ through an SVD of small whole numbers.
        prop_assert!(pods.value.distance_arcmin(bl - br) < 1e-9);
        prop_assert!(tubes.value.distance_arcmin(ta - tb) < 1e-9);
        // ((c_L1 + c_L2) − (c_R1 + c_R2))/2: four of u 0.5, halved.
        prop_assert!((pods.u_arcmin[0] - 0.5).abs() < 1e-9);

        rounds.push(seen(Channel::Left, 0, 180.0));
        let split = Split::of(&rounds).unwrap();
        prop_assert_eq!(split.rank, 8);
        for (part, value) in [(left, bl), (right, br), (a, ta), (b, tb)] {
            let found = split.determined(&[(part, 1.0)]).unwrap();
            prop_assert!(found.value.distance_arcmin(value) < 1e-9);
        }
    }

    /// Without noise, play and rounding, an invented unit's readings lie on its circle to the small-angle
    /// model's error.
    #[test]
    fn an_invented_unit_gives_back_its_circle(seed in any::<u64>()) {
        let mut source = Source::seeded(seed);
        let making = Making {
            bore_mm: 0.03,
            tube_mm: 0.05,
            least_decentre_mm: 0.2,
            most_decentre_mm: 0.5,
        };
        let hand = ReadingNoise {
            noise_arcmin: 0.0,
            ring_play_deg: 0.0,
            lock_shift_arcmin: 0.0,
            rounding_arcmin: 0.0,
        };
        let unit = invent(&optics(), &making, &mut source).unwrap();
        for (channel, made) in unit.iter() {
            let readings: Vec<_> = (0..12)
                .map(|k| {
                    let ring_deg = 30.0 * f64::from(k);
                    read(&optics(), made, ring_deg, true, &hand, &mut source).unwrap()
                })
                .collect();
            let fit = fit_circle(channel, &readings, Spread::default(), SenseChoice::Auto).unwrap();
            // X − atan X < X³/3 on each axis, for the farthest reading.
            let farthest = readings.iter().map(|r| r.direction.boresight_arcmin()).fold(0.0, f64::max);
            let cubic = (farthest / 3437.7).powi(3) / 3.0 * 3437.8 * 1.5;
            prop_assert!(fit.circle.centre.distance_arcmin(made.circle.centre) < cubic);
            prop_assert!((fit.circle.radius_arcmin - made.circle.radius_arcmin).abs() < cubic);
        }
    }
}

/// 481 × 481 pairs, each channel with 480 shims: the speed asked of the search, with room for a
/// loaded machine.
#[test]
fn two_hundred_thousand_pairs_take_a_moment() {
    let seat = SeatLimits {
        clocks_deg: (0..16).map(|k| 22.5 * f64::from(k)).collect(),
        ends: vec![ShimEnds::Front, ShimEnds::Rear, ShimEnds::Both],
        leaves_mm: vec![0.05, 0.10, 0.15, 0.20],
        largest_mm: 0.50,
    };
    let shims = shims_of(&seat, &ShimEffect::Model(optics())).unwrap();
    assert_eq!(shims.len(), 480);
    let window = Window::new(45.0, 20.0, 15.0, Some(30.0)).unwrap();
    let circles = PerChannel {
        left: OffsetCircle::unphased(Direction::new(-150.0, 40.0), 50.0),
        right: OffsetCircle::unphased(Direction::new(90.0, -30.0), 40.0),
    };
    let candidates = PerChannel { left: &shims[..], right: &shims[..] };
    let range = Some(SwingRange::new(-15.0, 15.0).unwrap());
    let started = std::time::Instant::now();
    let plans = best_plans(circles, candidates, &window, range, 10).unwrap();
    let took = started.elapsed();
    assert_eq!(plans.len(), 10);
    let scores: Vec<f64> = plans.iter().map(|plan| plan.score).collect();
    assert_eq!(scores, brute_force(circles, &shims, &window, range, 10));
    assert!(took.as_millis() < 500, "{took:?}");
}

/// Two rounds, the second with the tubes traded, leave one check each way: c_L1 + c_R1 = c_L2 + c_R2.
/// Centres known to u, so the difference of those sums has a standard deviation of 2u; off by 4u it stands 2 deviations out in x and
/// not at all in y: χ² is 4 with two degrees of freedom, whose upper tail is e⁻² (exactly).
#[test]
fn disagreeing_rounds_are_as_unlikely_as_they_are() {
    let u_arcmin = 0.25;
    let seen = |pod, tube, x: f64| Observation {
        pod,
        tube,
        turned_deg: 0.0,
        centre: Direction::new(x, 1.0),
        u_arcmin,
    };
    let rounds = [
        seen(Channel::Left, 0, 3.0),
        seen(Channel::Right, 1, -2.0),
        seen(Channel::Left, 1, 1.0),
        seen(Channel::Right, 0, 4.0 * u_arcmin),
    ];
    let split = Split::of(&rounds).unwrap();
    assert_eq!(split.degrees_of_freedom, 2);
    // Rounding in a least-squares fit of four equations.
    assert!((split.chance().unwrap() - (-2.0_f64).exp()).abs() < 1e-9);
    let pods = [(CentrePart::Pod(Channel::Left), 1.0), (CentrePart::Pod(Channel::Right), -1.0)];
    let found = split.determined(&pods).unwrap();
    // Half of a sum of four: u. The normal distribution's 97.5 % point, tables: 1.959964.
    let half = found.half_width_95()[0].unwrap();
    assert!((half - 1.959_964 * u_arcmin).abs() < 1e-6, "{half}");
    // One round checks nothing.
    assert_eq!(Split::of(&rounds[..2]).unwrap().chance(), None);
}
