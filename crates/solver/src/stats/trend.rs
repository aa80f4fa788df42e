//! Whether something rises or falls with time: of values by ranks, of shares by their months.

use crate::error::Error;
use crate::stats::quantile::normal_probability;
use crate::stats::sample::{check_count, check_values};

/// A trend, tested.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Trend {
    /// The test's z: above 0 where it rises.
    pub z: f64,
    /// Probability of a z so far from 0, either way, if there were no trend.
    pub p_value: f64,
}

impl Trend {
    fn of(z: f64) -> Result<Self, Error> {
        Ok(Self { z, p_value: (2.0 * normal_probability(-z.abs())?).min(1.0) })
    }

    /// Nothing that could rise or fall.
    const NONE: Self = Self { z: 0.0, p_value: 1.0 };
}

/// Kendall's τ_b of values over times, and the trend test of Mann and Kendall: two-sided, by the normal
/// approximation with the variance corrected for ties in both, without continuity correction. In
/// n ln n steps.
///
/// # Errors
/// [`Error::TooFew`] for fewer than three; [`Error::OutOfRange`] for what is no number.
///
/// # Degenerate input
/// All times or all values equal: τ = 0, p = 1.
///
/// # Accuracy
/// The approximation is rough below ten values.
///
/// # Source
/// H. B. Mann, Econometrica 13 (1945) 245–259; M. G. Kendall, Rank Correlation Methods (4th ed., 1970),
/// ties: its equation 4.4 (from memory).
///
/// ```
/// use solver::stats::trend::mann_kendall;
/// // By hand: of 10 pairs 9 rise and 1 falls, S = 8, variance 5·4·15/18.
/// let (tau, trend) = mann_kendall(&[(1.0, 1.0), (2.0, 2.0), (3.0, 4.0), (4.0, 3.0), (5.0, 5.0)])?;
/// assert!((tau - 0.8).abs() < 1e-12);
/// assert!((trend.z - 8.0 / (300.0_f64 / 18.0).sqrt()).abs() < 1e-12);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn mann_kendall(points: &[(f64, f64)]) -> Result<(f64, Trend), Error> {
    check_count("values over time", points.len(), 3)?;
    let times: Vec<f64> = points.iter().map(|point| point.0).collect();
    let values: Vec<f64> = points.iter().map(|point| point.1).collect();
    check_values("a time", &times)?;
    check_values("a value", &values)?;
    // −0 and 0 are one value, also to the order below.
    let mut order: Vec<(f64, f64)> =
        points.iter().map(|point| (point.0 + 0.0, point.1 + 0.0)).collect();
    order.sort_by(|a, b| a.0.total_cmp(&b.0).then(a.1.total_cmp(&b.1)));
    let both = tied(&order, |a, b| a == b);
    let in_time = tied(&order, |a, b| a.0 == b.0);
    let mut values: Vec<f64> = order.iter().map(|point| point.1).collect();
    let falling = exchanges(&mut values);
    // Sorted by now.
    let of_values: Vec<(f64, f64)> = values.iter().map(|value| (*value, *value)).collect();
    let in_value = tied(&of_values, |a, b| a.0 == b.0);
    let n = order.len() as f64;
    let pairs = 0.5 * n * (n - 1.0);
    let (untied_time, untied_value) = (pairs - in_time.pairs, pairs - in_value.pairs);
    if untied_time <= 0.0 || untied_value <= 0.0 {
        return Ok((0.0, Trend::NONE));
    }
    let s = pairs - in_time.pairs - in_value.pairs + both.pairs - 2.0 * falling;
    let tau = s / untied_time.sqrt() / untied_value.sqrt();
    let ordered = n * (n - 1.0);
    let variance = (ordered * (2.0 * n + 5.0) - in_time.first - in_value.first) / 18.0
        + 2.0 * in_time.pairs * in_value.pairs / ordered
        + in_time.third * in_value.third / (9.0 * ordered * (n - 2.0));
    if variance <= 0.0 {
        return Ok((tau, Trend::NONE));
    }
    Ok((tau, Trend::of(s / variance.sqrt())?))
}

