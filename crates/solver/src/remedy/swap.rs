//! Eyepieces and tubes swapped between pods, tubes turned in their seats.
//!
//! A prediction moves centres and radii; phases are unknown until measured.

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::source_split::{CentrePart, Determined, Split};

/// Which tube sits in a pod, and how far it is turned in its seat.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SeatedTube {
    /// Its number in the source split.
    pub tube: usize,
    /// Degrees clockwise, seen from the eye side.
    pub turned_deg: f64,
}

/// What is known of the offsets of the tubes as they sit.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct TubeFacts {
    /// The right tube's offset less the left tube's: enough to swap them.
    pub right_less_left: Option<Determined>,
    /// Each tube's own: needed to turn it.
    pub offsets: PerChannel<Option<Determined>>,
}

impl TubeFacts {
    /// What a source split determines of the tubes that now sit in the pods: nothing more.
    #[must_use]
    pub fn from_split(split: &Split, seated: PerChannel<SeatedTube>) -> Self {
        let term = |seated: SeatedTube, weight: f64| {
            (CentrePart::Tube(seated.tube), weight, seated.turned_deg)
        };
        Self {
            right_less_left: split
                .determined_turned(&[term(seated.right, 1.0), term(seated.left, -1.0)]),
            offsets: seated.map(|seated| split.determined_turned(&[term(seated, 1.0)])),
        }
    }
}

/// Eyepieces swapped: each takes its radius along; the centres stay.
#[must_use]
pub fn eyepieces_swapped(circles: PerChannel<OffsetCircle>) -> PerChannel<OffsetCircle> {
    PerChannel {
        left: OffsetCircle::unphased(circles.left.centre, circles.right.radius_arcmin),
        right: OffsetCircle::unphased(circles.right.centre, circles.left.radius_arcmin),
    }
}

/// Tubes swapped, their offsets known (arcminutes, as each tube sits in its pod): each takes its
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
