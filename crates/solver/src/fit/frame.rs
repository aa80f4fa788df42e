//! The frame a fit is worked in: origin at the mean of the readings, unit of length their reach.
//!
//! In it every number is of order one, so no square overflows and no threshold has a unit.

use crate::direction::Direction;
use crate::fit::reading::Reading;

/// Origin and unit of length of the working frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    /// The mean of the readings.
    pub(super) origin: Direction,
    /// The largest distance of a reading from the mean, arcminutes.
    pub(super) unit_arcmin: f64,
}

impl Frame {
    /// `None` when a number is not finite or too large to square.
    pub(super) fn around(readings: &[Reading]) -> Option<Self> {
        if readings.is_empty() {
            return None;
        }
        let share = 1.0 / readings.len() as f64;
        // Each term is shared out before it is summed, so that the mean cannot overflow.
        let origin = readings
            .iter()
            .fold(Direction::BORESIGHT, |sum, reading| sum + reading.direction * share);
        let unit_arcmin = readings
            .iter()
            .map(|reading| reading.direction.distance_arcmin(origin))
            .fold(0.0, f64::max);
        (origin.is_finite()
            && unit_arcmin.is_finite()
            && readings.iter().all(|reading| {
                reading.direction.is_finite() && reading.ring_deg.is_none_or(f64::is_finite)
            }))
        .then_some(Self { origin, unit_arcmin })
    }

    /// A direction in this frame.
    pub(super) fn framed(&self, direction: Direction) -> Direction {
        (direction - self.origin) * (1.0 / self.unit_arcmin)
    }

    /// Back from this frame.
    pub(super) fn unframed(&self, framed: Direction) -> Direction {
        framed * self.unit_arcmin + self.origin
    }
}
