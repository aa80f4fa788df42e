//! How far a far point must be for the looking test.
//!
//! Seen from two eyes an interpupillary distance apart, a point at distance D asks them to converge by
//! 2 atan(IPD/2D), IPD/D for all that counts as far: a share of the convergence limit that the
//! viewer is not to blame for.

use crate::angle::{arcmin_from_rad, rad_from_arcmin};
use crate::error::Error;
use crate::tolerance::Window;

fn check_length(what: &'static str, value: f64) -> Result<(), Error> {
    Error::check(value > 0.0 && value.is_finite(), what, value, "more than 0")
}

/// What a point at a distance asks the eyes to converge by, arcminutes.
///
/// # Errors
/// [`Error::OutOfRange`] for a length that is not a finite number above 0.
///
/// ```
/// // 64 mm at 100 m: 2.2′.
/// let parallax = solver::far_point::parallax_arcmin(64.0, 100.0)?;
/// assert!((parallax - 2.200_157_9).abs() < 1e-6);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn parallax_arcmin(ipd_mm: f64, distance_m: f64) -> Result<f64, Error> {
    check_length("an interpupillary distance in mm", ipd_mm)?;
    check_length("a distance in m", distance_m)?;
    Ok(arcmin_from_rad(2.0 * (ipd_mm / 1000.0 / (2.0 * distance_m)).atan()))
}

/// The least distance, metres, at which parallax stays within a share (0 to 1) of the window's
/// convergence limit.
///
/// # Errors
/// [`Error::OutOfRange`] for a length or a share that makes no sense.
pub fn least_distance_m(ipd_mm: f64, window: &Window, share: f64) -> Result<f64, Error> {
    check_length("an interpupillary distance in mm", ipd_mm)?;
    Error::check(share > 0.0 && share <= 1.0, "a share of the limit", share, "above 0, up to 1")?;
    let allowed_rad = rad_from_arcmin(share * window.convergence_arcmin());
    let tan = (0.5 * allowed_rad).tan();
    // A limit of half a turn or more is met at any distance.
    Ok(if allowed_rad < core::f64::consts::PI { ipd_mm / 1000.0 / (2.0 * tan) } else { 0.0 })
}
