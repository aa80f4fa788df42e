//! Centre and spread that a few wild values do not move: median and median absolute deviation.

use crate::error::Error;
use crate::stats::sample::{check_count, check_values};

/// Makes a median absolute deviation the standard deviation of a normal population: 1/Φ⁻¹(3/4).
const NORMAL: f64 = 1.482_602_218_505_602;

/// The middle of some values, and how far they scatter about it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Middle {
    /// How many values.
    pub count: usize,
    /// Their median; of an even count, the mean of the two in the middle.
    pub median: f64,
    /// The median distance from it, × 1.4826: an estimate of the standard deviation of a normal
    /// population.
    pub spread: f64,
}

/// Median and scaled median absolute deviation.
///
/// # Errors
/// [`Error::TooFew`] of none, [`Error::OutOfRange`] for what is no number.
///
/// # Degenerate input
/// More than half of the values equal: the spread is 0.
///
/// # Source
/// C. Leys, C. Ley, O. Klein, P. Bernard, L. Licata, Journal of Experimental Social Psychology 49
/// (2013) 764–766.
///
/// ```
/// let middle = solver::stats::robust::middle(&[1.0, 2.0, 100.0])?;
/// assert_eq!((middle.median, middle.count), (2.0, 3));
/// # Ok::<(), solver::Error>(())
/// ```
pub fn middle(values: &[f64]) -> Result<Middle, Error> {
    check_count("values", values.len(), 1)?;
    check_values("a value", values)?;
    let median = median_of(values.to_vec());
    let distances = values.iter().map(|value| (value - median).abs()).collect();
    Ok(Middle { count: values.len(), median, spread: NORMAL * median_of(distances) })
}

/// Of at least one value, none of them NaN.
fn median_of(mut values: Vec<f64>) -> f64 {
    values.sort_unstable_by(f64::total_cmp);
    let upper = values.len() / 2;
    let at = |index: usize| values.get(index).copied().unwrap_or(0.0);
    if values.len() % 2 == 1 { at(upper) } else { at(upper.saturating_sub(1)).midpoint(at(upper)) }
}
