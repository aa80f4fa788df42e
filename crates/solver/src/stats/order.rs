//! Values in order: quantiles of a sample.

use crate::error::Error;
use crate::stats::sample::{check_count, check_values};

/// The value below which a share of some values lies, between the two nearest in proportion
/// (definition 7 of Hyndman and Fan: the smallest is the quantile of 0, the largest that of 1).
///
/// # Errors
/// [`Error::TooFew`] of none, [`Error::OutOfRange`] for what is no number or a share not from 0 to 1.
///
/// # Source
/// R. J. Hyndman, Y. Fan, The American Statistician 50 (1996) 361–365.
///
/// ```
/// let quarter = solver::stats::order::quantile(&[4.0, 1.0, 3.0, 2.0], 0.25)?;
/// assert_eq!(quarter, 1.75);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn quantile(values: &[f64], share: f64) -> Result<f64, Error> {
    check_count("values", values.len(), 1)?;
    check_values("a value", values)?;
    Error::check((0.0..=1.0).contains(&share), "a share", share, "from 0 to 1")?;
    let mut sorted = values.to_vec();
    sorted.sort_unstable_by(f64::total_cmp);
    let last = sorted.len() - 1;
    let place = share * last as f64;
    let below = (place.floor() as usize).min(last);
    let above = (below + 1).min(last);
    let part = place - below as f64;
    Ok(sorted[below] + part * (sorted[above] - sorted[below]))
}
