//! Mass of a bivariate normal distribution in a disc about the origin.
//!
//! Along one axis, x = R sin t, across it exactly by two values of Φ. The integrand is entire in t, and even
//! about ±π/2 where it vanishes: by the trapezoidal rule it converges geometrically, with a step that is known
//! before. Where that would take too many nodes, a spread like a line that lies askew of the rim, the same
//! integral is taken by adaptive quadrature.
//!
//! # Accuracy
//! 1e-12, absolute, beside what the last digit of mean and radius moves, 1e-16 R over the smaller deviation. In the strip |Im t| < a the integrand grows by no more than exp(K² sinh² a / 2), with
//! K² = R² (1/σ² + (S + |β|)²/s²): σ the deviation along, s the one across given x, β how the mean across moves
//! with x, S the largest |sin t| that counts. So the error is at most of the order exp(K² sinh² a / 2 − 2πa/h);
//! h is such that this is e⁻³⁶ at the best a. What lies beyond 7.8 standard deviations along is left out: 6e-15.
//! As every second node alone is the rule of twice the step, whose error is the fourth root, both halves
//! of the nodes must agree to 0.004, or the answer is not taken.
//!
//! # Source
//! L. N. Trefethen and J. A. C. Weideman, *The exponentially convergent trapezoidal rule*, SIAM Review 56
//! (2014) 385, theorem 3.2 (number from memory).

use core::f64::consts::TAU;

use super::binormal::{Binormal, mass_between};
use super::quadrature::integrate;
use super::special::normal_below;

/// Standard deviations along an axis beyond which nothing is summed.
const REACH: f64 = 7.8;

/// −ln of the error of the step.
const LOG_ERROR: f64 = 36.0;

/// More steps than this are not tried.
const MOST_STEPS: f64 = 600.0;

/// Both halves of the nodes agree at least so well.
const HALVES_AGREE: f64 = 0.004;

/// A normal distribution along one axis, and across it given the place along.
#[derive(Clone, Copy)]
struct Along {
    mean: f64,
    deviation: f64,
    /// Mean across at the mean along, and how it moves with the place along.
    across: f64,
    slope: f64,
    /// Deviation across at a given place along.
    deviation_across: f64,
}

/// The same seen from the centre of the disc: angles are told from that of the mean, so that however narrow the
/// spread is, how far a place is off the mean keeps its digits.
#[derive(Clone, Copy)]
struct Chords {
    along: Along,
    radius: f64,
    /// Sine and cosine of the angle of the mean, or of the end of the disc that is nearest to it.
    sin: f64,
    cos: f64,
    /// From the mean to that end; 0 where the mean is within.
    beyond: f64,
    /// Angles between which there is anything.
    low: f64,
    high: f64,
}

impl Binormal {
    /// Mass in the disc of a radius about the origin.
    ///
    /// # Degenerate input
    /// Without variance along a direction, that coordinate is its mean. A radius that is not above
    /// 0 holds nothing (or everything of a point that lies there).
    ///
    /// # Accuracy
    /// 1e-12, absolute, beside what the last digits of mean and radius move.
    #[must_use]
    pub fn mass_in_disc(&self, radius: f64) -> f64 {
        if radius.is_nan() || radius < 0.0 {
            return 0.0;
        }
        let ([minor, major], [s_minor, s_major]) = self.principal();
        if s_minor <= 0.0 {
            if minor.abs() > radius {
                return 0.0;
            }
            let half = ((radius - minor) * (radius + minor)).max(0.0).sqrt();
            return mass_between(major, s_major, -half, half);
        }
        if radius == f64::INFINITY {
            return 1.0;
        }
        if radius <= 0.0 {
            return 0.0;
        }
        if let Some(mass) = nearly_whole(self, radius, s_major) {
            return mass;
        }
        let principal = |mean, deviation, across, deviation_across| Along {
            mean,
            deviation,
            across,
            slope: 0.0,
            deviation_across,
        };
        let minor_first = principal(minor, s_minor, major, s_major);
        let tried = [
            Some(minor_first),
            Some(principal(major, s_major, minor, s_minor)),
            square_to_mean(self, s_minor * s_major),
        ];
        let fewest = tried
            .into_iter()
            .flatten()
            .map(|along| Chords::of(along, radius))
            .filter_map(|chords| Some((chords, chords.steps()?)))
            .min_by(|a, b| a.1.total_cmp(&b.1));
        fewest
            .and_then(|(chords, steps)| chords.trapezoid(steps))
            .unwrap_or_else(|| Chords::of(minor_first, radius).adaptive())
            .clamp(0.0, 1.0)
    }
}

/// 1 or 0, where the rim is so far from the mean that the mass differs from that by less than 1e-14.
fn nearly_whole(normal: &Binormal, radius: f64, s_major: f64) -> Option<f64> {
    let [x, y] = normal.mean();
    let off = x.hypot(y);
    // Outside a circle about the mean lies less than outside the ellipse within it, e^(−d²/2).
    if (radius - off) / s_major > 8.1 {
        return Some(1.0);
    }
    if off > radius {
        // The disc lies beyond a line square to the mean.
        let [[xx, xy], [_, yy]] = normal.covariance();
        let (cos, sin) = (x / off, y / off);
        let towards = (cos * cos * xx + 2.0 * cos * sin * xy + sin * sin * yy).max(0.0).sqrt();
        if (off - radius) / towards > 7.8 {
            return Some(0.0);
        }
    }
    None
}

