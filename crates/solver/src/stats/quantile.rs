//! Probabilities and quantiles of the normal, Student's t, χ² and F distributions.
//!
//! # Units
//! Probabilities from 0 to 1; degrees of freedom need not be whole (Welch–Satterthwaite's are not)
//! and may be infinite where a limit exists.
//!
//! # Errors
//! [`Error::OutOfRange`] for a probability not inside (0, 1), degrees of freedom below 0.1, or an
//! argument that is no number. Nothing panics.
//!
//! # Accuracy
//! A relative 1e-12 of the smaller tail for degrees of freedom from 0.1 to 10⁴ and tails above
//! 10⁻³⁰⁰; beyond, t and F lose digits in proportion: 1e-10 at 10⁶. Degrees of freedom beyond 10⁹
//! count as 10⁹ (t: as infinite), which is 10⁻⁹ away. A quantile beyond 10³⁰⁴ comes back as that.

use crate::error::Error;
use crate::stats::special::{
    beta_front, beta_tails, gamma_tails, normal_below, normal_quantile, poisson,
};

const MOST_FREEDOM: f64 = 1e9;

fn check_probability(p: f64) -> Result<(), Error> {
    Error::check_probability("a probability", p)
}

fn check_freedom(value: f64) -> Result<f64, Error> {
    Error::check(value >= 0.1, "degrees of freedom", value, "0.1 or more")?;
    Ok(value.min(MOST_FREEDOM))
}

/// Φ(z): the mass of the standard normal distribution below z; 0 and 1 at the infinities.
///
/// # Errors
/// [`Error::OutOfRange`] for NaN.
pub fn normal_probability(z: f64) -> Result<f64, Error> {
    Error::check(!z.is_nan(), "a standardised value", z, "a number")?;
    Ok(normal_below(z))
}

/// z with Φ(z) = p.
///
/// # Errors
/// See [the module](self).
///
/// ```
/// // JCGM 106:2012, table 1: 95 % one-sided is 1.64 standard uncertainties.
/// let z = solver::stats::quantile::normal(0.95)?;
/// assert!((z - 1.644_853_626_951_473).abs() < 1e-14);
/// # Ok::<(), solver::Error>(())
/// ```
pub fn normal(p: f64) -> Result<f64, Error> {
    check_probability(p)?;
    Ok(normal_quantile(p))
}

/// Mass of Student's t distribution above t.
///
/// # Errors
/// See [the module](self).
pub fn student_above(t: f64, freedom: f64) -> Result<f64, Error> {
    Error::check(!t.is_nan(), "Student's t", t, "a number")?;
    check_freedom(freedom)?;
    Ok(student_upper_tail(t, freedom))
}

fn student_upper_tail(t: f64, freedom: f64) -> f64 {
    if freedom > MOST_FREEDOM {
        return normal_below(-t);
    }
    // I_x(ν/2, 1/2)/2 with x = ν/(ν + t²) and 1 − x = t²/(ν + t²), both without cancellation.
    let ratio = t * t / freedom;
    let x = 1.0 / (1.0 + ratio);
    let y = if ratio.is_finite() { ratio * x } else { 1.0 };
    let (tail, _) = beta_tails(0.5 * freedom, 0.5, x, y);
    if t < 0.0 { 1.0 - 0.5 * tail } else { 0.5 * tail }
}

/// t with the mass p of Student's distribution below it.
///
/// # Errors
/// See [the module](self).
pub fn student(p: f64, freedom: f64) -> Result<f64, Error> {
    check_probability(p)?;
    check_freedom(freedom)?;
    let tail = p.min(1.0 - p);
    if tail >= 0.5 {
        return Ok(0.0);
    }
    let t = if freedom > MOST_FREEDOM {
        -normal_quantile(tail)
    } else {
        let start = (-normal_quantile(tail)).ln();
        invert(tail, start, false, |log_t| {
            let t = log_t.exp();
            let above = student_upper_tail(t, freedom);
            let ratio = t * t / freedom;
            let x = 1.0 / (1.0 + ratio);
            // Density × t: x^{ν/2} y^{1/2}/B(ν/2, 1/2).
            let slope = beta_front(0.5 * freedom, 0.5, x, ratio * x);
            (above, slope)
        })
    };
    Ok(if p < 0.5 { -t } else { t })
}

