//! Crossing points lie on both circles, from grazing to concentric.

use proptest::prelude::*;
use solver::meet::{RELATION_TOLERANCE, meet};
use solver::{Channel, Direction, Error, OffsetCircle, Relation};

/// How deep two circles reach into each other: 0 just touching from outside, 1 from inside; dense
/// at both ends.
fn depth() -> impl Strategy<Value = f64> {
    prop_oneof![
        0.0..1.0,
        (-16.0..-1.0).prop_map(|decade: f64| 10f64.powf(decade)),
        (-16.0..-1.0).prop_map(|decade: f64| 1.0 - 10f64.powf(decade)),
    ]
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(2_000))]

    #[test]
    fn they_lie_on_both_circles(
        x in -500.0..500.0,
        y in -500.0..500.0,
        radius in 0.01..200.0,
        share in prop_oneof![1e-6..1.0, Just(1.0)],
        depth in depth(),
        bearing_rad in 0.0..core::f64::consts::TAU,
    ) {
        let (large, small): (f64, f64) = (radius, radius * share);
        // From the outer touch, large + small apart, to the inner one, large − small apart.
        let apart = (large + small) - 2.0 * small * depth;
        let centre = Direction::new(x, y);
        let left = OffsetCircle::unphased(centre, large);
        let right =
            OffsetCircle::unphased(centre + Direction::polar(apart, bearing_rad), small);
        let met = meet(&left, &right, RELATION_TOLERANCE).unwrap();
        if met.relation == Relation::Crossing {
            prop_assert_eq!(met.crossings().count(), 2);
            // 1e-12 of the larger radius, and the rounding of coordinates up to 700′.
            let allowed = 1e-12 * large + 4.0 * f64::EPSILON * 700.0;
            for crossing in met.crossings() {
                for circle in [&left, &right] {
                    let off = circle.off_circle_arcmin(crossing.point).abs();
                    prop_assert!(off <= allowed, "{off:e} off, {allowed:e} allowed");
                }
            }
        } else if let Some(touch) = met.nearest() {
            // Touching within the tolerance, which is then what the point may be off by.
            for circle in [&left, &right] {
                let off = circle.off_circle_arcmin(touch.point).abs();
                prop_assert!(off <= 1.01 * RELATION_TOLERANCE * large + 1e-12);
            }
        }
    }

    /// The ring angles a crossing carries bring the crosshairs there.
    #[test]
    fn their_ring_angles_lead_to_them(
        left in crate::given::circle(),
        right in crate::given::circle(),
    ) {
        let met = meet(&left, &right, RELATION_TOLERANCE).unwrap();
        for crossing in met.crossings() {
            for (channel, circle) in [(Channel::Left, &left), (Channel::Right, &right)] {
                let ring_deg = crossing.ring_deg[channel].unwrap();
                prop_assert!((0.0..360.0).contains(&ring_deg));
                let there = circle.at_ring(ring_deg).unwrap();
                // Degrees to radians and back lose a few units in the last place of 360°.
                let allowed = 1e-14 * 360.0 * circle.radius_arcmin + 2e-7;
                let allowed = if met.relation == Relation::Crossing { 1e-10 } else { allowed };
                prop_assert!(there.distance_arcmin(crossing.point) <= allowed);
            }
        }
    }

    /// Apart or nested, the gap is the plain difference of distance and radii.
    #[test]
    fn where_they_do_not_meet_the_gap_is_plain_arithmetic(
        left in crate::given::circle(),
        right in crate::given::circle(),
    ) {
        let met = meet(&left, &right, RELATION_TOLERANCE).unwrap();
        let apart = left.centre.distance_arcmin(right.centre);
        let outside = apart - left.radius_arcmin - right.radius_arcmin;
        let inside = (left.radius_arcmin - right.radius_arcmin).abs() - apart;
        match met.relation {
            Relation::Separate => prop_assert!((met.gap_arcmin - outside).abs() < 1e-12),
            Relation::Contained | Relation::Concentric => {
                prop_assert!((met.gap_arcmin - inside.max(0.0)).abs() < 1e-7);
            }
            _ => prop_assert!(outside < 1e-6 && inside < 1e-6 && met.gap_arcmin == 0.0),
        }
    }
}

