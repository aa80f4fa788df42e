//! Two measurements of one thing that has an x and a y: how far apart, how well that is known, and
//! whether they agree.

use crate::error::Error;
use crate::stats::compare::en_score;
use crate::stats::quantile::{normal_probability, student};
use crate::uncertainty::Uncertainty;

/// Standard uncertainties to an expanded one where they are well known: k of ISO 13528 and of JCGM
/// 100:2008, G.6.6.
pub const COVERAGE_FACTOR: f64 = 2.0;

/// x and y as one measurement gives them.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Measurement {
    /// The values.
    pub value: [f64; 2],
    /// Their standard covariance.
    pub covariance: [[f64; 2]; 2],
    /// Degrees of freedom of the variance behind it; infinite where it is stated.
    pub freedom: f64,
}

/// How two measurements lie to each other.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Agreement {
    /// Second less first.
    pub difference: [f64; 2],
    /// Its standard covariance: the sum of both, since they are independent.
    pub covariance: [[f64; 2]; 2],
    /// Standard uncertainty of each part of the difference, with degrees of freedom.
    pub u: [Uncertainty; 2],
    /// E_n of each part; `None` where neither measurement has any uncertainty.
    pub en: [Option<f64>; 2],
}

impl Agreement {
    /// Whether |E_n| ≤ 1 in both parts; `None` where a part has no score.
    #[must_use]
    pub fn agrees(&self) -> Option<bool> {
        let [x, y] = self.en;
        Some(x?.abs() <= 1.0 && y?.abs() <= 1.0)
    }

    /// The larger |E_n|; `None` where a part has no score.
    #[must_use]
    pub fn worst_en(&self) -> Option<f64> {
        let [x, y] = self.en;
        Some(x?.abs().max(y?.abs()))
    }
}

/// k with U = k·u: [`COVERAGE_FACTOR`] where u is stated, Student's t of the same coverage (95.45 %)
/// where it is estimated with few degrees of freedom.
///
/// # Errors
/// [`Error::OutOfRange`] for degrees of freedom below 0.1.
///
/// # Source
/// JCGM 100:2008, G.6.4 and table G.2, column of 95.45 % (from memory).
///
/// ```
/// use solver::stats::agreement::coverage_factor;
/// assert!((coverage_factor(f64::INFINITY)? - 2.0).abs() < 1e-12);
/// // Table G.2: 2.28 at 10 degrees of freedom.
/// assert!((coverage_factor(10.0)? - 2.28).abs() < 0.005);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn coverage_factor(freedom: f64) -> Result<f64, Error> {
    student(normal_probability(COVERAGE_FACTOR)?, freedom)
}

/// Compares two independent measurements of one thing: E_n = (x₂ − x₁)/√(U₁² + U₂²) of each part, U the
/// expanded uncertainty by [`coverage_factor`].
///
/// What both have in common (the same station's reference) must not be in their covariances: it
/// cancels in the difference.
///
/// # Errors
/// [`Error::OutOfRange`] for what is no number, a variance below 0, or degrees of freedom below 0.1.
///
/// # Source
/// ISO 13528:2022, 9.7 (from memory). Degrees of freedom of the difference: Welch–Satterthwaite, JCGM
/// 100:2008, G.4.1.
///
/// ```
/// use solver::stats::agreement::{Measurement, agreement};
/// let read = |x: f64, u: f64| Measurement {
///     value: [x, 0.0],
///     covariance: [[u * u, 0.0], [0.0, u * u]],
///     freedom: f64::INFINITY,
/// };
/// // By hand: U₁ = 0.6, U₂ = 0.8, √(0.36 + 0.64) = 1, so E_n = 0.5.
/// let found = agreement(&read(10.0, 0.3), &read(10.5, 0.4))?;
/// assert!((found.en[0].unwrap_or(f64::NAN) - 0.5).abs() < 1e-12);
/// assert_eq!(found.agrees(), Some(true));
/// # Ok::<(), solver::Error>(())
/// ```
pub fn agreement(first: &Measurement, second: &Measurement) -> Result<Agreement, Error> {
    let part = |k: usize| -> Result<(Uncertainty, Option<f64>), Error> {
        let [u_first, u_second] = [checked_u(first, k)?, checked_u(second, k)?];
        let expanded = [
            u_first * coverage_factor(first.freedom)?,
            u_second * coverage_factor(second.freedom)?,
        ];
        let known = expanded[0].hypot(expanded[1]) > 0.0;
        let score = || en_score(second.value[k], expanded[1], first.value[k], expanded[0]);
        let parts = [(u_first, first.freedom), (u_second, second.freedom)];
        let none = Uncertainty { standard: 0.0, freedom: f64::INFINITY };
        Ok((
            Uncertainty::combined(&parts).unwrap_or(none),
            if known { Some(score()?) } else { None },
        ))
    };
    let [(u_x, en_x), (u_y, en_y)] = [part(0)?, part(1)?];
    let sum = |i: usize, j: usize| first.covariance[i][j] + second.covariance[i][j];
    Ok(Agreement {
        difference: [second.value[0] - first.value[0], second.value[1] - first.value[1]],
        covariance: [[sum(0, 0), sum(0, 1)], [sum(1, 0), sum(1, 1)]],
        u: [u_x, u_y],
        en: [en_x, en_y],
    })
}

fn checked_u(measurement: &Measurement, k: usize) -> Result<f64, Error> {
    let (value, variance) = (measurement.value[k], measurement.covariance[k][k]);
    Error::check(value.abs() <= 1e150, "a measured value", value, "a number of sensible size")?;
    let holds = (0.0..=1e300).contains(&variance);
    Error::check(holds, "a variance", variance, "0 or more")?;
    Ok(variance.sqrt())
}
