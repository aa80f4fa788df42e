//! The sense of the ring and one misread reading, considered together.
//!
//! Of few readings one that is misread (a forgotten sign, say) can turn the sense: all of them fit
//! *against the ring* a little less badly than *with* it, though neither fits. Then the reading stands
//! out from nothing, and a wrong flip is looked for in the station. So where *against* was found, two
//! accounts are weighed: all readings against the ring, and all but one with it. The second is taken where
//! the first cannot be right and the second is: with σ stated, *against* is beyond it (χ², p < 0.01),
//! also without its own worst reading, and *with* less its worst is not; with σ unknown, two parameters
//! for the reading left out lower the sum of squares by more than chance does (F, p < 0.05 shared out over the
//! readings), and *against* gains nothing like it from leaving one out. The readings are all kept; the sense
//! is *with*, said not to be settled ([`SenseBasis::Doubted`]), and the reading is pointed at by
//! [`mod@crate::diagnostic`].

use crate::circle::Sense;
use crate::diagnostic::least_without_one;
use crate::fit::reading::Reading;
use crate::fit::result::{CircleFit, SenseBasis};
use crate::stats::quantile::{chi_squared_above, f_above};

/// Stated σ and residuals disagree below this.
const DISAGREE: f64 = 0.01;
/// One of the readings lowers the sum of squares by more than chance does below this, shared out over them.
const STANDS_OUT: f64 = 0.05;
/// Fewer spare degrees of freedom without the reading tell nothing.
const SPARE: usize = 2;

/// Replaces the fit that was found by the one with the ring, where one misread reading explains more.
pub(super) fn reconsider(
    found: &mut CircleFit,
    readings: &[Reading],
    with_ring: impl FnOnce() -> Option<CircleFit>,
) {
    let against = found.circle.phase.is_some_and(|phase| phase.sense == Sense::Against);
    if !against || !matches!(found.sense_basis, Some(SenseBasis::Found { .. })) {
        return;
    }
    if let Some(with) = with_ring()
        && explains_more(&with, found, readings)
    {
        *found = CircleFit { sense_basis: Some(SenseBasis::Doubted), ..with };
    }
}

fn explains_more(with: &CircleFit, against: &CircleFit, readings: &[Reading]) -> bool {
    let Some((rest, spare)) = least_without_one(with, readings) else { return false };
    if spare < SPARE {
        return false;
    }
    let others = least_without_one(against, readings);
    let all = against.weighted_squares_arcmin2;
    let parts = against.degrees_of_freedom.saturating_sub(spare) as f64;
    let freedom = spare as f64;
    if let Some(sigma) = against.sigma_arcmin {
        let fits = |squares: f64, freedom: f64| {
            chi_squared_above(squares / (sigma * sigma), freedom).is_ok_and(|p| p >= DISAGREE)
        };
        let against_fits = fits(all, against.degrees_of_freedom as f64)
            || others.is_some_and(|(rest, spare)| fits(rest, spare as f64));
        return fits(rest, freedom) && !against_fits;
    }
    let least = (rest / freedom).max(with.rounding_arcmin2());
    let ratio = (all - rest) / parts / least;
    let by_chance = STANDS_OUT / readings.len().max(1) as f64;
    let gains = f_above(ratio, parts, freedom).is_ok_and(|p| p < by_chance);
    let alone = others.is_none_or(|(others, spare)| {
        f_above(others / spare.max(1) as f64 / least, spare as f64, freedom)
            .is_ok_and(|p| p < STANDS_OUT)
    });
    gains && alone
}
