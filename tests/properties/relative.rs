//! Stations that show only the difference: exact readings give the truth, the fit is linear least squares
//! (nalgebra's Householder QR), what does not determine it is refused, and no input panics.

use crate::given::{circle, errors};
use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;
use solver::angle::{reduced_deg, turn_deg};
use solver::relative::{
    BORESIGHT_NOT_JUDGED, BORESIGHT_UNKNOWN, RelativeProblem, RelativeReading, fit_relative,
    solve_relative,
};
use solver::{
    Channel, Direction, Error, Misalignment, OffsetCircle, PerChannel, Phase, Relation, Sense,
    SenseBasis, SenseChoice, SettingKind, Window,
};

fn read(circles: PerChannel<OffsetCircle>, left: f64, right: f64) -> RelativeReading {
    let at = PerChannel {
        left: circles.left.at_ring(left).unwrap(),
        right: circles.right.at_ring(right).unwrap(),
    };
    let misalignment = Misalignment::between(at.left, at.right);
    RelativeReading { ring_deg: PerChannel { left, right }, misalignment }
}

/// Pairs that settle everything well: each ring all the way round, the right one twice as fast, both
/// shaken by up to a quarter of a step; four at least, so that two turns differ from one.
fn pairs(count: std::ops::RangeInclusive<usize>) -> impl Strategy<Value = Vec<(f64, f64)>> {
    prop::collection::vec((-0.25..0.25, -0.25..0.25), count).prop_map(|shakes| {
        let step = 360.0 / shakes.len() as f64;
        let at = |k: usize, by: f64| (k as f64 + by) * step;
        shakes.iter().enumerate().map(|(k, (a, b))| (at(k, *a), 2.0 * at(k, *b))).collect()
    })
}

fn told(circles: PerChannel<OffsetCircle>) -> PerChannel<SenseChoice> {
    circles.map(|circle| SenseChoice::Given(circle.phase.unwrap().sense))
}

fn phased(x: f64, y: f64, radius_arcmin: f64, zero_deg: f64) -> OffsetCircle {
    let phase = Some(Phase { zero_deg, sense: Sense::With });
    OffsetCircle { centre: Direction::new(x, y), radius_arcmin, phase }
}

/// Radii 13 and 15 with centres 14 apart: the triangle 13, 14, 15, of height 12 over 14, cut into 5
/// and 9. So from the left centre the circles meet at (5, ±12).
fn by_hand() -> PerChannel<OffsetCircle> {
    PerChannel { left: phased(0.0, 0.0, 13.0, 0.0), right: phased(14.0, 0.0, 15.0, 90.0) }
}

const HAND_PAIRS: [(f64, f64); 5] =
    [(0.0, 0.0), (90.0, 0.0), (0.0, 90.0), (180.0, 270.0), (250.0, 40.0)];

fn hand_problem() -> RelativeProblem {
    let readings = HAND_PAIRS.map(|(left, right)| read(by_hand(), left, right)).to_vec();
    RelativeProblem { readings, sigma_arcmin: Some(0.3), ..RelativeProblem::default() }
}

