//! Circles through points without ring angles.

use super::{Case, Figure, close, printed};
use crate::channel::Channel;
use crate::direction::Direction;
use crate::error::Error;
use crate::fit::algebraic::taubin;
use crate::fit::{CircleFit, Reading, SenseChoice, Spread, fit_circle};

/// Points of the first case.
pub const GANDER_GOLUB_STREBEL: [(f64, f64); 6] =
    [(1.0, 7.0), (2.0, 6.0), (5.0, 8.0), (7.0, 7.0), (9.0, 5.0), (3.0, 7.0)];

/// Points of the second.
pub const COOPE: [(f64, f64); 8] = [
    (0.7, 4.0),
    (3.3, 4.7),
    (5.6, 4.0),
    (7.5, 1.3),
    (6.4, -1.1),
    (4.4, -3.0),
    (0.3, -2.5),
    (-1.1, 1.3),
];

/// Points of the third, on a shallow arc.
pub const PRATT: [(f64, f64); 4] = [(-1.0, 0.0), (-0.3, -0.06), (0.3, 0.1), (1.0, 0.0)];

/// Points of the fourth, nearly a line: the best circle has a radius of 3283 while Taubin's start lies on
/// the other side.
pub const CHERNOV: [(f64, f64); 5] =
    [(0.0, 2.0), (1.0, -1.001), (-1.0, -1.001), (10.0, 0.001), (-10.0, 0.001)];

/// All of them.
pub const CASES: &[Case] = &[
    Case {
        what: "circle through six points, with its covariance",
        source: "W. Gander, G. H. Golub, R. Strebel, Least-squares fitting of circles and ellipses, BIT 34 \
                 (1994) 558; covariance and further digits recomputed with mpmath 1.4",
        work: gander_golub_strebel,
    },
    Case {
        what: "circle through eight points, with its uncertainty",
        source: "I. D. Coope, Circle fitting by linear and nonlinear least squares, JOTA 76 (1993) 381 \
                 (points; citation from memory); recomputed with mpmath 1.4",
        work: coope,
    },
    Case {
        what: "circle through four points of a shallow arc",
        source: "V. Pratt, Direct least-squares fitting of algebraic surfaces, Computer Graphics 21 (1987) \
                 145 (points); recomputed with mpmath 1.4",
        work: pratt,
    },
    Case {
        what: "circle through five points nearly on a line",
        source: "N. Chernov, Circular and Linear Regression, CRC (2010), 5.13",
        work: chernov,
    },
];

/// The fit of points without ring angles, spread taken from the residuals.
///
/// # Errors
/// As [`fit_circle`].
pub fn fit_points(points: &[(f64, f64)]) -> Result<CircleFit, Error> {
    let readings: Vec<Reading> =
        directions(points).into_iter().map(Reading::without_ring).collect();
    fit_circle(Channel::Left, &readings, Spread::default(), SenseChoice::Auto)
}

fn directions(points: &[(f64, f64)]) -> Vec<Direction> {
    points.iter().map(|&(x, y)| Direction::new(x, y)).collect()
}

/// Standard uncertainties of centre and radius; NaN without covariance.
fn u(fit: &CircleFit) -> [f64; 3] {
    [0, 1, 2].map(|i| fit.covariance.map_or(f64::NAN, |covariance| covariance.get(i, i).sqrt()))
}

/// Taubin's start: centre x, y and radius; NaN where there is none.
fn start(points: &[(f64, f64)]) -> [f64; 3] {
    taubin(&directions(points)).map_or([f64::NAN; 3], |circle| {
        [circle.centre.x_arcmin, circle.centre.y_arcmin, circle.radius_arcmin]
    })
}

