//! The next reading most worth taking for a crossing point.
//!
//! A crossing's covariance is N⁻¹ diag(v_L, v_R) N⁻ᵀ, N the normals of the circles there and v the
//! variance of each circle's edge at it; so its determinant is v_L v_R/(det N)², and one more
//! reading lowers it by the factor by which it lowers the edge variance of its own channel: with
//! g the edge's gradient, U the covariance and J the reading's rows,
//! 1 − (JUg)ᵀ(I + JUJᵀ)⁻¹(JUg)/(gᵀUg). The reading that lowers it most is D-optimal for the place of
//! the crossing. σ cancels: two readings a channel are enough to ask.
//!
//! # Source
//! V. V. Fedorov, *Theory of Optimal Experiments* (1972), sequential D-optimal design (from memory);
//! the reduction to an edge variance is this project's.

use core::f64::consts::TAU;

use crate::angle::{deg_from_rad, reduced_deg};
use crate::channel::{Channel, PerChannel};
use crate::direction::Direction;
use crate::fit::CircleFit;
use crate::fit::design::{dot, inverse};
use crate::meet::CrossingPoint;

/// Places looked at before the best is refined; the gain has at most four maxima round a circle.
const PLACES: u8 = 72;
/// Golden sections: 5° · 0.618³⁰ is 3e-6°.
const SECTIONS: u8 = 30;
const GOLDEN: f64 = 0.618_033_988_749_894_8;

/// A reading to take.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NextReading {
    /// Of which channel.
    pub channel: Channel,
    /// At which ring angle, degrees in [0, 360); `None` where the ring's numbering is not known:
    /// then turn until the crosshair is at `place`, and log it without a ring angle.
    pub ring_deg: Option<f64>,
    /// Where the crosshair will be.
    pub place: Direction,
    /// Determinant of the crossing's covariance after it, as a share of now, in (0, 1].
    pub determinant_ratio: f64,
}

impl NextReading {
    /// By which share of itself the area of the crossing's ellipse shrinks, in [0, 1): an area goes as
    /// the root of the determinant.
    #[must_use]
    pub fn ellipse_shrinks_by(&self) -> f64 {
        1.0 - self.determinant_ratio.max(0.0).sqrt()
    }
}

/// The ring angle and channel whose reading lowers the determinant of a crossing's covariance most;
/// `None` where no reading would.
#[must_use]
pub fn next_reading(fits: PerChannel<&CircleFit>, crossing: &CrossingPoint) -> Option<NextReading> {
    let [left, right] =
        Channel::BOTH.map(|channel| best_of(channel, fits[channel], crossing.point));
    match (left, right) {
        (Some(left), Some(right)) if right.determinant_ratio < left.determinant_ratio => {
            Some(right)
        }
        (left, right) => left.or(right),
    }
}

fn best_of(channel: Channel, fit: &CircleFit, point: Direction) -> Option<NextReading> {
    let outward = point - fit.circle.centre;
    let normal = outward * (1.0 / outward.boresight_arcmin());
    let edge = [normal.x_arcmin, normal.y_arcmin, 1.0, 0.0];
    let pulled = fit.unit_covariance.times(edge);
    let variance = dot(&pulled, &edge);
    if !(variance > 0.0 && variance.is_finite()) {
        return None;
    }
    let ratio = |angle_rad: f64| {
        let n = Direction::polar(1.0, angle_rad);
        let from_centre = n * fit.circle.radius_arcmin;
        let design = if fit.circle.phase.is_some() {
            fit.design_with_ring(n, from_centre)
        } else {
            fit.design_without_ring(from_centre)
        };
        let mut spread = design.leverage(fit);
        spread[0][0] += 1.0;
        spread[1][1] += 1.0;
        let reach = design.rows.map(|row| dot(&row, &pulled));
        inverse(spread).map_or(1.0, |spread| {
            let gain = spread[0][0] * reach[0] * reach[0]
                + 2.0 * spread[0][1] * reach[0] * reach[1]
                + spread[1][1] * reach[1] * reach[1];
            1.0 - gain / variance
        })
    };
    let step = TAU / f64::from(PLACES);
    let (start, _) = (0..PLACES)
        .map(|k| step * f64::from(k))
        .map(|angle_rad| (angle_rad, ratio(angle_rad)))
        .min_by(|a, b| a.1.total_cmp(&b.1))?;
    let angle_rad = lowest(start - step, start + step, ratio);
    let place = fit.circle.centre + Direction::polar(fit.circle.radius_arcmin, angle_rad);
    let ring_deg = fit
        .circle
        .phase
        .map(|phase| reduced_deg(phase.sense.sign() * (phase.zero_deg - deg_from_rad(angle_rad))));
    let determinant_ratio = ratio(angle_rad).min(1.0);
    (determinant_ratio > 0.0 && place.is_finite()).then_some(NextReading {
        channel,
        ring_deg,
        place,
        determinant_ratio,
    })
}

/// Where a function with one minimum in an interval is lowest, by golden sections.
fn lowest(mut low: f64, mut high: f64, value: impl Fn(f64) -> f64) -> f64 {
    let (mut a, mut b) = (high - GOLDEN * (high - low), low + GOLDEN * (high - low));
    let (mut at_a, mut at_b) = (value(a), value(b));
    for _ in 0..SECTIONS {
        if at_a <= at_b {
            (high, b, at_b) = (b, a, at_a);
            a = high - GOLDEN * (high - low);
            at_a = value(a);
        } else {
            (low, a, at_a) = (a, b, at_b);
            b = low + GOLDEN * (high - low);
            at_b = value(b);
        }
    }
    low.midpoint(high)
}
