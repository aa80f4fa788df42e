//! The setting for a whole range of swing, and what any setting costs at rest and over the range.

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::error::Error;
use crate::meet::{RELATION_TOLERANCE, meet};
use crate::setting::best::Best;
use crate::setting::cells::{Proof, search};
use crate::setting::compromise::{GAP, RELATIVE_GAP, smallest_misalignment};
use crate::setting::shares::Shares;
use crate::swing::{SwingRange, WorstSwing, worst_over};
use crate::tolerance::{Window, WindowUse};

/// The price of a setting: what it uses where the readings were taken, and at worst over the swing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Price {
    /// Window use at ψ = 0.
    pub at_rest: WindowUse,
    /// The worst over the range, and where.
    pub over_swing: WorstSwing,
}

impl Price {
    /// The price of a setting, given by where each channel points.
    ///
    /// ```
    /// use solver::setting::Price;
    /// use solver::swing::SwingRange;
    /// use solver::{Direction, PerChannel, Window};
    /// let window = Window::new(45.0, 20.0, 15.0, None)?;
    /// let crossing = Direction::new(0.0, 30.0);
    /// let both = PerChannel { left: crossing, right: crossing };
    /// let price = Price::of(both, &window, SwingRange::new(-10.0, 10.0)?);
    /// // A crossing uses nothing where it was read; at 10° the eyes must diverge by 2·30·sin 10°.
    /// assert_eq!(price.at_rest.worst(), 0.0);
    /// assert!((price.over_swing.used.worst() - 60.0 * 0.173_648_177_7 / 20.0).abs() < 1e-9);
    /// # Ok::<(), solver::Error>(())
    /// ```
    #[must_use]
    pub fn of(points: PerChannel<Direction>, window: &Window, range: SwingRange) -> Self {
        Self {
            at_rest: window.used_by(points.left, points.right),
            over_swing: worst_over(points, window, range),
        }
    }
}

/// The best that two rings can do over a range of swing.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct SwingSetting {
    /// Where each channel points where the readings were taken.
    pub points: PerChannel<Direction>,
    /// What that costs, at rest and over the range.
    pub price: Price,
    /// No setting whatever has a worst over the range that is lower by more than this.
    pub gap: f64,
}

/// Finds the setting whose worst window use over a range of swing is smallest.
///
/// # Proof
/// As [`crate::setting::best_compromise`]: at every swing each share is the largest of linear functions
/// of (p_L, p_R), so the worst over the range is too, and mixtures of any finite number of them bound
/// it from below on a pair of arcs. Those taken are the ones that touch the worst share
/// of each kind at the middle of a cell: at the ends of the range and at stationary swings.
///
/// # Errors
/// As [`meet`]: circles whose numbers are not finite.
///
/// # Degenerate input
/// A range of one swing is a window use at that swing. Where window use is too large to be a number, the
/// smallest |m| where the readings were taken, with an infinite gap.
///
/// # Accuracy
/// As [`crate::setting::best_compromise`], with the same aim and the same number of cells.
pub fn best_over_swing(
    left: &OffsetCircle,
    right: &OffsetCircle,
    window: &Window,
    range: SwingRange,
) -> Result<SwingSetting, Error> {
    let met = meet(left, right, RELATION_TOLERANCE)?;
    let circles = PerChannel { left: *left, right: *right };
    let shares = Shares::new(window, Some(range));
    let mut best = Best::new(&shares);
    for crossing in met.crossings() {
        best.offer(PerChannel { left: crossing.point, right: crossing.point });
    }
    let aim = Proof { gap: GAP, relative: RELATIVE_GAP, floor: 0.0 };
    let mut gap = search(&shares, circles, &mut best, aim);
    let mut points = best.points;
    if !best.value.is_finite() {
        points = smallest_misalignment(&circles, &met).points;
        gap = f64::INFINITY;
    }
    Ok(SwingSetting { points, price: Price::of(points, window, range), gap })
}
