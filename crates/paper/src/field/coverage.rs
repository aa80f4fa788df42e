//! From standard uncertainty to 95 % coverage. On screen and paper ± is 95 %.

use solver::CircleFit;
use solver::fit::SigmaBasis;
use solver::stats::quantile;

/// The share of the time that a stated interval holds.
pub const COVERAGE: f64 = 0.95;

/// The factor for one number of a fit: the normal 1.96 where σ is stated, Student's t where it was
/// estimated from the residuals (JCGM 100:2008, G.3); `None` where neither is known.
#[must_use]
pub fn factor(fit: &CircleFit) -> Option<f64> {
    let upper = 0.5 + COVERAGE / 2.0;
    match fit.sigma_basis {
        SigmaBasis::Stated => quantile::normal(upper).ok(),
        SigmaBasis::Residuals => quantile::student(upper, fit.degrees_of_freedom as f64).ok(),
        SigmaBasis::Unknown => None,
    }
}
