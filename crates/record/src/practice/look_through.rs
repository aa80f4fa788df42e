//! What a user would see through an invented unit at a far point, for the looking test.

use solver::{Direction, PerChannel, Window};

use super::surroundings::limits;
use crate::fact::LookingResult;

/// Eyes fuse this many times the window: far more than is comfortable. Invented; that they do is common
/// practice, no source.
const FUSED_UP_TO: f64 = 3.0;

/// What the far point looks like.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum LooksLike {
    /// One image, at ease.
    Single,
    /// One image, with effort: the eyes pull what is outside the window together.
    Strained,
    /// Two images.
    Double,
}

impl LooksLike {
    /// With the channels pointing there, against the exercises' own window.
    #[must_use]
    pub fn of(points: PerChannel<Direction>) -> Self {
        limits().map_or(Self::Double, |window| Self::within(&window, points))
    }

    /// With the channels pointing there, against a window.
    #[must_use]
    pub fn within(window: &Window, points: PerChannel<Direction>) -> Self {
        let used = window.used_by(points.left, points.right);
        let apart = used.side_to_side.max(used.up_and_down);
        match apart {
            apart if apart <= 1.0 => Self::Single,
            apart if apart <= FUSED_UP_TO => Self::Strained,
            _ => Self::Double,
        }
    }

    /// It in a sentence, as the eye would say it: no numbers, for it sees none.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Single => "One point, at ease.",
            Self::Strained => "One point; after a while the eyes feel the pull.",
            Self::Double => "Two points that do not come together.",
        }
    }

    /// Whether a result is what it shows.
    #[must_use]
    pub const fn agrees(self, result: LookingResult) -> bool {
        match self {
            Self::Single | Self::Strained => matches!(result, LookingResult::Fused),
            Self::Double => matches!(result, LookingResult::Double | LookingResult::Stopped),
        }
    }
}
