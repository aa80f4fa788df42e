//! The square field a picture should show.

use solver::Direction;

/// A square field: centre and half width, arcminutes.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Extent {
    /// Middle.
    pub centre: Direction,
    /// Half the width and height.
    pub half_arcmin: f64,
}

/// An empty field is ±40′: what a first reading usually needs.
const EMPTY_HALF_ARCMIN: f64 = 40.0;

impl Default for Extent {
    fn default() -> Self {
        Self { centre: Direction::BORESIGHT, half_arcmin: EMPTY_HALF_ARCMIN }
    }
}

impl Extent {
    /// The smallest square with a margin around boxes given as (lower left, upper right).
    #[must_use]
    pub fn around(boxes: impl IntoIterator<Item = (Direction, Direction)>) -> Self {
        let mut low = Direction::new(f64::INFINITY, f64::INFINITY);
        let mut high = Direction::new(f64::NEG_INFINITY, f64::NEG_INFINITY);
        for (from, to) in boxes {
            if from.is_finite() && to.is_finite() {
                low = Direction::new(
                    low.x_arcmin.min(from.x_arcmin),
                    low.y_arcmin.min(from.y_arcmin),
                );
                high =
                    Direction::new(high.x_arcmin.max(to.x_arcmin), high.y_arcmin.max(to.y_arcmin));
            }
        }
        if !(low.is_finite() && high.is_finite()) {
            return Self::default();
        }
        let span = high - low;
        let half = span.x_arcmin.max(span.y_arcmin) / 2.0;
        Self { centre: low.midpoint(high), half_arcmin: (half * 1.12).max(5.0) }
    }
}
