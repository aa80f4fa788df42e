//! Means over the variance of a spread that was estimated: what makes Student's t of a normal distribution.

use core::f64::consts::PI;

/// −ln of the error, for each of its causes: what is left out at the ends, and the step.
const LOG_ERROR: f64 = 28.0;

/// Steps at most; with one degree of freedom 210 are taken.
const MOST_STEPS: usize = 20_000;

/// With more degrees of freedom the scale is 1: a mass changes by less than their reciprocal.
const SCALE_KNOWN: f64 = 1e12;

/// The mean of a mass over the variance's scale ν/χ², ν degrees of freedom, 0.1 or more: of a mass that is
/// worked out at a scale for a normal distribution, the same for Student's t. Not finite where a mass is not.
///
/// With w = ln(χ²/ν) the density is e^(−ν/2 (e^w − 1 − w)) but for a factor that the same sum gives for a mass of 1.
///
/// # Accuracy
/// 1e-11, absolute, where part or all of the covariance is scaled. Left out is where ν/2 (e^w − 1 − w) is above 28, a
/// chance of at most 2e⁻²⁸ (Chernoff). In the strip |Im w| < y the density grows by 1/(cos y)^(ν/2) and
/// a mass of a bivariate normal by 1/cos y at most, so that the trapezoidal rule of step h is off by no more than
/// of the order 1/(cos y)^(ν/2 + 1) e^(−2πy/h); h is the largest that keeps this below e⁻²⁸.
///
/// # Source
/// Student's t as a normal of scaled variance: JCGM 101:2008, 6.4.9. The rule: L. N. Trefethen and J. A. C.
/// Weideman, *The exponentially convergent trapezoidal rule*, SIAM Review 56 (2014) 385, theorem 5.1 (number
/// from memory).
pub(crate) fn over_scales(freedom: f64, mut mass_at: impl FnMut(f64) -> f64) -> f64 {
    if freedom > SCALE_KNOWN {
        return mass_at(1.0);
    }
    let shape = 0.5 * freedom;
    let edge = LOG_ERROR / shape;
    let (low, high) = (end(edge, -1.0 - edge), end(edge, (2.0 * edge).sqrt()));
    let steps = ((high - low) / step(shape)).ceil();
    if !(steps >= 1.0 && steps <= MOST_STEPS as f64) {
        return f64::NAN;
    }
    let step = (high - low) / steps;
    let (mut sum, mut whole) = (0.0, 0.0);
    for place in 0..=steps as usize {
        let w = low + step * place as f64;
        let density = (-shape * (w.exp_m1() - w)).exp();
        whole += density;
        sum += density * mass_at((-w).exp());
    }
    sum / whole
}

/// The largest step that keeps the error.
fn step(shape: f64) -> f64 {
    (1..50)
        .map(|tried| {
            let y = 0.5 * PI * f64::from(tried) / 50.0;
            2.0 * PI * y / (LOG_ERROR - (shape + 1.0) * y.cos().ln())
        })
        .fold(0.0, f64::max)
}

/// w with e^w − 1 − w = `edge`, from a first guess that is farther from 0: e^w − 1 − w is convex, so Newton's
/// method comes from there without going past it.
fn end(edge: f64, guess: f64) -> f64 {
    let mut w = guess;
    for _ in 0..60 {
        let next = w - (w.exp_m1() - w - edge) / w.exp_m1();
        if !(next.is_finite() && (next - w).abs() > 1e-9 * w.abs()) {
            break;
        }
        w = next;
    }
    w
}
