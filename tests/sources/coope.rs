//! I. D. Coope, *Circle fitting by linear and nonlinear least squares*, JOTA 76 (1993) 381: eight
//! points as shipped with the R package *circular* (citation from memory). No published
//! digits were seen: recomputed with mpmath 1.4 (50 digits).

use crate::{directions, fit_points, printed};
use solver::fit::algebraic::taubin;

const POINTS: [(f64, f64); 8] = [
    (0.7, 4.0),
    (3.3, 4.7),
    (5.6, 4.0),
    (7.5, 1.3),
    (6.4, -1.1),
    (4.4, -3.0),
    (0.3, -2.5),
    (-1.1, 1.3),
];

#[test]
fn the_geometric_fit_and_its_uncertainty_agree() {
    let fit = fit_points(&POINTS).unwrap();
    printed("centre x", fit.circle.centre.x_arcmin, 3.043_238_251_583, 12);
    printed("centre y", fit.circle.centre.y_arcmin, 0.745_678_313_459, 12);
    printed("radius", fit.circle.radius_arcmin, 4.105_855_837_954, 12);
    printed("rms", fit.rms_arcmin, 0.192_337_086_257, 12);
    let covariance = fit.covariance.unwrap();
    printed("u(a)", covariance.get(0, 0).sqrt(), 0.122_810_094_981, 12);
    printed("u(b)", covariance.get(1, 1).sqrt(), 0.122_642_696_939, 12);
    printed("u(r)", covariance.get(2, 2).sqrt(), 0.087_302_221_261, 12);
    assert!(!fit.arc_too_short());
}

#[test]
fn the_start_is_taubins_fit() {
    let start = taubin(&directions(&POINTS)).unwrap();
    printed("centre x", start.centre.x_arcmin, 3.058_822_669_260, 12);
    printed("centre y", start.centre.y_arcmin, 0.741_951_371_777, 12);
    printed("radius", start.radius_arcmin, 4.109_394_133_228, 12);
}
