//! A standard uncertainty with its degrees of freedom, and what several of them come to.
//!
//! # Source
//! Coverage by Student's t: JCGM 100:2008, G.3; effective degrees of freedom: G.4.1.

use crate::error::Error;
use crate::stats::quantile::student;
use crate::stats::sample::welch_satterthwaite;

/// The coverage probability of every ± and every ellipse on screen and paper.
pub const COVERAGE: f64 = 0.95;

/// A standard uncertainty and how well it is known itself.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Uncertainty {
    /// One standard deviation, in the unit of the quantity.
    pub standard: f64,
    /// Degrees of freedom; infinite where σ is stated.
    pub freedom: f64,
}

impl Uncertainty {
    /// Of a sum of independent parts, each (standard uncertainty, degrees of freedom), by the
    /// Welch–Satterthwaite formula; `None` when a part is no number or has no freedom.
    #[must_use]
    pub fn combined(parts: &[(f64, f64)]) -> Option<Self> {
        let freedom = welch_satterthwaite(parts).ok()?;
        let standard = parts.iter().map(|part| part.0 * part.0).sum::<f64>().sqrt();
        standard.is_finite().then_some(Self { standard, freedom })
    }

    /// Half the width of the interval that holds the quantity with a probability: Student's t
    /// standard uncertainties, the normal distribution's where σ is stated.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a probability not inside (0, 1).
    ///
    /// ```
    /// use solver::uncertainty::Uncertainty;
    /// // JCGM 100:2008, table G.2: t of 95 % at 10 degrees of freedom is 2.23.
    /// let u = Uncertainty { standard: 1.0, freedom: 10.0 };
    /// assert!((u.half_width(0.95)? - 2.23).abs() < 0.005);
    /// # Ok::<(), solver::Error>(())
    /// ```
    pub fn half_width(&self, probability: f64) -> Result<f64, Error> {
        Ok(self.standard * student(0.5 + 0.5 * probability, self.freedom)?)
    }

    /// [`Uncertainty::half_width`] at [`COVERAGE`].
    #[must_use]
    pub fn half_width_95(&self) -> Option<f64> {
        self.half_width(COVERAGE).ok()
    }
}

/// Effective degrees of freedom of a covariance that is the sum of independent parts, each known
/// up to a scale estimated with some degrees of freedom.
///
/// With A = S_part S⁻¹ the mean of eᵀŜ⁻¹e is 2 + Σ tr(A²)·2/ν to first order, against 2 + 4/ν of one
/// scale with ν degrees: 1/ν = Σ tr(A²)/(2ν_part). In one dimension the same argument gives
/// the Welch–Satterthwaite formula. Infinite where no part has a limit or the sum is singular.
#[must_use]
pub fn effective_freedom(parts: &[([[f64; 2]; 2], f64)]) -> f64 {
    let mut sum = [[0.0; 2]; 2];
    for (part, _) in parts {
        for i in 0..2 {
            for j in 0..2 {
                sum[i][j] += part[i][j];
            }
        }
    }
    let determinant = sum[0][0] * sum[1][1] - sum[0][1] * sum[1][0];
    let inverse = [
        [sum[1][1] / determinant, -sum[0][1] / determinant],
        [-sum[1][0] / determinant, sum[0][0] / determinant],
    ];
    let per_freedom: f64 = parts
        .iter()
        .map(|(part, freedom)| {
            let mut share = [[0.0; 2]; 2];
            for i in 0..2 {
                for j in 0..2 {
                    share[i][j] = part[i][0] * inverse[0][j] + part[i][1] * inverse[1][j];
                }
            }
            let trace = share[0][0] * share[0][0]
                + 2.0 * share[0][1] * share[1][0]
                + share[1][1] * share[1][1];
            trace / (2.0 * freedom)
        })
        .sum();
    if per_freedom > 0.0 { 1.0 / per_freedom } else { f64::INFINITY }
}
