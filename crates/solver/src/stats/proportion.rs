//! A share of successes among trials, and how well it is known.

use crate::error::Error;
use crate::stats::quantile::normal;

/// A share with its interval.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Proportion {
    /// Successes.
    pub successes: usize,
    /// Trials, at least one.
    pub trials: usize,
    /// Lower end of the interval, in [0, 1].
    pub low: f64,
    /// Upper end, in [0, 1].
    pub high: f64,
}

impl Proportion {
    /// Successes over trials.
    #[must_use]
    pub fn share(&self) -> f64 {
        self.successes as f64 / self.trials as f64
    }
}

/// The interval of Wilson's score for a share: all shares that these successes do not contradict.
///
/// It never leaves [0, 1] and says something even where every trial succeeded or none did, where
/// the textbook p ± z√(p(1 − p)/n) has no width.
///
/// # Errors
/// [`Error::TooFew`] of no trials; [`Error::OutOfRange`] for more successes than trials, or for a
/// confidence not inside (0, 1).
///
/// # Source
/// E. B. Wilson, Journal of the American Statistical Association 22 (1927) 209–212. Digits checked
/// against R. G. Newcombe, Statistics in Medicine 17 (1998) 857–872, table I.
///
/// ```
/// let all_passed = solver::stats::proportion::wilson(9, 9, 0.95)?;
/// assert_eq!(all_passed.high, 1.0);
/// assert!((all_passed.low - 0.70).abs() < 0.01);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn wilson(successes: usize, trials: usize, confidence: f64) -> Result<Proportion, Error> {
    if trials == 0 {
        return Err(Error::TooFew { what: "trials", found: 0, needed: 1 });
    }
    let holds = successes <= trials;
    Error::check(holds, "successes", successes as f64, "no more than the trials")?;
    Error::check_probability("a confidence", confidence)?;
    let z = normal(0.5 + 0.5 * confidence)?;
    let (count, share) = (trials as f64, successes as f64 / trials as f64);
    let (z2, both) = (z * z, 1.0 + z * z / count);
    let middle = (share + z2 / (2.0 * count)) / both;
    let half = z * (share * (1.0 - share) / count + z2 / (4.0 * count * count)).sqrt() / both;
    // At the ends the formula gives 0 and 1 but for rounding.
    let low = if successes == 0 { 0.0 } else { (middle - half).max(0.0) };
    let high = if successes == trials { 1.0 } else { (middle + half).min(1.0) };
    Ok(Proportion { successes, trials, low, high })
}
