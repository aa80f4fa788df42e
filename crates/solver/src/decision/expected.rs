//! How likely a setting is inside before it was measured: the same masses as of confirm readings, about what
//! the circles say that it will give.

use super::{Chances, masses};
use crate::direction::Direction;
use crate::error::Error;
use crate::pointing::SettingUncertainty;
use crate::stats::quadrature::integrate;
use crate::stats::quantile::chi_squared;
use crate::stats::scaled_chi_density;
use crate::tolerance::Window;

/// P_m + P_b − 1, at least 0, of a setting whose shared direction is `shared`: a lower bound of the chance that
/// it is inside. To first order in what the fits leave open; where their spread is estimated, as Student's t.
///
/// # Errors
/// [`Error::NotACovariance`] where what is known of the setting is none, [`Error::OutOfRange`] for degrees of
/// freedom that are none.
///
/// # Source
/// JCGM 106:2012, 7; Student's t as a normal of scaled variance: JCGM 101:2008, 6.4.9.
pub fn expected_inside(
    window: &Window,
    known: &SettingUncertainty,
    shared: Direction,
) -> Result<f64, Error> {
    let at_scale = |scale: f64| -> Result<Chances, Error> {
        let scaled = |of: [[f64; 2]; 2]| of.map(|row| row.map(|entry| scale * entry));
        let (u_m, u_b) = (scaled(known.misalignment_arcmin2), scaled(known.shared_arcmin2));
        masses(window, known.misalignment, shared, u_m, u_b)
    };
    let bound = |chances: Chances| (chances.in_box + chances.in_boresight - 1.0).max(0.0);
    if known.freedom.is_infinite() {
        return at_scale(1.0).map(bound);
    }
    let freedom = known.freedom;
    let (low, high) = (chi_squared(1e-9, freedom)?, chi_squared(1.0 - 1e-9, freedom)?);
    at_scale(1.0)?;
    let over = |pick: fn(&Chances) -> f64| {
        let weighted = |log_value: f64| {
            let value = log_value.exp();
            let mass = at_scale(freedom / value).map_or(0.0, |chances| pick(&chances));
            mass * scaled_chi_density(value, freedom)
        };
        integrate(weighted, low.ln(), high.ln(), 8, 1e-6).value.clamp(0.0, 1.0)
    };
    let in_box = over(|chances| chances.in_box);
    let in_boresight = match window.boresight_arcmin() {
        Some(_) => over(|chances| chances.in_boresight),
        None => 1.0,
    };
    Ok(bound(Chances { in_box, in_boresight }))
}
