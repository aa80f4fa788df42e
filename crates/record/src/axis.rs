//! The two axes of a direction, where something is worked out for each by itself.

use core::fmt;

use solver::Direction;

/// One axis of a direction.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Axis {
    /// Across, right positive.
    X,
    /// Up.
    Y,
}

impl Axis {
    /// Across, then up.
    pub const BOTH: [Self; 2] = [Self::X, Self::Y];

    /// That part of a direction, arcminutes.
    #[must_use]
    pub const fn of(self, direction: Direction) -> f64 {
        match self {
            Self::X => direction.x_arcmin,
            Self::Y => direction.y_arcmin,
        }
    }

    /// That one of a pair, x first.
    #[must_use]
    pub const fn pick<T: Copy>(self, [x, y]: [T; 2]) -> T {
        match self {
            Self::X => x,
            Self::Y => y,
        }
    }

    /// `"x"` or `"y"`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::X => "x",
            Self::Y => "y",
        }
    }
}

impl fmt::Display for Axis {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.word())
    }
}
