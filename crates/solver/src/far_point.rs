//! How far a far point must be for the looking test.
//!
//! Seen from two eyes an interpupillary distance apart, a point at distance D asks them to converge by
//! 2 atan(IPD/2D), IPD/D for all that counts as far: a share of the convergence limit that the
//! viewer is not to blame for.

use crate::angle::rad_from_arcmin;
use crate::error::Error;
use crate::swing::IPD;
use crate::tolerance::Window;

fn check_length(what: &'static str, value: f64) -> Result<(), Error> {
    Error::check(value > 0.0 && value.is_finite(), what, value, "more than 0")
}

/// The least distance, metres, at which parallax stays within a share (0 to 1) of the window's
/// convergence limit.
///
/// # Errors
/// [`Error::OutOfRange`] for a length or a share that makes no sense.
pub fn least_distance_m(ipd_mm: f64, window: &Window, share: f64) -> Result<f64, Error> {
    check_length(IPD, ipd_mm)?;
    Error::check(share > 0.0 && share <= 1.0, "a share of the limit", share, "above 0, up to 1")?;
    let allowed_rad = rad_from_arcmin(share * window.convergence_arcmin());
    let tan = (0.5 * allowed_rad).tan();
    // A limit of half a turn or more is met at any distance.
    Ok(if allowed_rad < core::f64::consts::PI { ipd_mm / 1000.0 / (2.0 * tan) } else { 0.0 })
}
