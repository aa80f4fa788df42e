//! Eyepieces and tubes traded between pods, tubes turned in their seats.
//!
//! A prediction moves centres and radii; phases are unknown until measured.

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::Direction;

/// Eyepieces traded: each takes its radius along; the centres stay.
#[must_use]
pub fn eyepieces_swapped(circles: PerChannel<OffsetCircle>) -> PerChannel<OffsetCircle> {
    PerChannel {
        left: OffsetCircle::unphased(circles.left.centre, circles.right.radius_arcmin),
        right: OffsetCircle::unphased(circles.right.centre, circles.left.radius_arcmin),
    }
}

/// Tubes traded, their offsets known (arcminutes, as each tube sits in its pod): each takes its
/// offset along; radii and phases stay with the eyepieces.
#[must_use]
pub fn tubes_swapped(
    circles: PerChannel<OffsetCircle>,
    offsets: PerChannel<Direction>,
) -> PerChannel<OffsetCircle> {
    let difference = offsets.right - offsets.left;
    PerChannel {
        left: OffsetCircle { centre: circles.left.centre + difference, ..circles.left },
        right: OffsetCircle { centre: circles.right.centre - difference, ..circles.right },
    }
}

/// A tube turned half way round in its seat: its offset changes sign.
#[must_use]
pub fn tube_turned(circle: OffsetCircle, offset: Direction) -> OffsetCircle {
    OffsetCircle { centre: circle.centre - offset * 2.0, ..circle }
}