#[test]
fn the_triangle_of_sides_13_14_15() {
    let now = PerChannel { left: 300.0, right: 200.0 };
    let solution =
        solve_relative(&RelativeProblem { rings_now_deg: Some(now), ..hand_problem() }).unwrap();
    assert_eq!(solution.relation, Relation::Crossing);
    let angle = |y: f64, x: f64| y.atan2(x).to_degrees();
    // θ = φ − ψ, ψ the direction of (5, ±12) seen from each centre.
    let above = [reduced_deg(-angle(12.0, 5.0)), reduced_deg(90.0 - angle(12.0, -9.0))];
    let below = [reduced_deg(-angle(-12.0, 5.0)), reduced_deg(90.0 - angle(-12.0, -9.0))];
    // Rings at 300°, 200°: above is 292.6°, 323.1°, turns of 7.4° and 123.1°; below 67.4°, 216.9°, turns
    // of 127.4° and 16.9°. The first takes less: 130.5° beside 144.3°.
    let other = solution.other.unwrap();
    for (setting, expected) in [(solution.setting, above), (other, below)] {
        assert_eq!(setting.kind, SettingKind::Crossing);
        // Rounding of a well-conditioned problem of size 15.
        assert!(turn_deg(setting.ring_deg.left, expected[0]).abs() < 1e-11, "{setting:?}");
        assert!(turn_deg(setting.ring_deg.right, expected[1]).abs() < 1e-11, "{setting:?}");
        assert!(setting.misalignment.length_arcmin() < 1e-12);
        assert!(solution.fit.misalignment_at(setting.ring_deg).length_arcmin() < 1e-11);
    }
    // From beside the other pair, the other is less turning.
    let now = PerChannel { left: 60.0, right: 220.0 };
    let there =
        solve_relative(&RelativeProblem { rings_now_deg: Some(now), ..hand_problem() }).unwrap();
    assert!(turn_deg(there.setting.ring_deg.left, below[0]).abs() < 1e-11);
    // Without that, from where the last reading has them.
    let last = solve_relative(&hand_problem()).unwrap().setting;
    assert!(turn_deg(250.0 + last.turn_deg.left, last.ring_deg.left).abs() < 1e-11);
}

/// Set to whole steps, the angles are rounded first and what is left is worked out from them.
#[test]
fn a_setting_in_whole_steps_says_what_it_leaves() {
    let window = Window::new(45.0, 20.0, 15.0, Some(1.0)).unwrap();
    let problem = RelativeProblem { window: Some(window), ..hand_problem() };
    let solution = solve_relative(&problem).unwrap();
    let rounded = solution.rounded_to(&solution.setting, 5.0, Some(window));
    let PerChannel { left, right } = rounded.ring_deg;
    assert!(left % 5.0 == 0.0 && right % 5.0 == 0.0, "{rounded:?}");
    let truth = read(by_hand(), left, right).misalignment;
    // Rounding of a well-conditioned problem of size 15; half of 5° on a radius of 15 leaves up to 1.3.
    assert!((rounded.misalignment.x_arcmin - truth.x_arcmin).abs() < 1e-11);
    assert!((rounded.misalignment.y_arcmin - truth.y_arcmin).abs() < 1e-11);
    assert!(truth.length_arcmin() > 0.1, "rounding leaves something");
    let used = rounded.window_use.unwrap();
    assert_eq!(used.from_boresight, None);
    let by_hand = (truth.x_arcmin / if truth.x_arcmin > 0.0 { 20.0 } else { -45.0 })
        .max(truth.y_arcmin.abs() / 15.0);
    assert!((used.worst() - by_hand).abs() < 1e-12);
    // From the last reading, at 250° and 40°.
    assert!(turn_deg(250.0 + rounded.turn_deg.left, left).abs() < 1e-11);
    assert!(turn_deg(40.0 + rounded.turn_deg.right, right).abs() < 1e-11);
    // Radii 13 and 15.
    let [near, far] = solution.reach_arcmin();
    assert!((near - 2.0).abs() < 1e-11 && (far - 28.0).abs() < 1e-11);
}

#[test]
fn a_boresight_limit_is_not_judged_and_that_is_said() {
    let limited = Window::new(45.0, 20.0, 15.0, Some(0.001)).unwrap();
    let problem = RelativeProblem { window: Some(limited), ..hand_problem() };
    let solution = solve_relative(&problem).unwrap();
    let used = solution.setting.window_use.unwrap();
    assert!(used.is_inside() && used.from_boresight.is_none(), "{used:?}");
    let said: Vec<_> = solution.cautions().collect();
    assert_eq!(said, [BORESIGHT_UNKNOWN, BORESIGHT_NOT_JUDGED]);
    let free = Window::new(45.0, 20.0, 15.0, None).unwrap();
    let solution =
        solve_relative(&RelativeProblem { window: Some(free), ..hand_problem() }).unwrap();
    assert_eq!(solution.cautions().collect::<Vec<_>>(), [BORESIGHT_UNKNOWN]);
}