fn gander_golub_strebel() -> Result<Vec<Figure>, Error> {
    let fit = fit_points(&GANDER_GOLUB_STREBEL)?;
    let circle = fit.circle;
    let [ua, ub, ur] = u(&fit);
    let correlation = |i: usize, j: usize| {
        let u = [ua, ub, ur];
        let both = u.get(i).zip(u.get(j)).map_or(f64::NAN, |(a, b)| a * b);
        fit.covariance.map_or(f64::NAN, |covariance| covariance.get(i, j) / both)
    };
    let [x, y, r] = start(&GANDER_GOLUB_STREBEL);
    Ok(vec![
        printed("centre x", circle.centre.x_arcmin, 4.739_782, 6),
        printed("centre y", circle.centre.y_arcmin, 2.983_533, 6),
        printed("radius", circle.radius_arcmin, 4.714_226, 6),
        printed("rms", fit.rms_arcmin, 0.452_327_1, 7),
        printed("centre x", circle.centre.x_arcmin, 4.739_782_410_906, 12),
        printed("centre y", circle.centre.y_arcmin, 2.983_532_699_292, 12),
        printed("radius", circle.radius_arcmin, 4.714_226_037_792, 12),
        printed("rms", fit.rms_arcmin, 0.452_327_145_288, 12),
        printed("sum of squares", fit.weighted_squares_arcmin2, 1.227_599_078_184, 12),
        printed("u(a)", ua, 0.477_593_068_599, 12),
        printed("u(b)", ub, 1.542_912_853_362, 12),
        printed("u(r)", ur, 1.224_319_100_445, 12),
        printed("r(a, b)", correlation(0, 1), 0.391_660_470_557, 12),
        printed("r(a, r)", correlation(0, 2), -0.365_782_311_279, 12),
        printed("r(b, r)", correlation(1, 2), -0.976_815_463_988, 12),
        printed("Taubin's centre x", x, 4.613_933, 6),
        printed("Taubin's centre y", y, 2.795_209, 6),
        printed("Taubin's radius", r, 4.879_213, 6),
        // Recomputed; a root of a cubic by Newton, then a division: a few units in the 15th digit,
        // times the conditioning of the cubic (its smallest root lies 0.2 under the mean square 10).
        close("Taubin's centre x", x, 4.613_932_693_879, 1e-12),
        close("Taubin's centre y", y, 2.795_209_346_931, 1e-12),
        close("Taubin's radius", r, 4.879_212_845_616, 1e-12),
    ])
}

fn coope() -> Result<Vec<Figure>, Error> {
    let fit = fit_points(&COOPE)?;
    let [ua, ub, ur] = u(&fit);
    let [x, y, r] = start(&COOPE);
    Ok(vec![
        printed("centre x", fit.circle.centre.x_arcmin, 3.043_238_251_583, 12),
        printed("centre y", fit.circle.centre.y_arcmin, 0.745_678_313_459, 12),
        printed("radius", fit.circle.radius_arcmin, 4.105_855_837_954, 12),
        printed("rms", fit.rms_arcmin, 0.192_337_086_257, 12),
        printed("u(a)", ua, 0.122_810_094_981, 12),
        printed("u(b)", ub, 0.122_642_696_939, 12),
        printed("u(r)", ur, 0.087_302_221_261, 12),
        printed("Taubin's centre x", x, 3.058_822_669_260, 12),
        printed("Taubin's centre y", y, 0.741_951_371_777, 12),
        printed("Taubin's radius", r, 4.109_394_133_228, 12),
    ])
}

fn pratt() -> Result<Vec<Figure>, Error> {
    let fit = fit_points(&PRATT)?;
    let [_, _, ur] = u(&fit);
    let [x, y, r] = start(&PRATT);
    Ok(vec![
        // The parameters are known to ±121: the problem multiplies rounding by about that over the
        // rms 0.05, squared, so 2e-16 × 5e6 is what double precision can hold.
        close("centre x", fit.circle.centre.x_arcmin, 0.499_332_725_795_3, 1e-9),
        close("centre y", fit.circle.centre.y_arcmin, -22.535_339_674_96, 1e-9),
        close("radius", fit.circle.radius_arcmin, 22.562_957_261_92, 1e-9),
        printed("rms", fit.rms_arcmin, 0.054_164_814_496_13, 14),
        printed("u(r)", ur, 121.28, 2),
        printed("Taubin's centre x", x, 0.490_921_1, 7),
        printed("Taubin's centre y", y, -22.155_98, 5),
        printed("Taubin's radius", r, 22.183_78, 5),
    ])
}

fn chernov() -> Result<Vec<Figure>, Error> {
    let fit = fit_points(&CHERNOV)?;
    Ok(vec![
        printed("centre y", fit.circle.centre.y_arcmin, -3283.3, 1),
        printed("radius", fit.circle.radius_arcmin, 3283.3, 1),
        printed("rms", fit.rms_arcmin, 1.095_79, 5),
        close("centre x", fit.circle.centre.x_arcmin, 0.0, 0.05),
    ])
}
