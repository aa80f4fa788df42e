//! Incomplete gamma and beta functions with both tails, bounded work, no assertions.
//!
//! statrs has these functions, but its loops end only on convergence, its upper tails are one less
//! the lower, its inverses assert, and its erfc is good to 1e-11 only; ln Γ and a first guess at a
//! quantile are used here, and erfc is libm's.
//!
//! # Source
//! Prefactors: C. Loader, *Fast and Accurate Computation of Binomial Probabilities* (2000).
//! Continued fractions by Lentz's method: NIST Digital Library of Mathematical Functions, 8.9.2,
//! 8.17.22 and 3.10.

use core::f64::consts::{PI, SQRT_2};

use libm::erfc;
use statrs::function::erf::erfc_inv;
use statrs::function::gamma::ln_gamma;

/// Terms of a series or fraction before giving up; convergence needs about √(largest argument).
const MOST_TERMS: u32 = 200_000;
const TINY: f64 = 1e-300;

/// Φ(z), the standard normal distribution.
pub(super) fn normal_below(z: f64) -> f64 {
    0.5 * erfc(-z / SQRT_2)
}

/// φ(z), the standard normal density.
pub(super) fn normal_density(z: f64) -> f64 {
    (-0.5 * z * z).exp() / (2.0 * PI).sqrt()
}

/// z with Φ(z) = p, for p in (0, 1).
pub(super) fn normal_quantile(p: f64) -> f64 {
    let tail = p.min(1.0 - p);
    let mut z = SQRT_2 * erfc_inv(2.0 * tail);
    // One step of Halley's method takes the last digits from erfc.
    let density = normal_density(z);
    if density > 0.0 {
        let off = (normal_below(-z) - tail) / density;
        let step = off / (1.0 - 0.5 * z * off);
        if step.is_finite() {
            z += step;
        }
    }
    if p < 0.5 { -z } else { z }
}

/// What Stirling's formula leaves of ln Γ(z + 1), z > 0.
fn stirling_rest(z: f64) -> f64 {
    if z < 16.0 {
        return ln_gamma(z + 1.0) - (z + 0.5) * z.ln() + z - 0.5 * (2.0 * PI).ln();
    }
    let w = 1.0 / (z * z);
    (1.0 / 12.0 - w * (1.0 / 360.0 - w * (1.0 / 1260.0 - w * (1.0 / 1680.0 - w / 1188.0)))) / z
}

/// x ln(x/m) + m − x without cancellation, x and m > 0.
fn deviance(x: f64, m: f64) -> f64 {
    let difference = x - m;
    if difference.abs() > 0.1 * (x + m) {
        return x * (x / m).ln() - difference;
    }
    let v = difference / (x + m);
    let mut sum = difference * v;
    let mut term = 2.0 * x * v;
    for k in 1..100 {
        term *= v * v;
        let next = sum + term / f64::from(2 * k + 1);
        if next == sum {
            break;
        }
        sum = next;
    }
    sum
}

/// x^a e^−x / Γ(a + 1).
pub(super) fn poisson(a: f64, x: f64) -> f64 {
    (-stirling_rest(a) - deviance(a, x)).exp() / (2.0 * PI * a).sqrt()
}

/// Regularised incomplete gamma functions (P, Q) of a > 0, x ≥ 0.
pub(super) fn gamma_tails(a: f64, x: f64) -> (f64, f64) {
    if x <= 0.0 {
        return (0.0, 1.0);
    }
    let front = poisson(a, x);
    if x < a + 1.0 {
        let (mut term, mut sum) = (1.0, 1.0);
        for k in 1..=MOST_TERMS {
            term *= x / (a + f64::from(k));
            sum += term;
            if term <= sum * f64::EPSILON * 0.5 {
                break;
            }
        }
        let below = (front * sum).clamp(0.0, 1.0);
        return (below, 1.0 - below);
    }
    let mut b = x + 1.0 - a;
    let mut c = 1.0 / TINY;
    let mut d = 1.0 / b;
    let mut h = d;
    for k in 1..=MOST_TERMS {
        let k = f64::from(k);
        let an = k * (a - k);
        b += 2.0;
        d = 1.0 / away_from_zero(an * d + b);
        c = away_from_zero(b + an / c);
        let factor = d * c;
        h *= factor;
        if (factor - 1.0).abs() <= f64::EPSILON {
            break;
        }
    }
    let above = (front * a * h).clamp(0.0, 1.0);
    (1.0 - above, above)
}

/// Regularised incomplete beta functions (I, 1 − I) of a, b > 0, x in [0, 1]; `y` is 1 − x, which
/// the caller may know better than by subtraction.
pub(super) fn beta_tails(a: f64, b: f64, x: f64, y: f64) -> (f64, f64) {
    if x <= 0.0 {
        return (0.0, 1.0);
    }
    if y <= 0.0 {
        return (1.0, 0.0);
    }
    if x > (a + 1.0) / (a + b + 2.0) {
        let (below, above) = beta_tails_near(b, a, y, x);
        return (above, below);
    }
    beta_tails_near(a, b, x, y)
}

/// x^a y^b / B(a, b).
pub(super) fn beta_front(a: f64, b: f64, x: f64, y: f64) -> f64 {
    let n = a + b;
    let exponent = stirling_rest(n)
        - stirling_rest(a)
        - stirling_rest(b)
        - deviance(a, n * x)
        - deviance(b, n * y);
    (a * b / n) * exponent.exp() * (n / (2.0 * PI * a * b)).sqrt()
}

fn beta_tails_near(a: f64, b: f64, x: f64, y: f64) -> (f64, f64) {
    let front = beta_front(a, b, x, y) / a;
    let sum = a + b;
    let mut c = 1.0;
    let mut d = 1.0 / away_from_zero(1.0 - sum * x / (a + 1.0));
    let mut h = d;
    for k in 1..=MOST_TERMS {
        let k = f64::from(k);
        let even = k * (b - k) * x / ((a + 2.0 * k - 1.0) * (a + 2.0 * k));
        d = 1.0 / away_from_zero(1.0 + even * d);
        c = away_from_zero(1.0 + even / c);
        h *= d * c;
        let odd = -(a + k) * (sum + k) * x / ((a + 2.0 * k) * (a + 2.0 * k + 1.0));
        d = 1.0 / away_from_zero(1.0 + odd * d);
        c = away_from_zero(1.0 + odd / c);
        let factor = d * c;
        h *= factor;
        if (factor - 1.0).abs() <= f64::EPSILON {
            break;
        }
    }
    let below = (front * h).clamp(0.0, 1.0);
    (below, 1.0 - below)
}

fn away_from_zero(value: f64) -> f64 {
    if value.abs() < TINY { TINY } else { value }
}
