//! Widths of bands, axes of ellipses, and the guard band.

use paper::{Confirmed, Field, ItemId, Shape};
use solver::{Channel, Direction, Spread};

use crate::units::{crossing, drawn, line, square};

/// Half widths of a channel's band, all round.
fn half_widths(scene: &paper::Scene, channel: Channel) -> Vec<f64> {
    match &scene.find(ItemId::Band(channel)).expect("a band").shape {
        Shape::Band { outer, inner } => {
            outer.iter().zip(inner).map(|(out, inn)| out.distance_arcmin(*inn) / 2.0).collect()
        }
        other => panic!("{other:?}"),
    }
}

/// With n evenly spread ring angles the linear fit gives c and a each the variance σ²/n per axis,
/// uncorrelated (the rotations sum to nothing), so the edge c·u + r has 2σ²/n all round. The 97.5 %
/// point of the normal distribution is 1.95996 (any table; Abramowitz and Stegun, table 26.5).
#[test]
fn bands_of_even_readings_are_even() {
    let scene = drawn(&square(), |field, _| field);
    for (channel, count) in [(Channel::Left, 4.0_f64), (Channel::Right, 8.0)] {
        let expected = 1.95996 * 0.5 * (2.0 / count).sqrt();
        for half in half_widths(&scene, channel) {
            // The table's digits: 3e-6 of 1.96.
            assert!((half - expected).abs() < 3e-6 * expected, "{channel}: {half} {expected}");
        }
    }
}

/// Where σ is estimated from the residuals the factor is Student's: 2.776 with 4 degrees of
/// freedom (JCGM 100:2008, table G.2: 2.78).
#[test]
fn bands_without_a_stated_sigma_use_student() {
    let mut problem = square();
    problem.spread = Spread::default();
    // A pattern no circle can follow: outwards, inwards, outwards, inwards.
    for (k, reading) in problem.readings.left.iter_mut().enumerate() {
        let outward = (reading.direction - Direction::new(-30.0, 0.0)) * (1.0 / 30.0);
        reading.direction = reading.direction + outward * if k % 2 == 0 { 0.1 } else { -0.1 };
    }
    let solution = solver::solve(&problem).unwrap();
    let fit = solution.fits.left.as_ref().unwrap();
    assert_eq!(fit.degrees_of_freedom, 4);
    let u = fit.covariance.unwrap().edge_variance_arcmin2(1.0, 0.0).sqrt();
    // SSE = 4·0.1², σ̂² = SSE/4 = 0.01, edge variance 2σ̂²/4: worked by hand as above.
    assert!((u - (0.005_f64).sqrt()).abs() < 1e-9, "{u}");
    let scene = drawn(&problem, |field, _| field);
    let half = half_widths(&scene, Channel::Left)[0];
    assert!((half / u - 2.776).abs() < 0.0005, "{}", half / u);
}

/// Nothing is known of the spread: no band and no ellipse are invented.
#[test]
fn no_spread_no_band() {
    let mut problem = square();
    problem.spread = Spread::default();
    for channel in Channel::BOTH {
        problem.readings[channel].truncate(2);
    }
    let scene = drawn(&problem, |field, _| field);
    assert!(scene.find(ItemId::Circle(Channel::Left)).is_some());
    assert!(scene.find(ItemId::Band(Channel::Left)).is_none());
    assert!(scene.find(ItemId::Ellipse(0)).is_none());
}

/// At a right-angled crossing the edges move the point independently: along x by the left circle's
/// edge, along y by the right one's. Variances 2σ²/4 and 2σ²/8; the 95 % point of χ² with two
/// degrees of freedom is 5.991 (any table; it is −2 ln 0.05).
#[test]
fn the_ellipse_of_a_square_crossing() {
    let scene = drawn(&square(), |field, _| field);
    let points = line(&scene, ItemId::Ellipse(0));
    let reach = |axis: fn(&Direction) -> f64| points.iter().map(axis).fold(0.0, f64::max);
    let factor = (-2.0 * 0.05_f64.ln()).sqrt();
    let (x, y) = (reach(|p| p.x_arcmin), reach(|p| p.y_arcmin));
    // Circles from exact readings: rounding of numbers up to 30, and the quantile's own 1e-12.
    assert!((x - factor * 0.125_f64.sqrt()).abs() < 1e-9, "{x}");
    assert!((y - factor * 0.0625_f64.sqrt()).abs() < 1e-9, "{y}");
}

/// The window goes round the left crosshair as confirmed, the guard band inside it by its width on
/// every side; nothing where no window is left.
#[test]
fn the_guard_band_lies_inside_the_window() {
    let left = Direction::new(-14.0, 22.0);
    let guarded = |guard_arcmin| {
        let confirmed = Some(Confirmed { left, guard_arcmin });
        drawn(&crossing(), |field, _| Field { confirmed, ..field })
    };
    let scene = guarded([3.29, 1.645]);
    let (window, guard) = (line(&scene, ItemId::Window), line(&scene, ItemId::Guard));
    // Convergence 45′, dipvergence 15′.
    assert_eq!(window[0], Direction::new(-59.0, 7.0));
    for inset in [guard[0] - window[0], window[2] - guard[2]] {
        assert!((inset.x_arcmin - 3.29).abs() < 1e-12, "{inset:?}");
        assert!((inset.y_arcmin - 1.645).abs() < 1e-12, "{inset:?}");
    }
    assert!(guarded([3.0, 15.1]).find(ItemId::Guard).is_none());
    assert!(guarded([f64::NAN, 1.0]).find(ItemId::Guard).is_none());
    assert!(guarded([0.0; 2]).find(ItemId::Guard).is_none());
}