/// Sums over runs of equal neighbours, t of them each.
#[derive(Clone, Copy, Default)]
struct Ties {
    /// Σ t(t − 1)/2.
    pairs: f64,
    /// Σ t(t − 1)(2t + 5).
    first: f64,
    /// Σ t(t − 1)(t − 2).
    third: f64,
}

fn tied(sorted: &[(f64, f64)], alike: fn(&(f64, f64), &(f64, f64)) -> bool) -> Ties {
    let mut found = Ties::default();
    for run in sorted.chunk_by(alike) {
        let t = run.len() as f64;
        let ordered = t * (t - 1.0);
        found.pairs += 0.5 * ordered;
        found.first += ordered * (2.0 * t + 5.0);
        found.third += ordered * (t - 2.0);
    }
    found
}

/// Sorts, and counts the pairs that stood the other way round (W. R. Knight, JASA 61 (1966) 436–439).
fn exchanges(values: &mut [f64]) -> f64 {
    let mut counted = 0.0;
    let mut from = values.to_vec();
    let mut width = 1;
    while width < from.len() {
        let mut merged = Vec::with_capacity(from.len());
        for block in from.chunks(2 * width) {
            let (left, right) = block.split_at(width.min(block.len()));
            let (mut i, mut j) = (0, 0);
            while let (Some(a), Some(b)) = (left.get(i), right.get(j)) {
                if b < a {
                    counted += (left.len() - i) as f64;
                    merged.push(*b);
                    j += 1;
                } else {
                    merged.push(*a);
                    i += 1;
                }
            }
            merged.extend_from_slice(left.get(i..).unwrap_or_default());
            merged.extend_from_slice(right.get(j..).unwrap_or_default());
        }
        from = merged;
        width *= 2;
    }
    values.copy_from_slice(&from);
    counted
}

/// Successes of trials at a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ShareAt {
    /// When, in any unit.
    pub at: f64,
    /// How many succeeded.
    pub successes: usize,
    /// Of how many.
    pub trials: usize,
}

/// The test of Cochran and Armitage whether a share rises or falls in proportion to time; two-sided, by
/// the normal approximation, without continuity correction.
///
/// # Errors
/// [`Error::TooFew`] for fewer than two times; [`Error::OutOfRange`] for a time that is no number, or more
/// successes than trials.
///
/// # Degenerate input
/// All succeed, or none, or all at one time: z = 0, p = 1.
///
/// # Source
/// W. G. Cochran, Biometrics 10 (1954) 417–451; P. Armitage, Biometrics 11 (1955) 375–386.
///
/// ```
/// use solver::stats::trend::{ShareAt, cochran_armitage};
/// // Armitage’s form by hand: all 10 of the first month fail, all 10 of the second pass; z² = N = 20.
/// let months = [(0.0, 0), (1.0, 10)].map(|(at, successes)| ShareAt { at, successes, trials: 10 });
/// assert!((cochran_armitage(&months)?.z - 20.0_f64.sqrt()).abs() < 1e-12);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn cochran_armitage(shares: &[ShareAt]) -> Result<Trend, Error> {
    check_count("times with trials", shares.len(), 2)?;
    let times: Vec<f64> = shares.iter().map(|share| share.at).collect();
    check_values("a time", &times)?;
    for share in shares {
        let (successes, trials) = (share.successes as f64, share.trials as f64);
        Error::check(successes <= trials, "successes", successes, "no more than there are trials")?;
    }
    let trials: f64 = shares.iter().map(|share| share.trials as f64).sum();
    let successes: f64 = shares.iter().map(|share| share.successes as f64).sum();
    if successes <= 0.0 || successes >= trials {
        return Ok(Trend::NONE);
    }
    let share = successes / trials;
    // About their mean, so that large times lose nothing.
    let mean = shares.iter().map(|one| one.trials as f64 * one.at).sum::<f64>() / trials;
    let (mut sum, mut square) = (0.0, 0.0);
    for one in shares {
        let from_mean = one.at - mean;
        sum += from_mean * (one.successes as f64 - one.trials as f64 * share);
        square += one.trials as f64 * from_mean * from_mean;
    }
    let variance = share * (1.0 - share) * square;
    if variance <= 0.0 || !variance.is_finite() || !sum.is_finite() {
        return Ok(Trend::NONE);
    }
    Trend::of(sum / variance.sqrt())
}