/// Two circles of radius 30′ whose centres lie at (∓10, δ) cross at (0, δ ± √800). The lower point is
/// nearer boresight by 2δ: within 1e-9 of the larger radius that counts as equally near, and the
/// upper one comes first; beyond it the nearer one does.
#[test]
fn equally_near_is_within_the_tolerance_of_the_larger_radius() {
    let first_y_arcmin = |off_arcmin: f64| {
        let circle = |x| OffsetCircle::unphased(Direction::new(x, off_arcmin), 30.0);
        let met = meet(&circle(-10.0), &circle(10.0), RELATION_TOLERANCE).unwrap();
        let first = met.crossings().next().unwrap().point;
        assert!(first.x_arcmin.abs() < 1e-12);
        first.y_arcmin
    };
    // 2δ is a third of 3e-8′, and three times it.
    assert!(first_y_arcmin(5e-9) > 0.0);
    assert!(first_y_arcmin(4.5e-8) < 0.0);
}

/// A circle that is none is refused, and told whose it is; so are two that lie too far apart for
/// numbers. Circles of any size that numbers hold are not: they cross as small ones do.
#[test]
fn what_is_no_circle_is_told_by_its_channel() {
    let circle = |x, radius| OffsetCircle::unphased(Direction::new(x, 0.0), radius);
    let good = circle(0.0, 30.0);
    for bad in [
        circle(f64::NAN, 30.0),
        circle(f64::INFINITY, 30.0),
        circle(0.0, f64::NAN),
        circle(0.0, f64::INFINITY),
        circle(0.0, -1.0),
    ] {
        for (channel, left, right) in [(Channel::Left, &bad, &good), (Channel::Right, &good, &bad)]
        {
            let refused = meet(left, right, RELATION_TOLERANCE);
            assert_eq!(refused, Err(Error::CircleNotFinite { channel }), "{bad:?}");
        }
    }
    for (left, right) in [
        (circle(0.0, 1.5e308), circle(1.0, 1.5e308)),
        (circle(1.5e308, 1.0), circle(-1.5e308, 1.0)),
    ] {
        assert!(meet(&left, &right, RELATION_TOLERANCE).is_err());
    }
    for size in [1e-100, 1e-10, 1e10, 1e100, 1e200] {
        let (left, right) = (circle(0.0, size), circle(size, size));
        let met = meet(&left, &right, RELATION_TOLERANCE).unwrap();
        assert_eq!((met.relation, met.crossings().count()), (Relation::Crossing, 2), "{size:e}");
        // Equilateral: half the base along, half the root of three up and down; four roundings.
        let up = met.crossings().next().unwrap().point;
        assert!((up.x_arcmin / size - 0.5).abs() < 4e-16, "{size:e}");
        assert!((up.y_arcmin / size - 0.75_f64.sqrt()).abs() < 4e-16, "{size:e}");
    }
}

/// The words of files, paper and screen.
#[test]
fn every_relation_has_its_word() {
    for (relation, word) in [
        (Relation::Crossing, "crossing"),
        (Relation::Tangent, "tangent"),
        (Relation::Separate, "separate"),
        (Relation::Contained, "contained"),
        (Relation::Concentric, "concentric"),
        (Relation::Coincident, "coincident"),
    ] {
        assert_eq!(relation.word(), word);
    }
}

/// One and the same circle meets itself everywhere: what is recommended is its point nearest
/// boresight, 10′ of the 50′ of (30, 40) nearer, and straight up from about boresight itself.
#[test]
fn coincident_circles_meet_nearest_boresight() {
    for (centre, nearest) in [((30.0, 40.0), (24.0, 32.0)), ((0.0, 0.0), (0.0, 10.0))] {
        let circle = OffsetCircle::unphased(Direction::new(centre.0, centre.1), 10.0);
        let met = meet(&circle, &circle, RELATION_TOLERANCE).unwrap();
        assert_eq!(met.relation, Relation::Coincident);
        let point = met.nearest().unwrap().point;
        // Rounding: coordinates up to 40′, 4e-15′ a step.
        assert!(point.distance_arcmin(Direction::new(nearest.0, nearest.1)) < 2e-14, "{point:?}");
    }
}
