//! A pair of places on the circles, as unit vectors from their centres.

use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::direction::Direction;

/// Unit vectors from the centres to the two places.
pub(super) type Arms = PerChannel<Direction>;

/// Where the two channels point.
pub(super) fn points(circles: &PerChannel<OffsetCircle>, arms: &Arms) -> PerChannel<Direction> {
    PerChannel::from_fn(|channel: Channel| {
        circles[channel].centre + arms[channel] * circles[channel].radius_arcmin
    })
}

/// A unit vector turned counter-clockwise, a unit vector still.
pub(super) fn turned(arm: Direction, sin: f64, cos: f64) -> Direction {
    let turned = Direction::new(
        cos * arm.x_arcmin - sin * arm.y_arcmin,
        sin * arm.x_arcmin + cos * arm.y_arcmin,
    );
    // One step of Newton for 1/√: rounding does not add up over many turns.
    turned * (1.5 - 0.5 * turned.dot(turned))
}
