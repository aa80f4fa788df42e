//! The worst over a swing is the worst: no sampled swing is worse, and it is reached.

use crate::given::circle;
use proptest::prelude::*;
use solver::swing::{Bridge, SwingRange, safe_radius_arcmin, swung, worst_over};
use solver::{Direction, PerChannel, Window};

fn window() -> impl Strategy<Value = Window> {
    (5.0..60.0, 5.0..60.0, 5.0..60.0, prop::option::of(20.0..200.0))
        .prop_map(|(c, d, v, b)| Window::new(c, d, v, b).unwrap())
}

fn range() -> impl Strategy<Value = SwingRange> {
    (-180.0..180.0, 0.0..180.0).prop_map(|(low, width): (f64, f64)| {
        SwingRange::new(low, (low + width).min(180.0)).unwrap()
    })
}

fn use_at(points: PerChannel<Direction>, window: &Window, deg: f64) -> f64 {
    let PerChannel { left, right } = swung(points, deg);
    window.used_by(left, right).worst()
}

proptest! {
    #[test]
    fn no_swing_is_worse_than_the_worst(
        left in circle(),
        right in circle(),
        window in window(),
        range in range(),
    ) {
        let points = PerChannel { left: left.centre, right: right.centre };
        let worst = worst_over(points, &window, range);
        prop_assert!(range.low_deg() <= worst.at_deg && worst.at_deg <= range.high_deg());
        let reached = use_at(points, &window, worst.at_deg);
        prop_assert!((reached - worst.used.worst()).abs() <= 1e-12 * (1.0 + reached));
        for step in 0..=500 {
            let deg = range.low_deg()
                + (range.high_deg() - range.low_deg()) * (f64::from(step) / 500.0);
            prop_assert!(use_at(points, &window, deg) <= reached * (1.0 + 1e-12));
        }
    }

    /// Every direction within the safe radius stays inside; just beyond it, some does not.
    #[test]
    fn the_safe_radius_is_safe_and_no_smaller_than_it_must_be(
        window in window(),
        range in range(),
        bearing_rad in 0.0..core::f64::consts::TAU,
    ) {
        let Some(radius) = safe_radius_arcmin(&window, range) else {
            return Ok(());
        };
        let both = |point| PerChannel { left: point, right: point };
        let inside = Direction::polar(radius * (1.0 - 1e-9), bearing_rad);
        prop_assert!(worst_over(both(inside), &window, range).used.is_inside());
        let beyond = (0..3600).any(|tenth| {
            let angle = f64::from(tenth).to_radians() / 10.0;
            let point = Direction::polar(radius * (1.0 + 1e-6), angle);
            !worst_over(both(point), &window, range).used.is_inside()
        });
        prop_assert!(beyond);
    }

    /// A swing there and the interpupillary distance back again.
    #[test]
    fn a_hinge_goes_there_and_back(
        spread_mm in 0.0..40.0,
        arm_mm in 10.0..40.0,
        from in 0.05..0.95,
        to in 0.05..0.95,
    ) {
        let bridge = Bridge::Hinge { spread_mm, arm_mm };
        let ipd = |share: f64| spread_mm + 2.0 * arm_mm * share;
        let swing = bridge.swing_deg(ipd(from), ipd(to)).unwrap();
        prop_assert!((bridge.ipd_mm(ipd(from), swing).unwrap() - ipd(to)).abs() < 1e-11);
    }
}
