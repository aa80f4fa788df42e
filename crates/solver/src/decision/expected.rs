//! How likely a setting is inside before it was measured: the same masses as of confirm readings, about what
//! the circles say that it will give.

use super::{Chances, Covariance, mass_in_box, mass_in_disc, masses};
use crate::direction::Direction;
use crate::error::Error;
use crate::pointing::SettingUncertainty;
use crate::stats::any_scale::over_scales;
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
    let at_scale = |of: Covariance, scale: f64| of.map(|row| row.map(|entry| scale * entry));
    let (m, u_m) = (known.misalignment, known.misalignment_arcmin2);
    let u_b = known.shared_arcmin2;
    let now = masses(window, m, shared, u_m, u_b)?;
    let bound = |chances: Chances| (chances.in_box + chances.in_boresight - 1.0).max(0.0);
    if known.freedom.is_infinite() {
        return Ok(bound(now));
    }
    let freedom = known.freedom;
    Error::check(freedom >= 0.1, "degrees of freedom", freedom, "0.1 or more")?;
    let in_box = over_scales(freedom, |scale| {
        mass_in_box(window, m, at_scale(u_m, scale)).unwrap_or_default()
    });
    let in_boresight = match window.boresight_arcmin() {
        Some(_) => over_scales(freedom, |scale| {
            mass_in_disc(window, shared, at_scale(u_b, scale)).unwrap_or_default()
        }),
        None => 1.0,
    };
    Ok(bound(Chances { in_box, in_boresight }))
}
