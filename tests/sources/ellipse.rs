//! Ellipses against tables: χ² and F as in the NIST/SEMATECH *e-Handbook of Statistical Methods*,
//! 1.3.6.7.3 and 1.3.6.7.4 (from memory), and the centre of the fit of Gander, Golub and Strebel.

use crate::close;
use solver::Direction;
use solver::ellipse::Ellipse;
use solver::published::fits::{GANDER_GOLUB_STREBEL, fit_points};

/// A circle of standard uncertainty 1′ has the radius √(2F), or √χ².
#[test]
fn its_size_is_the_tables() {
    let radius = |freedom: f64| {
        let round = [[1.0, 0.0], [0.0, 1.0]];
        Ellipse::covering(Direction::BORESIGHT, round, 0.95, freedom).unwrap().semi_major_arcmin
    };
    for (freedom, f) in [
        (1.0, 199.500),
        (2.0, 19.000),
        (3.0, 9.552),
        (4.0, 6.944),
        (10.0, 4.103),
        (30.0, 3.316),
        (100.0, 3.087),
    ] {
        close("2F", radius(freedom).powi(2), 2.0 * f, 2.0 * 0.000_500_1);
    }
    close("χ²", radius(f64::INFINITY).powi(2), 5.991, 0.000_500_1);
}

/// Axes from the published standard uncertainties 0.477593068599 and 1.542912853362 and their
/// correlation 0.391660470557 (recomputed, 50 digits), ν = 3, F = 9.552094…: the sum of the
/// squared axes is 2F times the trace, their product 2F times the root of the determinant.
#[test]
fn the_published_fits_centre_has_this_ellipse() {
    let fit = fit_points(&GANDER_GOLUB_STREBEL).unwrap();
    // So short an arc states no region of its own; its covariance makes one.
    assert_eq!(fit.centre_ellipse(), None);
    let covariance = fit.covariance.unwrap();
    let of_centre = [0, 1].map(|i| [0, 1].map(|j| covariance.get(i, j)));
    let ellipse = Ellipse::covering(fit.circle.centre, of_centre, 0.95, 3.0).unwrap();
    let (ua, ub, r) = (0.477_593_068_599_f64, 1.542_912_853_362_f64, 0.391_660_470_557_f64);
    // F's quantile in closed form, (ν/2)(20^(2/ν) − 1).
    let two_f = 3.0 * (20f64.powf(2.0 / 3.0) - 1.0);
    let (a, b) = (ellipse.semi_major_arcmin, ellipse.semi_minor_arcmin);
    // Twelve printed digits, times 2F ≈ 19 and values near 50.
    close("a² + b²", a * a + b * b, two_f * (ua * ua + ub * ub), 1e-9);
    close("ab", a * b, two_f * ua * ub * (1.0 - r * r).sqrt(), 1e-9);
    assert!(ellipse.contains(Direction::new(4.7398, 2.9835)));
}
