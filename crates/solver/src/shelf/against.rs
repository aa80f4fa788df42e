//! A prediction beside what was measured.

use crate::channel::{Channel, PerChannel};
use crate::direction::Direction;
use crate::shelf::chance::lower_factor;
use crate::shelf::model::{MatchPrediction, Radius};
use crate::shelf::offsets::Estimate;
use crate::stats::quantile::chi_squared_above;
use crate::uncertainty::Uncertainty;

/// How far a unit came out from what was predicted of it; all measured less predicted.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Against {
    /// Of each centre.
    pub centre_off: PerChannel<Direction>,
    /// Half the width of the interval that holds that with 95 % were the prediction true, along x and y,
    /// arcminutes.
    pub centre_95: PerChannel<[f64; 2]>,
    /// Of each radius, arcminutes.
    pub radius_off: PerChannel<f64>,
    /// The same half width of it.
    pub radius_95: PerChannel<f64>,
    /// How likely uncertainties alone put both circles as far off or farther (χ² of all six).
    pub chance: f64,
}

impl Against {
    /// Whether the uncertainties explain it: a chance of 1 % or more.
    #[must_use]
    pub const fn agrees(&self) -> bool {
        self.chance >= 0.01
    }
}

/// Compares a prediction with the circles that were measured, whose uncertainties are its own.
///
/// `None` where a covariance has no extent, so that nothing can be weighed.
#[must_use]
pub fn against(
    prediction: &MatchPrediction,
    centres: PerChannel<Estimate>,
    radii: PerChannel<Radius>,
) -> Option<Against> {
    let mut covariance = prediction.covariance_arcmin2;
    for (channel, first) in [(Channel::Left, 0), (Channel::Right, 2)] {
        for i in 0..2 {
            for j in 0..2 {
                covariance[first + i][first + j] += centres[channel].covariance_arcmin2[i][j];
            }
        }
    }
    let centre_off =
        PerChannel::from_fn(|channel| centres[channel].value - prediction.centres[channel]);
    let radius_off =
        PerChannel::from_fn(|channel| radii[channel].arcmin - prediction.radii[channel].arcmin);
    let radius_u = PerChannel::from_fn(|channel| {
        radii[channel].u_arcmin.hypot(prediction.radii[channel].u_arcmin)
    });
    let factor = lower_factor(covariance);
    let (left, right) = (centre_off.left, centre_off.right);
    let off = [left.x_arcmin, left.y_arcmin, right.x_arcmin, right.y_arcmin];
    let mut whitened = [0.0; 4];
    for row in 0..4 {
        let known: f64 = (0..row).map(|k| factor[row][k] * whitened[k]).sum();
        if factor[row][row] <= 0.0 {
            return None;
        }
        whitened[row] = (off[row] - known) / factor[row][row];
    }
    let mut squares: f64 = whitened.iter().map(|value| value * value).sum();
    for channel in Channel::BOTH {
        if radius_u[channel] <= 0.0 {
            return None;
        }
        squares += (radius_off[channel] / radius_u[channel]).powi(2);
    }
    let half = |standard: f64| Uncertainty { standard, freedom: f64::INFINITY }.half_width_95();
    let mut widths = [0.0; 4];
    for (width, k) in widths.iter_mut().zip(0..4) {
        *width = half(covariance[k][k].sqrt())?;
    }
    let [left_x, left_y, right_x, right_y] = widths;
    Some(Against {
        centre_off,
        centre_95: PerChannel { left: [left_x, left_y], right: [right_x, right_y] },
        radius_off,
        radius_95: PerChannel { left: half(radius_u.left)?, right: half(radius_u.right)? },
        chance: chi_squared_above(squares, 6.0).ok()?,
    })
}
