//! What keeps a picture from being read, in the user's words.

use core::fmt;

use thiserror::Error;

/// Why pixels are no picture.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Error)]
pub enum PictureError {
    /// Too small for a crosshair.
    #[error(
        "a picture of {width} × {height} pixels is too small; a crosshair needs {least} each way"
    )]
    TooSmall {
        /// Pixels across.
        width: usize,
        /// Pixels down.
        height: usize,
        /// The least each way.
        least: usize,
    },
    /// Too large.
    #[error("a picture of {width} × {height} pixels is too large; {most} each way is the most")]
    TooLarge {
        /// Pixels across.
        width: usize,
        /// Pixels down.
        height: usize,
        /// The most each way.
        most: usize,
    },
    /// Values and pixels differ in number.
    #[error("{values} values make no picture of {width} × {height} pixels")]
    WrongCount {
        /// Pixels across.
        width: usize,
        /// Pixels down.
        height: usize,
        /// How many values there were.
        values: usize,
    },
    /// The background is of another size.
    #[error(
        "the background picture is {background_width} × {background_height} pixels, \
         the picture {width} × {height}; take both with the same camera settings"
    )]
    OtherBackground {
        /// Pixels across.
        width: usize,
        /// Pixels down.
        height: usize,
        /// Pixels across of the background.
        background_width: usize,
        /// Pixels down of the background.
        background_height: usize,
    },
}

/// What tells that lines are not those of one crosshair.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum Unlike {
    /// One is wider than the one that crosses it.
    Wider {
        /// By how much, per cent.
        percent: f64,
    },
    /// One is higher over its surroundings.
    Higher {
        /// By how much, per cent.
        percent: f64,
    },
    /// One does not run in one course.
    Stepped,
    /// One changes its width.
    Widens,
}

impl fmt::Display for Unlike {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Wider { percent } => write!(f, "one is {percent:.0} % wider than the other"),
            Self::Higher { percent } => write!(f, "one is {percent:.0} % stronger than the other"),
            Self::Stepped => f.write_str("one leaves its course on its way"),
            Self::Widens => f.write_str("one changes its width on its way"),
        }
    }
}

/// What may be so where lines are doubled, and what to do.
const NEARLY_ON_ANOTHER: &str =
    "two crosshairs may lie nearly on one another; cap one channel, or turn its ring";

/// Why no crosshair is reported of a picture. Never a guess.
#[derive(Clone, Copy, Debug, PartialEq, Error)]
pub enum Refusal {
    /// A pixel is not a number.
    #[error("the picture holds values that are not numbers")]
    NotNumbers,
    /// Nothing looks like a crosshair.
    #[error("no crosshair was found")]
    NoneFound,
    /// Lines, but none that cross as a crosshair's do.
    #[error("lines were found, but no crosshair: {lines} that do not cross with four arms")]
    NoCross {
        /// How many lines.
        lines: usize,
    },
    /// Lines that may make one crosshair or another.
    #[error(
        "more than one crosshair may be there: {flat} lines across and {upright} upright ones, and which \
         belong together cannot be told; take the graticule away with a background picture, or cap one channel"
    )]
    Ambiguous {
        /// Lines that run across.
        flat: usize,
        /// Lines that run upright.
        upright: usize,
    },
    /// Another line or crosshair lies along a line of it.
    #[error(
        "something lies along a line of the crosshair, another line or a second crosshair, and shifts it by \
         {by_px:.1} px"
    )]
    Crowded {
        /// How far apart its place is found by its middle and by its sides.
        by_px: f64,
    },
    /// Another line runs almost along one of it.
    #[error(
        "another line runs almost along a line of the crosshair, about {beside_px:.1} px beside it: {NEARLY_ON_ANOTHER}"
    )]
    Doubled {
        /// How far beside it, in its middle.
        beside_px: f64,
    },
    /// Its lines are not those of one crosshair.
    #[error("of the two lines {how}: {NEARLY_ON_ANOTHER}")]
    Unlike {
        /// What tells that.
        how: Unlike,
    },
    /// An arm ends at the edge of the picture.
    #[error(
        "the crosshair is cut by the edge of the picture at {x_px:.0}, {y_px:.0}; each arm needs {least_px:.0} px"
    )]
    Cut {
        /// Where its lines cross.
        x_px: f64,
        /// Where its lines cross.
        y_px: f64,
        /// The least room an arm needs.
        least_px: f64,
    },
    /// The line's pixels are full.
    #[error(
        "the crosshair is saturated: {share_percent:.0} % of its line is as bright as the camera can show; \
         shorten the exposure or lower the gain"
    )]
    Saturated {
        /// Of the pixels in the middle of its lines.
        share_percent: f64,
    },
    /// There may be one, but noise hides where.
    #[error("the crosshair is too faint to be read")]
    TooFaint,
    /// Too blurred.
    #[error(
        "the crosshair is too blurred: its lines are {width_px:.0} px wide, {most_px:.0} px is the most"
    )]
    TooBlurred {
        /// Width at half height.
        width_px: f64,
        /// The most.
        most_px: f64,
    },
}
