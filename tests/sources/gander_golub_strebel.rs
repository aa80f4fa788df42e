//! W. Gander, G. H. Golub, R. Strebel, *Least-squares fitting of circles and ellipses*, BIT 34
//! (1994) 558: six points. Fits to seven figures as printed in the headers of widely used circle-fit
//! test programs; more digits and the covariance recomputed with mpmath 1.4 (50 digits).

use crate::{close, directions, fit_points, printed};
use solver::fit::algebraic::taubin;

pub(crate) const POINTS: [(f64, f64); 6] =
    [(1.0, 7.0), (2.0, 6.0), (5.0, 8.0), (7.0, 7.0), (9.0, 5.0), (3.0, 7.0)];

#[test]
fn the_geometric_fit_has_the_published_digits() {
    let fit = fit_points(&POINTS).unwrap();
    printed("centre x", fit.circle.centre.x_arcmin, 4.739_782, 6);
    printed("centre y", fit.circle.centre.y_arcmin, 2.983_533, 6);
    printed("radius", fit.circle.radius_arcmin, 4.714_226, 6);
    printed("rms", fit.rms_arcmin, 0.452_327_1, 7);
    printed("centre x", fit.circle.centre.x_arcmin, 4.739_782_410_906, 12);
    printed("centre y", fit.circle.centre.y_arcmin, 2.983_532_699_292, 12);
    printed("radius", fit.circle.radius_arcmin, 4.714_226_037_792, 12);
    printed("rms", fit.rms_arcmin, 0.452_327_145_288, 12);
    printed("sum of squares", fit.weighted_squares_arcmin2, 1.227_599_078_184, 12);
}

#[test]
fn the_covariance_is_that_of_the_linearised_fit() {
    let fit = fit_points(&POINTS).unwrap();
    assert_eq!(fit.degrees_of_freedom, 3);
    let covariance = fit.covariance.unwrap();
    assert_eq!(covariance.size(), 3);
    let u = |i: usize| covariance.get(i, i).sqrt();
    printed("u(a)", u(0), 0.477_593_068_599, 12);
    printed("u(b)", u(1), 1.542_912_853_362, 12);
    printed("u(r)", u(2), 1.224_319_100_445, 12);
    let correlation = |i: usize, j: usize| covariance.get(i, j) / (u(i) * u(j));
    printed("r(a, b)", correlation(0, 1), 0.391_660_470_557, 12);
    printed("r(a, r)", correlation(0, 2), -0.365_782_311_279, 12);
    printed("r(b, r)", correlation(1, 2), -0.976_815_463_988, 12);
}

#[test]
fn the_start_is_taubins_fit() {
    let start = taubin(&directions(&POINTS)).unwrap();
    printed("centre x", start.centre.x_arcmin, 4.613_933, 6);
    printed("centre y", start.centre.y_arcmin, 2.795_209, 6);
    printed("radius", start.radius_arcmin, 4.879_213, 6);
    // Recomputed; a root of a cubic by Newton, then a division: a few units in the 15th digit,
    // times the conditioning of the cubic (its smallest root lies 0.2 under the mean square 10).
    close("centre x", start.centre.x_arcmin, 4.613_932_693_879, 1e-12);
    close("centre y", start.centre.y_arcmin, 2.795_209_346_931, 1e-12);
    close("radius", start.radius_arcmin, 4.879_212_845_616, 1e-12);
}
