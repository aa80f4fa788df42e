//! V. Pratt, *Direct least-squares fitting of algebraic surfaces*, Computer Graphics 21 (1987) 145:
//! four points on a shallow arc. Taubin's fit as printed in the headers of circle-fit test
//! programs; the geometric fit recomputed with mpmath 1.4 (50 digits).

use crate::{close, directions, fit_points, printed};
use solver::fit::algebraic::taubin;

const POINTS: [(f64, f64); 4] = [(-1.0, 0.0), (-0.3, -0.06), (0.3, 0.1), (1.0, 0.0)];

#[test]
fn the_geometric_fit_agrees_and_is_marked_as_too_short_an_arc() {
    let fit = fit_points(&POINTS).unwrap();
    // The parameters are known to ±121: the problem multiplies rounding by about that over the
    // rms 0.05, squared, so 2e-16 × 5e6 is what double precision can hold.
    close("centre x", fit.circle.centre.x_arcmin, 0.499_332_725_795_3, 1e-9);
    close("centre y", fit.circle.centre.y_arcmin, -22.535_339_674_96, 1e-9);
    close("radius", fit.circle.radius_arcmin, 22.562_957_261_92, 1e-9);
    printed("rms", fit.rms_arcmin, 0.054_164_814_496_13, 14);
    printed("u(r)", fit.radius_u_arcmin().unwrap(), 121.28, 2);
    assert!(fit.arc_too_short());
}

#[test]
fn the_start_is_taubins_fit() {
    let start = taubin(&directions(&POINTS)).unwrap();
    printed("centre x", start.centre.x_arcmin, 0.490_921_1, 7);
    printed("centre y", start.centre.y_arcmin, -22.155_98, 5);
    printed("radius", start.radius_arcmin, 22.183_78, 5);
}