/// Radii 3 and 4, centres 10 apart across: at best 3 are left, all of it divergence.
#[test]
fn rings_that_cannot_agree_leave_the_gap() {
    let circles =
        PerChannel { left: phased(0.0, 0.0, 3.0, 10.0), right: phased(10.0, 0.0, 4.0, 20.0) };
    let readings = HAND_PAIRS.map(|(left, right)| read(circles, left, right)).to_vec();
    let window = Window::new(45.0, 12.0, 15.0, Some(5.0)).ok();
    for window in [None, window] {
        let problem =
            RelativeProblem { readings: readings.clone(), window, ..RelativeProblem::default() };
        let solution = solve_relative(&problem).unwrap();
        assert_eq!(solution.relation, Relation::Separate);
        let setting = solution.setting;
        assert_eq!(setting.kind, SettingKind::Compromise);
        assert!((setting.misalignment.length_arcmin() - 3.0).abs() < 1e-11, "{setting:?}");
        assert!((solution.gap_arcmin - 3.0).abs() < 1e-11);
        // θ = φ − ψ: the left points along +x, the right along −x.
        assert!(turn_deg(setting.ring_deg.left, 10.0).abs() < 1e-9);
        assert!(turn_deg(setting.ring_deg.right, 200.0).abs() < 1e-9);
        let used = setting.window_use.map(|used| used.worst());
        assert!(used.is_none_or(|used| (used - 0.25).abs() < 1e-11), "{used:?}");
    }
}

#[test]
fn what_does_not_settle_it_is_named() {
    let refused = |pairs: &[(f64, f64)], sense: PerChannel<SenseChoice>| {
        let readings: Vec<_> = pairs.iter().map(|&(l, r)| read(by_hand(), l, r)).collect();
        fit_relative(&readings, None, sense).map(|_| ()).unwrap_err()
    };
    let auto = PerChannel::<SenseChoice>::default();
    let few = refused(&[(0.0, 0.0), (90.0, 10.0), (360.0, 720.0), (90.0, 10.0)], auto);
    assert_eq!(few, Error::RelativeTooFew { readings: 4, distinct_pairs: 2 });
    let still = |channel| Error::RelativeRingStill { channel };
    assert_eq!(refused(&[(5.0, 0.0), (5.0, 90.0), (365.0, 200.0)], auto), still(Channel::Left));
    assert_eq!(refused(&[(0.0, 7.0), (90.0, 7.0), (200.0, 7.0)], auto), still(Channel::Right));
    let in_step = [(0.0, 40.0), (90.0, 130.0), (200.0, 240.0), (300.0, 340.0)];
    assert_eq!(refused(&in_step, auto), Error::RelativeInStep);
    // With opposite senses the same pairs settle it, and opposite steps do not.
    let opposite = PerChannel {
        left: SenseChoice::Given(Sense::With),
        right: SenseChoice::Given(Sense::Against),
    };
    let mut circles = by_hand();
    circles.right.phase = Some(Phase { zero_deg: 90.0, sense: Sense::Against });
    let readings = in_step.map(|(l, r)| read(circles, l, r));
    let fit = fit_relative(&readings, None, opposite).unwrap();
    assert!((fit.between.x_arcmin - 14.0).abs() < 1e-11);
    let against = [(0.0, 40.0), (90.0, -50.0), (200.0, -160.0)];
    assert_eq!(refused(&against, opposite), Error::RelativeInStep);
    assert!(Error::RelativeInStep.to_string().contains("turn one ring alone"));
}