/// Mass of the χ² distribution above a value.
///
/// # Errors
/// See [the module](self).
pub fn chi_squared_above(value: f64, freedom: f64) -> Result<f64, Error> {
    Error::check(!value.is_nan(), "χ²", value, "a number")?;
    let freedom = check_freedom(freedom)?;
    if value == f64::INFINITY {
        return Ok(0.0);
    }
    Ok(gamma_tails(0.5 * freedom, 0.5 * value).1)
}

/// χ² with the mass p of its distribution below it.
///
/// # Errors
/// See [the module](self).
pub fn chi_squared(p: f64, freedom: f64) -> Result<f64, Error> {
    check_probability(p)?;
    let freedom = check_freedom(freedom)?;
    let upper = p > 0.5;
    let shape = 0.5 * freedom;
    // Wilson and Hilferty's cube as a start.
    let spread = 2.0 / (9.0 * freedom);
    let cube = (1.0 - spread + normal_quantile(p) * spread.sqrt()).max(0.01).powi(3);
    let start = (freedom * cube).ln();
    Ok(invert(if upper { 1.0 - p } else { p }, start, !upper, |log_value| {
        let half = 0.5 * log_value.exp();
        let (below, above) = gamma_tails(shape, half);
        // Density × value: (x/2)^{ν/2} e^{−x/2}/Γ(ν/2).
        let slope = shape * poisson(shape, half);
        (if upper { above } else { below }, slope)
    }))
}

/// Mass of the F distribution above a ratio of variances.
///
/// # Errors
/// See [the module](self).
pub fn f_above(ratio: f64, freedom_over: f64, freedom_under: f64) -> Result<f64, Error> {
    Error::check(!ratio.is_nan(), "F", ratio, "a number")?;
    let (over, under) = (check_freedom(freedom_over)?, check_freedom(freedom_under)?);
    Ok(f_tails(ratio.max(0.0), over, under).1)
}

fn f_tails(ratio: f64, over: f64, under: f64) -> (f64, f64) {
    let odds = ratio * (over / under);
    let y = 1.0 / (1.0 + odds);
    let x = if odds.is_finite() { odds * y } else { 1.0 };
    beta_tails(0.5 * over, 0.5 * under, x, y)
}

/// F with the mass p of its distribution below it.
///
/// # Errors
/// See [the module](self).
pub fn f(p: f64, freedom_over: f64, freedom_under: f64) -> Result<f64, Error> {
    check_probability(p)?;
    let (over, under) = (check_freedom(freedom_over)?, check_freedom(freedom_under)?);
    let upper = p > 0.5;
    Ok(invert(if upper { 1.0 - p } else { p }, 0.0, !upper, |log_ratio| {
        let ratio = log_ratio.exp();
        let (below, above) = f_tails(ratio, over, under);
        let odds = ratio * (over / under);
        let y = 1.0 / (1.0 + odds);
        let slope = beta_front(0.5 * over, 0.5 * under, odds * y, y);
        (if upper { above } else { below }, slope)
    }))
}

/// The value whose tail is `target`, by Newton's method on logarithms of both, kept inside a
/// bracket; `tail` takes ln(value) to the tail and to the density times the value.
fn invert(target: f64, start: f64, increasing: bool, tail: impl Fn(f64) -> (f64, f64)) -> f64 {
    let (mut low, mut high) = (-740.0_f64, 700.0_f64);
    let mut at = if start.is_finite() { start.clamp(low, high) } else { 0.0 };
    for _ in 0..200 {
        let (mass, slope) = tail(at);
        let off = (mass / target).ln();
        if off == 0.0 {
            break;
        }
        if (off > 0.0) == increasing {
            high = at;
        } else {
            low = at;
        }
        let step = off * mass / slope;
        let mut next = if increasing { at - step } else { at + step };
        if !(next > low && next < high) {
            next = low.midpoint(high);
        }
        let moved = (next - at).abs();
        at = next;
        // Relative in the value, since this is its logarithm.
        if moved <= 1e-15 || next <= low || next >= high {
            break;
        }
    }
    at.exp()
}
