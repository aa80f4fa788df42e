//! Quantities read together, and quantities worked out from them, correlations kept.
//!
//! # Source
//! JCGM 100:2008, 5.2 and H.2.

use nalgebra::{DMatrix, DVector};

use crate::error::Error;
use crate::stats::sample::{check_count, check_values, covariance, mean_of};

/// Estimates of several quantities and their covariance.
#[derive(Clone, Debug, PartialEq)]
pub struct Estimates {
    /// The estimates.
    pub values: DVector<f64>,
    /// Their covariance.
    pub covariance: DMatrix<f64>,
}

impl Estimates {
    /// Means of quantities read together (one list each, all of the same length), with the
    /// covariance of the means.
    ///
    /// # Errors
    /// [`Error::TooFew`] without quantities, with fewer than two readings, or where a list is
    /// shorter than the first; [`Error::OutOfRange`] for what is no number.
    pub fn means_of(readings: &[&[f64]]) -> Result<Self, Error> {
        check_count("quantities", readings.len(), 1)?;
        let count = readings.first().map_or(0, |first| first.len());
        check_count("readings", count, 2)?;
        for list in readings {
            check_count("readings in a list", list.len(), count)?;
            check_values("a reading", list)?;
        }
        let size = readings.len();
        let mut covariance_of_means = DMatrix::zeros(size, size);
        for (i, a) in readings.iter().enumerate() {
            for (j, b) in readings.iter().enumerate() {
                covariance_of_means[(i, j)] = covariance(a, b)? / count as f64;
            }
        }
        let means = readings.iter().map(|list| mean_of(&list[..count]));
        Ok(Self { values: DVector::from_iterator(size, means), covariance: covariance_of_means })
    }

    /// Standard uncertainty of one of them; 0 for an index that is none.
    #[must_use]
    pub fn u(&self, index: usize) -> f64 {
        self.covariance.get((index, index)).map_or(0.0, |variance| variance.max(0.0).sqrt())
    }

    /// Correlation of two of them; 0 where either has no uncertainty.
    #[must_use]
    pub fn correlation(&self, i: usize, j: usize) -> f64 {
        let size = self.u(i) * self.u(j);
        match self.covariance.get((i, j)) {
            Some(covariance) if size > 0.0 => (covariance / size).clamp(-1.0, 1.0),
            _ => 0.0,
        }
    }

    /// What is worked out from these: its values, and the sensitivity of each value (row) to each
    /// of these (column). Covariance C U Cᵀ.
    ///
    /// # Errors
    /// [`Error::TooFew`] where the sensitivities do not fit.
    pub fn propagated(
        &self,
        values: DVector<f64>,
        sensitivities: &DMatrix<f64>,
    ) -> Result<Self, Error> {
        check_count("rows of sensitivities", sensitivities.nrows(), values.len())?;
        check_count("columns of sensitivities", sensitivities.ncols(), self.values.len())?;
        check_count("values", values.len(), sensitivities.nrows())?;
        check_count("quantities", self.values.len(), sensitivities.ncols())?;
        Ok(Self {
            values,
            covariance: sensitivities * &self.covariance * sensitivities.transpose(),
        })
    }
}