#[test]
fn one_misread_difference_is_pointed_at() {
    let mut readings: Vec<_> =
        (0..9).map(|k| read(by_hand(), 40.0 * f64::from(k), 80.0 * f64::from(k) + 5.0)).collect();
    for (k, reading) in readings.iter_mut().enumerate() {
        // A tenth of a minute this way and that.
        reading.misalignment.x_arcmin += 0.1 * (k as f64 * 2.4).sin();
        reading.misalignment.y_arcmin += 0.1 * (k as f64 * 2.4).cos();
    }
    let fit = fit_relative(&readings, None, PerChannel::default()).unwrap();
    assert!(fit.residuals.iter().all(|residual| !residual.stands_out));
    readings[4].misalignment.x_arcmin += 10.0;
    let fit = fit_relative(&readings, None, PerChannel::default()).unwrap();
    let out: Vec<_> = (0..9).filter(|&k| fit.residuals[k].stands_out).collect();
    assert_eq!(out, [4]);
}

/// What the fit is compared with: D, a and b as six real numbers from Householder QR, their (XᵀX)⁻¹,
/// and the sum of squares.
fn oracle(
    readings: &[RelativeReading],
    senses: PerChannel<Sense>,
) -> (DVector<f64>, DMatrix<f64>, f64) {
    let mut design = DMatrix::zeros(2 * readings.len(), 6);
    let mut seen = DVector::zeros(2 * readings.len());
    for (k, reading) in readings.iter().enumerate() {
        let arm = |channel: Channel| {
            (-senses[channel].sign() * reading.ring_deg[channel]).to_radians().sin_cos()
        };
        let ((sl, cl), (sr, cr)) = (arm(Channel::Left), arm(Channel::Right));
        let rows = [[1.0, 0.0, -cl, sl, cr, -sr], [0.0, 1.0, -sl, -cl, sr, cr]];
        for (i, row) in rows.iter().enumerate() {
            design.row_mut(2 * k + i).copy_from_slice(row);
        }
        seen[2 * k] = reading.misalignment.x_arcmin;
        seen[2 * k + 1] = reading.misalignment.y_arcmin;
    }
    let (q, r) = design.clone().qr().unpack();
    let found = r.solve_upper_triangular(&(q.transpose() * &seen)).unwrap();
    let squares = (&design * &found - &seen).norm_squared();
    (found, (design.transpose() * &design).try_inverse().unwrap(), squares)
}

