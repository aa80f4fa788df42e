//! Angles: arcminutes, degrees, radians, mils and prism dioptres.
//!
//! The only place in the project that knows 60, 360 and π/180. Directions are in arcminutes,
//! ring, clock and swing angles in degrees; radians stay inside the solver.
//!
//! # Source
//! The radian and its multiples: BIPM, *The International System of Units*, 9th ed. (2019), table 8.
//! Prism dioptre: 100 tan θ, C. F. Prentice, Arch. Ophthalmol. 19 (1890) 128.

use core::f64::consts::PI;

/// Arcminutes in one radian, 10 800/π.
pub const ARCMIN_PER_RAD: f64 = 10_800.0 / PI;

/// Degrees in a full turn.
pub const TURN_DEG: f64 = 360.0;

/// Radians → arcminutes.
#[must_use]
pub const fn arcmin_from_rad(rad: f64) -> f64 {
    rad * ARCMIN_PER_RAD
}

/// Arcminutes → radians.
#[must_use]
pub const fn rad_from_arcmin(arcmin: f64) -> f64 {
    arcmin * (PI / 10_800.0)
}

/// Degrees → radians.
#[must_use]
pub const fn rad_from_deg(deg: f64) -> f64 {
    deg * (PI / 180.0)
}

/// Radians → degrees.
#[must_use]
pub const fn deg_from_rad(rad: f64) -> f64 {
    rad * (180.0 / PI)
}

/// Degrees → arcminutes.
#[must_use]
pub const fn arcmin_from_deg(deg: f64) -> f64 {
    deg * 60.0
}

/// Milliradians → arcminutes.
#[must_use]
pub const fn arcmin_from_mrad(mrad: f64) -> f64 {
    mrad * (ARCMIN_PER_RAD / 1000.0)
}

/// Arcminutes → milliradians.
#[must_use]
pub const fn mrad_from_arcmin(arcmin: f64) -> f64 {
    arcmin * (1000.0 * PI / 10_800.0)
}

/// Mils of 1/6400 turn → arcminutes (exactly 3.375 each).
#[must_use]
pub const fn arcmin_from_mil(mil: f64) -> f64 {
    mil * 3.375
}

/// Prism dioptres → arcminutes: atan(Δ/100).
#[must_use]
pub fn arcmin_from_prism_dioptre(prism_dioptre: f64) -> f64 {
    arcmin_from_rad((prism_dioptre / 100.0).atan())
}

/// Arcminutes → prism dioptres: 100 tan θ.
#[must_use]
pub fn prism_dioptre_from_arcmin(arcmin: f64) -> f64 {
    100.0 * rad_from_arcmin(arcmin).tan()
}

/// An angle reduced to [0, 360) degrees.
///
/// # Degenerate input
/// A value that is not finite comes back as NaN.
///
/// ```
/// use solver::angle::reduced_deg;
/// assert_eq!(reduced_deg(-30.0), 330.0);
/// assert_eq!(reduced_deg(720.0), 0.0);
/// assert_eq!(reduced_deg(-1e-20), 0.0);
/// ```
#[must_use]
pub fn reduced_deg(deg: f64) -> f64 {
    let reduced = deg.rem_euclid(TURN_DEG);
    // A tiny negative rounds up to a full turn, and −0 should read 0.
    if reduced >= TURN_DEG || reduced == 0.0 { 0.0 } else { reduced }
}

/// The shorter way from one ring angle to another, degrees in (−180, 180]; positive is clockwise.
/// Exactly half a turn goes clockwise.
///
/// ```
/// use solver::angle::turn_deg;
/// assert_eq!(turn_deg(350.0, 10.0), 20.0);
/// assert_eq!(turn_deg(10.0, 350.0), -20.0);
/// assert_eq!(turn_deg(0.0, 180.0), 180.0);
/// assert_eq!(turn_deg(180.0, 0.0), 180.0);
/// ```
#[must_use]
pub fn turn_deg(from_deg: f64, to_deg: f64) -> f64 {
    let turn = reduced_deg(to_deg - from_deg);
    if turn > 180.0 { turn - TURN_DEG } else { turn }
}

/// A ring angle rounded to the ring's step and reduced; `step_deg` ≤ 0 or not finite leaves it unrounded.
///
/// ```
/// use solver::angle::rounded_deg;
/// assert_eq!(rounded_deg(235.6, 1.0), 236.0);
/// assert_eq!(rounded_deg(359.7, 1.0), 0.0);
/// ```
#[must_use]
pub fn rounded_deg(deg: f64, step_deg: f64) -> f64 {
    if step_deg > 0.0 && step_deg.is_finite() {
        reduced_deg((deg / step_deg).round() * step_deg)
    } else {
        reduced_deg(deg)
    }
}
