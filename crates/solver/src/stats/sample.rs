//! Means, variances, covariances, and effective degrees of freedom.

use crate::error::Error;
use crate::stats::quantile::{student, student_above};

/// Numbers larger than this are refused, so that no square overflows.
const LARGEST: f64 = 1e150;

/// Refuses what is not finite, or too large to square.
///
/// # Errors
/// [`Error::OutOfRange`] with the first offender.
pub(crate) fn check_values(what: &'static str, values: &[f64]) -> Result<(), Error> {
    values.iter().try_for_each(|&value| {
        Error::check(value.abs() <= LARGEST, what, value, "a number of sensible size")
    })
}

/// Refuses fewer than `needed`.
///
/// # Errors
/// [`Error::TooFew`].
pub(crate) const fn check_count(
    what: &'static str,
    found: usize,
    needed: usize,
) -> Result<(), Error> {
    if found < needed { Err(Error::TooFew { what, found, needed }) } else { Ok(()) }
}

/// Mean of values already checked; 0 of none.
pub(crate) fn mean_of(values: &[f64]) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let rough = values.iter().sum::<f64>() / values.len() as f64;
    // A second pass takes out what the first rounded.
    rough + values.iter().map(|value| value - rough).sum::<f64>() / values.len() as f64
}

/// Sum of squares about the mean, of values already checked.
pub(crate) fn squares_about_mean(values: &[f64]) -> f64 {
    let mean = mean_of(values);
    values.iter().map(|value| (value - mean).powi(2)).sum()
}

/// Mean and spread of repeated values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Sample {
    /// How many.
    pub count: usize,
    /// Their mean.
    pub mean: f64,
    /// Standard deviation of a single value, with count − 1; `None` of one value.
    pub deviation: Option<f64>,
}

impl Sample {
    /// Of one value or more.
    ///
    /// # Errors
    /// [`Error::TooFew`] of none, [`Error::OutOfRange`] for what is no number.
    pub fn of(values: &[f64]) -> Result<Self, Error> {
        check_count("values", values.len(), 1)?;
        check_values("a value", values)?;
        let count = values.len();
        let deviation =
            (count > 1).then(|| (squares_about_mean(values) / (count - 1) as f64).sqrt());
        Ok(Self { count, mean: mean_of(values), deviation })
    }

    /// Standard uncertainty of the mean.
    #[must_use]
    pub fn u_of_mean(&self) -> Option<f64> {
        self.deviation.map(|deviation| deviation / (self.count as f64).sqrt())
    }

    /// Half width of the interval that holds the mean behind the values with a probability (Student’s t);
    /// `None` of one value.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for no probability.
    ///
    /// # Source
    /// NIST/SEMATECH *e-Handbook of Statistical Methods*, 1.3.5.2.
    pub fn half_width_of_mean(&self, probability: f64) -> Result<Option<f64>, Error> {
        let Some(u) = self.u_of_mean() else { return Ok(None) };
        let t = student(0.5 + 0.5 * probability, (self.count - 1) as f64)?;
        Ok(Some(t * u))
    }

    /// Half width of the interval about the mean that holds one further value with a probability, t s √(1 + 1/n);
    /// `None` of one value.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for no probability.
    ///
    /// # Source
    /// G. J. Hahn, J. Amer. Statist. Assoc. 64 (1969) 878.
    pub fn half_width_of_next(&self, probability: f64) -> Result<Option<f64>, Error> {
        let count = self.count as f64;
        let of_mean = self.half_width_of_mean(probability)?;
        Ok(of_mean.map(|half| half * (count + 1.0).sqrt()))
    }

    /// Probability of a mean at least as far off if the one behind the values were the one expected, by
    /// the two-sided t-test of one sample; `None` of one value, or of values that are all alike.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for an expected mean that is no number.
    ///
    /// # Source
    /// NIST/SEMATECH *e-Handbook of Statistical Methods*, 1.3.5.2.
    pub fn mean_is(&self, expected: f64) -> Result<Option<f64>, Error> {
        check_values("the expected mean", &[expected])?;
        let Some(u) = self.u_of_mean().filter(|u| *u > 0.0) else { return Ok(None) };
        let t = (self.mean - expected).abs() / u;
        Ok(Some((2.0 * student_above(t, (self.count - 1) as f64)?).min(1.0)))
    }
}

/// Sample covariance of values read together, with count − 1.
///
/// # Errors
/// [`Error::TooFew`] for fewer than two pairs (or lists of different length, of which the shorter
/// counts), [`Error::OutOfRange`] for what is no number.
pub fn covariance(a: &[f64], b: &[f64]) -> Result<f64, Error> {
    let pairs = a.len().min(b.len());
    check_count("pairs of values", pairs, 2)?;
    let (a, b) = (&a[..pairs], &b[..pairs]);
    check_values("a value", a)?;
    check_values("a value", b)?;
    let (mean_a, mean_b) = (mean_of(a), mean_of(b));
    let products: f64 = a.iter().zip(b).map(|(x, y)| (x - mean_a) * (y - mean_b)).sum();
    Ok(products / (pairs - 1) as f64)
}

/// Effective degrees of freedom of a combined standard uncertainty, (Σu²)²/Σ(u⁴/ν), from the
/// parts' (u, ν); ν may be infinite. All parts zero or without limit: infinite.
///
/// # Errors
/// [`Error::OutOfRange`] for u below 0 or ν not above 0.
///
/// # Source
/// Welch–Satterthwaite: JCGM 100:2008, G.4.1, equation (G.2b).
///
/// ```
/// // Two equal parts of 10 degrees of freedom have 20.
/// let freedom = solver::stats::sample::welch_satterthwaite(&[(1.0, 10.0), (1.0, 10.0)])?;
/// assert_eq!(freedom, 20.0);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn welch_satterthwaite(parts: &[(f64, f64)]) -> Result<f64, Error> {
    for &(u, freedom) in parts {
        Error::check(u >= 0.0 && u.is_finite(), "a standard uncertainty", u, "0 or more")?;
        Error::check(freedom > 0.0, "degrees of freedom", freedom, "more than 0")?;
    }
    // Shares of the largest keep fourth powers in range.
    let largest = parts.iter().map(|part| part.0).fold(0.0, f64::max);
    if largest <= 0.0 {
        return Ok(f64::INFINITY);
    }
    let (mut sum, mut under) = (0.0, 0.0);
    for &(u, freedom) in parts {
        let square = (u / largest).powi(2);
        sum += square;
        under += square * square / freedom;
    }
    Ok(if under > 0.0 { sum * sum / under } else { f64::INFINITY })
}
