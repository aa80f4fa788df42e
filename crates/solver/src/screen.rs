//! Which of many readings may stand out: the others are passed over without working out how likely each is by
//! chance.
//!
//! With e a reading's weighted residuals, J its rows of the design, U the covariance at σ = 1 and H = JUJᵀ,
//! leaving it out lowers the sum of squares S by Q = eᵀ(I − H)⁻¹e ≤ |e|²/(1 − h), h = |J|²‖U‖ (Frobenius). It
//! stands out at a level p only where Q > σ²χ²(p) where σ is stated, else Q/m > F(p)(S − Q)/(ν − m). What stays
//! below half of that is passed over: the half is far more than rounding.

use crate::fit::design::Design;
use crate::fit::{CircleFit, Reading};
use crate::stats::quantile::{chi_squared, f};

/// So few readings are all looked at.
const FEW: usize = 200;

/// What a reading must reach to be looked at.
#[derive(Clone, Copy, Debug)]
struct Screen {
    /// ‖U‖.
    covariance: f64,
    /// Half the least Q that stands out, arcmin², of a reading without and with a ring angle.
    least_arcmin2: [f64; 2],
}

/// The places of the readings of a fit that may stand out at a level, in order; all of them where they are few.
pub(crate) fn suspects(fit: &CircleFit, readings: &[Reading], level: f64) -> Vec<usize> {
    let all = 0..readings.len();
    if readings.len() <= FEW {
        return all.collect();
    }
    let screen = Screen {
        covariance: fit.unit_covariance.norm(),
        least_arcmin2: [1, 2].map(|parts| 0.5 * least_arcmin2(fit, parts, level).unwrap_or(0.0)),
    };
    let is_suspect = |reading: &Reading| screen.is_suspect(&fit.design_of(reading));
    all.filter(|&at| readings.get(at).is_some_and(is_suspect)).collect()
}

impl Screen {
    fn is_suspect(&self, design: &Design) -> bool {
        let square = |row: &[f64]| row.iter().map(|entry| entry * entry).sum::<f64>();
        let squares = square(&design.residual);
        let leverage = self.covariance * (square(&design.rows[0]) + square(&design.rows[1]));
        let [without_ring, with_ring] = self.least_arcmin2;
        let least = if design.parts == 1 { without_ring } else { with_ring };
        let within = (1.0 - leverage) * least;
        // What is not a number is looked at too.
        squares >= within || squares.is_nan() || within.is_nan()
    }
}

/// The least Q that stands out; `None` where that cannot be told.
fn least_arcmin2(fit: &CircleFit, parts: usize, level: f64) -> Option<f64> {
    let spare = fit.degrees_of_freedom.checked_sub(parts).filter(|spare| *spare > 0)?;
    let (m, spare) = (parts as f64, spare as f64);
    if let Some(sigma) = fit.sigma_arcmin {
        return Some(sigma * sigma * chi_squared(1.0 - level, m).ok()?);
    }
    let share = f(1.0 - level, m, spare).ok()? * m / spare;
    Some(fit.weighted_squares_arcmin2 * share / (1.0 + share))
}
