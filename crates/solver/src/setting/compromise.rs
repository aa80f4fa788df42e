//! The best compromise: the smallest window use over both rings, and the proof.

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::{Direction, Misalignment};
use crate::error::Error;
use crate::meet::{Meeting, RELATION_TOLERANCE, Relation, meet};
use crate::setting::annulus::{least_boresight_use, least_box_use};
use crate::setting::best::Best;
use crate::setting::cells::{Proof, search};
use crate::setting::shares::Shares;
use crate::tolerance::Window;

/// The best that two rings can do.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compromise {
    /// Where each channel points.
    pub points: PerChannel<Direction>,
    /// Window use there; without a window |m| in arcminutes.
    pub value: f64,
    /// No setting whatever is better than `value` by more than this.
    pub gap: f64,
}

/// The search ends when no setting can be better by more than this share of the window.
pub(super) const GAP: f64 = 1e-8;
/// The same as a share of the use, for circles that lie far out of any window.
pub(super) const RELATIVE_GAP: f64 = 1e-9;

/// Finds the smallest window use over both rings; without a window the smallest |m|.
///
/// # Proof
/// Without a boresight limit, use depends on m alone, and m fills an annulus: the least use is where
/// the growing box first touches it, in closed form. With one, the least use of the box and of the
/// boresight limit, each by itself, are lower bounds in closed form; and every setting lies in a cell
/// of a partition of (place on the left circle, place on the right). A cell's bound is the least
/// value on it of a mixture of linear functions none of which is anywhere above window use: the least of
/// a cosine on each arc, which is exact. So nothing in a cell is below its bound. The cell with the
/// lowest bound is halved until no bound is lower than the best setting found by more than `gap`; the best
/// setting is therefore within `gap` of the global minimum. Local search only ever supplies
/// settings, never bounds.
///
/// # Errors
/// As [`meet`]: circles whose numbers are not finite.
///
/// # Degenerate input
/// Circles of radius zero are points. Among ties the smaller |m|, then the nearer to boresight. Where
/// window use is too large to be a number, the smallest |m|, with an infinite value and gap.
///
/// # Accuracy
/// The setting is a stationary point to rounding; `gap` says how surely it is the lowest: at most
/// 1e-8, or 1e-9 of the use where that is more, unless the search was cut short (2,000 cells; a
/// hundred are usual).
pub fn best_compromise(
    left: &OffsetCircle,
    right: &OffsetCircle,
    window: Option<&Window>,
) -> Result<Compromise, Error> {
    let met = meet(left, right, RELATION_TOLERANCE)?;
    let circles = PerChannel { left: *left, right: *right };
    let Some(window) = window else {
        return Ok(smallest_misalignment(&circles, &met));
    };
    let shares = Shares::new(window, None);
    let mut best = Best::new(&shares);
    for crossing in met.crossings() {
        best.offer(PerChannel { left: crossing.point, right: crossing.point });
    }
    let mut floor = 0.0;
    if met.crossings().next().is_none() {
        let touching = least_box_use(&circles, window, met.relation == Relation::Separate);
        touching.points.iter().for_each(|&points| best.offer(points));
        floor = touching.least;
    }
    if let Some(limit) = window.boresight_arcmin() {
        let (least, points) = least_boresight_use(&circles, limit);
        points.iter().for_each(|&points| best.offer(points));
        floor = least.max(floor);
    }
    // A hair less: closed forms are rounded too.
    let floor = if floor.is_finite() { floor * (1.0 - 1e-14) } else { 0.0 };
    let gap = if window.boresight_arcmin().is_none() && best.value.is_finite() {
        // Both shares are zero at a crossing, and none is ever less.
        (best.value - floor).max(0.0)
    } else {
        search(&shares, circles, &mut best, Proof { gap: GAP, relative: RELATIVE_GAP, floor })
    };
    if !best.value.is_finite() {
        let Compromise { points, .. } = smallest_misalignment(&circles, &met);
        return Ok(Compromise { points, value: f64::INFINITY, gap: f64::INFINITY });
    }
    Ok(Compromise { points: best.points, value: best.value, gap })
}

/// The smallest |m|: zero at a crossing, else along the line of centres.
pub(super) fn smallest_misalignment(
    &PerChannel { left, right }: &PerChannel<OffsetCircle>,
    met: &Meeting,
) -> Compromise {
    if let Some(crossing) = met.nearest() {
        let points = PerChannel { left: crossing.point, right: crossing.point };
        return Compromise { points, value: 0.0, gap: 0.0 };
    }
    let between = right.centre - left.centre;
    let d = between.boresight_arcmin();
    // From the left centre towards the right one; concentric circles may choose, and choose the
    // way that comes nearest to boresight.
    // Centres a subnormal apart have no direction that can be divided out: they share a place.
    let along = if (1.0 / d).is_finite() {
        between * (1.0 / d)
    } else {
        let away = left.centre.boresight_arcmin();
        if (1.0 / away).is_finite() {
            left.centre * (-1.0 / away)
        } else {
            Direction::new(0.0, 1.0)
        }
    };
    let (r, s) = (left.radius_arcmin, right.radius_arcmin);
    // Separate: both face each other. One inside the other: both on the side where the inner
    // circle comes nearest to the outer.
    let (to_left, to_right) = if d >= r + s {
        (along, along * -1.0)
    } else if r >= s {
        (along, along)
    } else {
        (along * -1.0, along * -1.0)
    };
    let points = PerChannel { left: left.centre + to_left * r, right: right.centre + to_right * s };
    let value = Misalignment::between(points.left, points.right).length_arcmin();
    Compromise { points, value, gap: 0.0 }
}
