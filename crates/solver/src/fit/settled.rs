//! A circle in the working frame: under search, and come to rest.

use core::f64::consts::PI;

use crate::circle::{OffsetCircle, Phase};
use crate::direction::Direction;
use crate::fit::frame::WorkingFrame;

/// A circle in the working frame: unit of length the frame's, φ in radians.
#[derive(Clone, Copy, Debug)]
pub(super) struct Parameters {
    pub(super) centre: Direction,
    pub(super) radius: f64,
    pub(super) phase_rad: f64,
}

/// A circle come to rest, and how well it is known.
#[derive(Clone, Copy, Debug)]
pub(super) struct Settled {
    pub(super) at: Parameters,
    /// Weighted sum of squares in units of σ², σ and lengths in frame units.
    pub(super) cost: f64,
    /// Sum of squared lengths of the residuals, frame units.
    pub(super) squares: f64,
    /// (JᵀWJ)⁻¹, order c_x, c_y, r, φ, frame units and radians; `None` when undetermined.
    pub(super) inverse: Option<[[f64; 4]; 4]>,
}

/// Beyond this condition number the readings leave the circle free to move.
pub(super) const CONDITION_LIMIT: f64 = 1e10;

impl Parameters {
    /// Moved by a step in c_x, c_y, r, φ.
    pub(super) fn moved(&self, step: [f64; 4]) -> Self {
        let mut next = Self {
            centre: self.centre + Direction::new(step[0], step[1]),
            radius: self.radius + step[2],
            phase_rad: self.phase_rad + step[3],
        };
        if next.radius < 0.0 {
            // The same circle, its phase half a turn on.
            next.radius = -next.radius;
            next.phase_rad += PI;
        }
        next
    }

    /// How far apart two circles are, as a share of their size.
    pub(super) fn distance(&self, other: &Self) -> f64 {
        let parts = [
            self.centre.x_arcmin - other.centre.x_arcmin,
            self.centre.y_arcmin - other.centre.y_arcmin,
            self.radius - other.radius,
            self.phase_rad - other.phase_rad,
        ];
        let length = parts.iter().map(|part| part * part).sum::<f64>().sqrt();
        length / (1.0 + self.centre.boresight_arcmin() + self.radius)
    }

    /// Back to arcminutes and degrees.
    pub(super) fn to_circle(self, frame: &WorkingFrame, phase: Option<Phase>) -> OffsetCircle {
        OffsetCircle {
            centre: frame.unframed(self.centre),
            radius_arcmin: self.radius * frame.unit_arcmin,
            phase,
        }
    }
}

/// The matrix, unless an entry is no finite number.
pub(super) fn finite(matrix: [[f64; 4]; 4]) -> Option<[[f64; 4]; 4]> {
    matrix.iter().flatten().all(|entry| entry.is_finite()).then_some(matrix)
}