proptest! {
    #[test]
    fn exact_differences_give_the_truth(
        left in circle(),
        right in circle(),
        pairs in pairs(4..=16),
    ) {
        let circles = PerChannel { left, right };
        let readings: Vec<_> = pairs.iter().map(|&(l, r)| read(circles, l, r)).collect();
        let fit = fit_relative(&readings, None, told(circles)).unwrap();
        let between = Misalignment::between(left.centre, right.centre);
        // The issue's own line; readings up to 500′ are rounded to 1e-13′.
        prop_assert!((fit.between.x_arcmin - between.x_arcmin).abs() < 1e-9);
        prop_assert!((fit.between.y_arcmin - between.y_arcmin).abs() < 1e-9);
        for (channel, circle) in circles.iter() {
            let offset = fit.offsets[channel];
            prop_assert!((offset.radius_arcmin - circle.radius_arcmin).abs() < 1e-9);
            let off_deg = turn_deg(circle.phase.unwrap().zero_deg, offset.phase.zero_deg);
            prop_assert!(off_deg.to_radians().abs() * circle.radius_arcmin < 1e-9);
        }
    }

    /// Nine pairs or more tell which way each ring runs, however it does.
    #[test]
    fn senses_are_found(left in circle(), right in circle(), pairs in pairs(9..=16)) {
        let circles = PerChannel { left, right };
        let readings: Vec<_> = pairs.iter().map(|&(l, r)| read(circles, l, r)).collect();
        let fit = fit_relative(&readings, Some(0.1), PerChannel::default()).unwrap();
        for (channel, circle) in circles.iter() {
            let offset = fit.offsets[channel];
            prop_assert_eq!(offset.phase.sense, circle.phase.unwrap().sense);
            let found = matches!(offset.sense_basis, SenseBasis::Found { .. });
            prop_assert!(found, "{:?}", offset);
        }
    }

    #[test]
    fn it_is_linear_least_squares(
        left in circle(),
        right in circle(),
        pairs in pairs(5..=16),
        errors in errors(1.0),
    ) {
        let circles = PerChannel { left, right };
        let mut readings: Vec<_> = pairs.iter().map(|&(l, r)| read(circles, l, r)).collect();
        for (reading, (x, y)) in readings.iter_mut().zip(errors.iter().cycle()) {
            reading.misalignment.x_arcmin += x;
            reading.misalignment.y_arcmin += y;
        }
        let senses = circles.map(|circle| circle.phase.unwrap().sense);
        let fit = fit_relative(&readings, None, told(circles)).unwrap();
        let (found, inverse, squares) = oracle(&readings, senses);
        // Readings up to 500′ and rounding of angles up to 1,000°, times a conditioning below a hundred.
        prop_assert!((fit.between.x_arcmin - found[0]).abs() < 1e-9);
        prop_assert!((fit.between.y_arcmin - found[1]).abs() < 1e-9);
        let sum = fit.rms_arcmin.powi(2) * readings.len() as f64;
        prop_assert!((sum - squares).abs() < 1e-9 * (1.0 + squares));
        // (a_x, a_y) → (r, φ in degrees), to first order.
        let mut jacobian = DMatrix::identity(6, 6);
        for (at, channel) in [(2, Channel::Left), (4, Channel::Right)] {
            let (x, y) = (found[at], found[at + 1]);
            let r = x.hypot(y);
            prop_assert!((fit.offsets[channel].radius_arcmin - r).abs() < 1e-9);
            let degrees = 1f64.to_degrees() / r;
            jacobian[(at, at)] = x / r;
            jacobian[(at, at + 1)] = y / r;
            jacobian[(at + 1, at)] = -y / r * degrees;
            jacobian[(at + 1, at + 1)] = x / r * degrees;
        }
        let variance = squares / (2 * readings.len() - 6) as f64;
        let expected = &jacobian * inverse * jacobian.transpose() * variance;
        let covariance = fit.covariance.unwrap();
        for i in 0..6 {
            for j in 0..6 {
                let size = (expected[(i, i)] * expected[(j, j)]).sqrt();
                let off = covariance[i][j] - expected[(i, j)];
                // (XᵀX)⁻¹ squares the conditioning: 1e-16 × 1e4, and a hundred to spare.
                prop_assert!(off.abs() <= 1e-9 * size, "entry {i}, {j}: {off} of {size}");
            }
        }
    }

    #[test]
    fn any_bits_are_answered(
        numbers in prop::collection::vec(
            (any::<f64>(), any::<f64>(), -4000.0..4000.0, any::<f64>()), 0..8),
        small in prop::collection::vec((0..4_u8, 0..4_u8, -9..9_i8, -9..9_i8), 0..8),
        sigma in prop::option::of(any::<f64>()),
    ) {
        let wild = numbers.iter().map(|&(left, right, x, y)| RelativeReading {
            ring_deg: PerChannel { left, right },
            misalignment: Misalignment::new(x, y),
        });
        let grid = small.iter().map(|&(left, right, x, y)| RelativeReading {
            ring_deg: PerChannel { left: 90.0 * f64::from(left), right: 90.0 * f64::from(right) },
            misalignment: Misalignment::new(f64::from(x), f64::from(y)),
        });
        let window = Window::new(1e-300, 1e300, 1.0, None).ok();
        for (readings, sigma_arcmin) in
            [(wild.collect(), sigma), (grid.clone().collect(), None), (grid.collect(), sigma)]
        {
            let problem = RelativeProblem {
                readings, sigma_arcmin, window, ..RelativeProblem::default()
            };
            if let Ok(solution) = solve_relative(&problem) {
                let rings = solution.setting.ring_deg;
                prop_assert!((0.0..360.0).contains(&rings.left), "{solution:?}");
                prop_assert!((0.0..360.0).contains(&rings.right), "{solution:?}");
                prop_assert!(solution.setting.misalignment.length_arcmin().is_finite());
            }
        }
    }
}
