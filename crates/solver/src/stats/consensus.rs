//! One thing measured by several: their consensus, how well it is known, and each against it.

use crate::error::Error;
use crate::stats::agreement::coverage_factor;
use crate::stats::compare::en_score;
use crate::stats::quantile::chi_squared_above;
use crate::uncertainty::Uncertainty;

/// What several measurements of one thing come to.
#[derive(Clone, Debug, PartialEq)]
pub struct Consensus {
    /// Their weighted mean.
    pub value: f64,
    /// Its standard uncertainty, with degrees of freedom.
    pub u: Uncertainty,
    /// Weighted sum of squares about it.
    pub chi_squared: f64,
    /// How likely so much or more is by chance, where all know their uncertainty.
    pub p_value: f64,
    /// Each against it, in their order.
    pub each: Vec<AgainstConsensus>,
}

/// One measurement against the consensus that it is part of.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AgainstConsensus {
    /// It less the consensus.
    pub difference: f64,
    /// The standard uncertainty of that: less than its own, since it is part of the consensus.
    pub u: f64,
    /// Its share in the consensus, 0 to 1.
    pub share: f64,
    /// The consensus of all others, which the score is against.
    pub others: f64,
    /// How well that is known.
    pub others_u: Uncertainty,
    /// E_n.
    pub en: f64,
}

impl Consensus {
    /// Whether the measurements differ by more than their uncertainties explain: less likely by chance than
    /// `significant`. Then those that are stated to be the best draw the mean to themselves, and every score
    /// is to be read with that.
    #[must_use]
    pub fn scatters(&self, significant: f64) -> bool {
        self.p_value < significant
    }
}

/// The consensus of measurements that are independent of each other: their mean weighted by 1/u², and the
/// E_n of each.
///
/// A measurement and the mean that it is part of are correlated: u²(xᵢ − X) = uᵢ² − u_X². The score is that
/// against the mean of all others, with which it is not: E_n = (xᵢ − X₋ᵢ)/√(Uᵢ² + U₋ᵢ²), U by
/// [`coverage_factor`]. Where all uncertainties are stated both are the same number,
/// (xᵢ − X)/(2 u(xᵢ − X)). Of two measurements it is their [`agreement`](crate::stats::agreement::agreement).
///
/// # Units
/// Those of the values.
///
/// # Errors
/// [`Error::OutOfRange`] for fewer than two, a value or uncertainty that is no number of sensible size, an
/// uncertainty of 0 or less, or degrees of freedom below 0.1.
///
/// # Source
/// Weighted mean, the uncertainty of a difference from it and the test of all together: M. G. Cox, “The
/// evaluation of key comparison data”, Metrologia 39 (2002), procedure A (from memory). E_n: ISO 13528:2022,
/// 9.7, and that a consensus of the participants is not independent of each of them: the same standard, 7.7
/// and 9 (clauses from memory). Degrees of freedom: Welch–Satterthwaite, JCGM 100:2008, G.4.1.
///
/// ```
/// use solver::stats::consensus::consensus;
/// use solver::uncertainty::Uncertainty;
/// let u = |standard| Uncertainty { standard, freedom: f64::INFINITY };
/// // By hand: the mean of the first two is 10, with u = 1/√2; U of the difference is 2√(4 + 1/2) = 3√2.
/// let found = consensus(&[(9.0, u(1.0)), (11.0, u(1.0)), (11.5, u(2.0))])?;
/// assert!((found.each[2].en - 1.5 / (3.0 * 2_f64.sqrt())).abs() < 1e-12);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn consensus(results: &[(f64, Uncertainty)]) -> Result<Consensus, Error> {
    let count = results.len() as f64;
    Error::check(results.len() >= 2, "the number of measurements", count, "two or more")?;
    for (value, u) in results {
        Error::check(
            value.abs() <= 1e100,
            "a measured value",
            *value,
            "a number of sensible size",
        )?;
        let holds = (1e-50..=1e50).contains(&u.standard);
        Error::check(
            holds,
            "a standard uncertainty",
            u.standard,
            "more than 0 and of sensible size",
        )?;
        let holds = u.freedom >= 0.1;
        Error::check(holds, "degrees of freedom", u.freedom, "0.1 or more")?;
    }
    // Weights of the largest are 1, so that none grows beyond all bounds.
    let least = results.iter().map(|(_, u)| u.standard).fold(f64::INFINITY, f64::min);
    let weights: Vec<f64> = results.iter().map(|(_, u)| (least / u.standard).powi(2)).collect();
    let (value, u) = mean(results, &weights, None)?;
    let total: f64 = weights.iter().sum();
    let mut each = Vec::with_capacity(results.len());
    for (index, ((own, own_u), weight)) in results.iter().zip(&weights).enumerate() {
        let (others, others_u) = mean(results, &weights, Some(index))?;
        let expanded = |u: &Uncertainty| Ok::<f64, Error>(coverage_factor(u.freedom)? * u.standard);
        let share = weight / total;
        each.push(AgainstConsensus {
            // (1 − share) of the distance from the others: nothing is lost where one outweighs them all.
            difference: (1.0 - share) * (own - others),
            u: (1.0 - share) * own_u.standard.hypot(others_u.standard),
            share,
            others,
            others_u,
            en: en_score(*own, expanded(own_u)?, others, expanded(&others_u)?)?,
        });
    }
    let terms = results.iter().map(|(own, u)| ((own - value) / u.standard).powi(2));
    let chi_squared: f64 = terms.sum();
    let p_value = chi_squared_above(chi_squared, count - 1.0)?;
    Ok(Consensus { value, u, chi_squared, p_value, each })
}

/// The weighted mean of all but one.
fn mean(
    results: &[(f64, Uncertainty)],
    weights: &[f64],
    without: Option<usize>,
) -> Result<(f64, Uncertainty), Error> {
    let others = || {
        let each = results.iter().zip(weights).enumerate();
        each.filter(move |(index, _)| Some(*index) != without).map(|(_, one)| one)
    };
    let total: f64 = others().map(|(_, weight)| weight).sum();
    let share = |weight: f64| weight / total;
    let value: f64 = others().map(|((value, _), weight)| share(*weight) * value).sum();
    let parts: Vec<(f64, f64)> =
        others().map(|((_, u), weight)| (share(*weight) * u.standard, u.freedom)).collect();
    let u = Uncertainty::combined(&parts);
    let holds = u.is_some() && value.is_finite();
    Error::check(holds, "the weights of the measurements", total, "more than 0")?;
    Ok((value, u.unwrap_or(Uncertainty { standard: 0.0, freedom: f64::INFINITY })))
}
