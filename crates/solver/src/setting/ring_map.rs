//! Window use over both rings, and the outline of what passes.

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::tolerance::Window;

/// Window use at every pair of an even grid of ring angles.
#[derive(Clone, Debug, PartialEq)]
pub struct RingMap {
    /// Rings a side: values at k·360/size degrees.
    pub size: usize,
    /// Window use, left ring varying fastest: `values[right * size + left]`.
    pub values: Vec<f64>,
}

/// The finest map: half a degree.
pub const FINEST: usize = 720;

impl RingMap {
    /// The map of two circles whose ring numbering is known.
    ///
    /// # Degenerate input
    /// `None` without both phases. `size` is kept within 4..=[`FINEST`].
    #[must_use]
    pub fn new(circles: PerChannel<&OffsetCircle>, window: &Window, size: usize) -> Option<Self> {
        let size = size.clamp(4, FINEST);
        let ring_deg = |k: usize| 360.0 * k as f64 / size as f64;
        let places = |circle: &OffsetCircle| {
            (0..size).map(|k| circle.at_ring(ring_deg(k))).collect::<Option<Vec<_>>>()
        };
        let (lefts, rights) = (places(circles.left)?, places(circles.right)?);
        let mut values = Vec::with_capacity(size * size);
        for &right in &rights {
            values.extend(lefts.iter().map(|&left| window.used_by(left, right).worst()));
        }
        Some(Self { size, values })
    }

    /// Window use at a pair of grid places; indices go round.
    #[must_use]
    pub fn at(&self, left: usize, right: usize) -> f64 {
        let index = (right % self.size) * self.size + left % self.size;
        self.values.get(index).copied().unwrap_or(f64::NAN)
    }

    /// The outline of the passing region (u = 1) as pieces of line in ring degrees (left, right),
    /// each within one cell of the grid and of the turn, so a piece may end at 360.
    ///
    /// # Accuracy
    /// Linear between grid values: an outline narrower than a cell can be missed.
    #[must_use]
    pub fn outline(&self) -> Vec<[[f64; 2]; 2]> {
        let step_deg = 360.0 / self.size as f64;
        let mut pieces = Vec::new();
        for right in 0..self.size {
            for left in 0..self.size {
                // Corners in order round the cell, as offsets of (left, right).
                const CORNERS: [[usize; 2]; 4] = [[0, 0], [1, 0], [1, 1], [0, 1]];
                let values = CORNERS.map(|[i, j]| self.at(left + i, right + j) - 1.0);
                let mut ends = [[0.0; 2]; 4];
                let mut count = 0;
                for k in 0..4 {
                    let (from, to) = (values[k], values[(k + 1) % 4]);
                    if (from <= 0.0) == (to <= 0.0) {
                        continue;
                    }
                    let share = from / (from - to);
                    let (a, b) = (CORNERS[k], CORNERS[(k + 1) % 4]);
                    let along = |axis: usize, base: usize| {
                        let (a, b) = (a[axis] as f64, b[axis] as f64);
                        (base as f64 + a + share * (b - a)) * step_deg
                    };
                    ends[count] = [along(0, left), along(1, right)];
                    count += 1;
                }
                match count {
                    2 => pieces.push([ends[0], ends[1]]),
                    // A saddle: the middle decides which corners belong together.
                    4 => {
                        let middle: f64 = values.iter().sum();
                        if (middle <= 0.0) == (values[0] <= 0.0) {
                            pieces.extend([[ends[0], ends[1]], [ends[2], ends[3]]]);
                        } else {
                            pieces.extend([[ends[3], ends[0]], [ends[1], ends[2]]]);
                        }
                    }
                    _ => {}
                }
            }
        }
        pieces
    }
}