/// Along the axis on which the mean is 0: near the rim, this one follows it. `root` is that of the determinant.
fn square_to_mean(normal: &Binormal, root: f64) -> Option<Along> {
    let [x, y] = normal.mean();
    let [[xx, xy], [_, yy]] = normal.covariance();
    let off = x.hypot(y);
    let (cos, sin) = (x / off, y / off);
    let variance = sin * sin * xx - 2.0 * sin * cos * xy + cos * cos * yy;
    let shared = cos * sin * (yy - xx) + (cos * cos - sin * sin) * xy;
    let deviation = variance.sqrt();
    let along = Along {
        mean: 0.0,
        deviation,
        across: off,
        slope: shared / variance,
        deviation_across: root / deviation,
    };
    (off > 0.0 && deviation > 0.0 && along.slope.is_finite()).then_some(along)
}

impl Chords {
    fn of(along: Along, radius: f64) -> Self {
        let Along { mean, deviation, .. } = along;
        let end = mean.clamp(-radius, radius);
        let (sin, beyond) = (end / radius, end - mean);
        let cos = ((1.0 - sin) * (1.0 + sin)).max(0.0).sqrt();
        // How far the sine goes down and up, no farther than the disc.
        let reach = REACH * deviation;
        let down = ((reach + beyond) / radius).max(0.0).min(1.0 + sin);
        let up = ((reach - beyond) / radius).max(0.0).min(1.0 - sin);
        // The chord between two points of the unit circle, without differences of what is nearly alike.
        let angle = |far: f64, by: f64| {
            let cos_far = ((1.0 - far) * (1.0 + far)).max(0.0).sqrt();
            let steep = (sin + far) / (cos + cos_far);
            if by > 0.0 { 2.0 * (0.5 * by * steep.hypot(1.0)).min(1.0).asin() } else { 0.0 }
        };
        let (low, high) = (-angle((sin - down).max(-1.0), down), angle((sin + up).min(1.0), up));
        Self { along, radius, sin, cos, beyond, low, high }
    }

    /// The steps that the accuracy takes; `None` where they are too many or cannot be told.
    fn steps(&self) -> Option<f64> {
        let Along { deviation, slope, deviation_across, .. } = self.along;
        let sine = |turned: f64| (self.sin * turned.cos() + self.cos * turned.sin()).abs();
        let largest = sine(self.low).max(sine(self.high));
        let growth =
            self.radius * (1.0 / deviation).hypot((largest + slope.abs()) / deviation_across);
        let step = TAU * ((2.0 * LOG_ERROR).sqrt() / growth).asinh() / (2.0 * LOG_ERROR);
        let steps = ((self.high - self.low) / step).ceil().max(16.0);
        (steps <= MOST_STEPS).then_some(steps)
    }

    /// The integrand at an angle from that of the mean.
    fn at(&self, turned: f64) -> f64 {
        let Along { deviation, across, slope, deviation_across, .. } = self.along;
        let (half_sin, half_cos) = (0.5 * turned).sin_cos();
        let off = 2.0 * self.radius * half_sin * (self.cos * half_cos - self.sin * half_sin)
            + self.beyond;
        let (turn_sin, turn_cos) = (2.0 * half_sin * half_cos, 1.0 - 2.0 * half_sin * half_sin);
        // R cos t is exactly half the chord.
        let half = (self.radius * (self.cos * turn_cos - self.sin * turn_sin)).max(0.0);
        let z = off / deviation;
        let density = (-0.5 * z * z).exp() / (deviation * TAU.sqrt());
        let middle = across + slope * off;
        let (a, b) = ((-half - middle) / deviation_across, (half - middle) / deviation_across);
        // Differences of the smaller tails keep their digits; a tail that changes nothing is not worked out.
        let (a, b) = if a > 0.0 { (-b, -a) } else { (a, b) };
        let inside = normal_below(b) - if a > -9.0 { normal_below(a) } else { 0.0 };
        density * inside * half
    }

    /// By the trapezoidal rule; `None` where its halves do not agree.
    fn trapezoid(&self, steps: f64) -> Option<f64> {
        let step = (self.high - self.low) / steps;
        // At both ends there is nothing: the rim, or too far out.
        let mut halves = [0.0; 2];
        for place in 1..steps as usize {
            halves[place % 2] += self.at(self.low + step * place as f64);
        }
        let [even, odd] = halves.map(|sum| 2.0 * step * sum);
        ((even - odd).abs() <= HALVES_AGREE).then_some(even.midpoint(odd))
    }

    /// By halving intervals until two rules agree.
    fn adaptive(&self) -> f64 {
        let mass = integrate(|turned| self.at(turned), self.low, self.high, 12, 1e-13).value;
        if mass.is_nan() { 0.0 } else { mass }
    }
}
