//! The check standard's chart: the same thing read each day, watched for a jump or a drift.
//!
//! # Source
//! NIST/SEMATECH *e-Handbook of Statistical Methods*, 2.2 (check standards), 6.3.2.2 (individuals),
//! 6.3.2.4 (EWMA).

use core::f64::consts::PI;

use crate::error::Error;
use crate::stats::quantile::{f as f_quantile, normal_probability, student};
use crate::stats::sample::{Sample, check_count, check_values};

/// Limits of a chart: a centre and two edges.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ControlLimits {
    /// Lower edge.
    pub low: f64,
    /// Centre.
    pub centre: f64,
    /// Upper edge.
    pub high: f64,
}

impl ControlLimits {
    /// Whether a value is inside; NaN is not.
    #[must_use]
    pub fn hold(&self, value: f64) -> bool {
        value >= self.low && value <= self.high
    }
}

/// A chart made from a baseline of past values.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ControlChart {
    /// Mean and standard deviation of the baseline.
    pub baseline: Sample,
    /// Mean difference of one value from the next.
    pub moving_range: f64,
}

impl ControlChart {
    /// From the baseline, in the order measured.
    ///
    /// # Errors
    /// [`Error::TooFew`] for fewer than two values, [`Error::OutOfRange`] for what is no number.
    pub fn from_baseline(values: &[f64]) -> Result<Self, Error> {
        check_count("check values", values.len(), 2)?;
        let baseline = Sample::of(values)?;
        let ranges: f64 = values.windows(2).map(|pair| (pair[1] - pair[0]).abs()).sum();
        Ok(Self { baseline, moving_range: ranges / (values.len() - 1) as f64 })
    }

    /// Limits for individual values, `factor` (3 is usual) standard deviations from the mean, the
    /// standard deviation from the moving range: mean range × √π/2, its ratio for two normal values.
    #[must_use]
    pub fn individuals(&self, factor: f64) -> ControlLimits {
        let reach = factor * self.moving_range * PI.sqrt() / 2.0;
        ControlLimits {
            low: self.baseline.mean - reach,
            centre: self.baseline.mean,
            high: self.baseline.mean + reach,
        }
    }

    /// Limits for individual values from the baseline's own standard deviation.
    #[must_use]
    pub fn individuals_from_deviation(&self, factor: f64) -> ControlLimits {
        let reach = factor * self.baseline.deviation.unwrap_or(0.0);
        ControlLimits {
            low: self.baseline.mean - reach,
            centre: self.baseline.mean,
            high: self.baseline.mean + reach,
        }
    }

    /// Limits in which the next value of a sound bench lies with the probability that a normal value has
    /// of lying within `factor` standard deviations: wider than limits that take mean and standard
    /// deviation of the baseline for exact, Student's t · s · √(1 + 1/n). Degrees of freedom: n − 1 of the
    /// standard deviation; of the moving range 1/(2 v) with v = (0.8264 n − 1.082)/(n − 1)², the relative
    /// variance of its mean.
    ///
    /// # Errors
    /// [`Error::OutOfRange`] for a factor below 0.
    ///
    /// # Source
    /// G. J. Hahn, J. Amer. Statist. Assoc. 64 (1969) 878 (prediction of one further value); J. D. Cryer, T. P.
    /// Ryan, J. Qual. Technol. 22 (1990) 187 (variance of the mean moving range). From memory.
    pub fn next_value(&self, factor: f64, by_moving_range: bool) -> Result<ControlLimits, Error> {
        let count = self.baseline.count as f64;
        let (sigma, freedom) = if by_moving_range {
            let variance = (0.8264 * count - 1.082) / (count - 1.0).powi(2);
            (self.moving_range * PI.sqrt() / 2.0, 0.5 / variance)
        } else {
            (self.baseline.deviation.unwrap_or(0.0), count - 1.0)
        };
        let holds = factor >= 0.0 && factor.is_finite();
        Error::check(holds, "a factor", factor, "0 or more")?;
        // Past eight standard deviations nothing is left outside that a double could tell.
        let t = student(normal_probability(factor.min(8.0))?, freedom.max(1.0))?;
        let reach = (t * (1.0 + 1.0 / count).sqrt()).max(factor) * sigma;
        let centre = self.baseline.mean;
        Ok(ControlLimits { low: centre - reach, centre, high: centre + reach })
    }

    /// Limits for the moving range: its mean × (1 ± factor·√(π/2 − 1)), not below 0. (3.267 × the
    /// mean at three standard deviations.)
    #[must_use]
    pub fn moving_ranges(&self, factor: f64) -> ControlLimits {
        let reach = factor * (PI / 2.0 - 1.0).sqrt();
        ControlLimits {
            low: (self.moving_range * (1.0 - reach)).max(0.0),
            centre: self.moving_range,
            high: self.moving_range * (1.0 + reach),
        }
    }
}

/// An exponentially weighted moving average with its limits.
#[derive(Clone, Debug, PartialEq)]
pub struct Ewma {
    /// The average after each value; the first is the target, before any.
    pub averages: Vec<f64>,
    /// Limits, far from the start.
    pub limits: ControlLimits,
}

/// The exponentially weighted moving average of values: z = λ·value + (1 − λ)·z, from the target on;
/// limits at `factor` (3 is usual) × σ √(λ/(2 − λ)).
///
/// # Errors
/// [`Error::OutOfRange`] for λ not in (0, 1], a σ or factor below 0, or what is no number.
pub fn ewma(
    values: &[f64],
    weight: f64,
    target: f64,
    sigma: f64,
    factor: f64,
) -> Result<Ewma, Error> {
    let holds = weight > 0.0 && weight <= 1.0;
    Error::check(holds, "the weight of the newest value", weight, "above 0, up to 1")?;
    for (what, value) in [("a standard deviation", sigma), ("a factor", factor)] {
        Error::check(value >= 0.0 && value.is_finite(), what, value, "0 or more")?;
    }
    check_values("the target", &[target])?;
    check_values("a check value", values)?;
    let mut averages = Vec::with_capacity(values.len() + 1);
    let mut average = target;
    averages.push(average);
    for value in values {
        average = weight * value + (1.0 - weight) * average;
        averages.push(average);
    }
    let reach = factor * sigma * (weight / (2.0 - weight)).sqrt();
    let limits = ControlLimits { low: target - reach, centre: target, high: target + reach };
    Ok(Ewma { averages, limits })
}

/// Pooled standard deviation of several days, each of `freedom` degrees, and the limit a day's own
/// stays below with a probability: s √F.
///
/// # Errors
/// [`Error::TooFew`] without days or freedom, [`Error::OutOfRange`] for what is no number or no
/// probability.
pub fn precision(
    deviations: &[f64],
    freedom: usize,
    probability: f64,
) -> Result<(f64, f64), Error> {
    check_count("days", deviations.len(), 1)?;
    check_count("degrees of freedom of a day", freedom, 1)?;
    check_values("a day's standard deviation", deviations)?;
    let squares: f64 = deviations.iter().map(|s| s * s).sum();
    let pooled = (squares / deviations.len() as f64).sqrt();
    let over = freedom as f64;
    let ratio = f_quantile(probability, over, over * deviations.len() as f64)?;
    Ok((pooled, pooled * ratio.sqrt()))
}
