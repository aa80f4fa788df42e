//! The best setting found so far, with ties decided.

use core::cmp::Ordering;

use crate::channel::PerChannel;
use crate::direction::{Direction, Misalignment};
use crate::setting::shares::Shares;

/// Values closer than this are ties: smaller |m| decides, then nearer boresight.
const TIE: f64 = 1e-9;

/// The best setting so far.
pub(super) struct Best<'a> {
    shares: &'a Shares<'a>,
    pub(super) points: PerChannel<Direction>,
    /// Worst share there.
    pub(super) value: f64,
    /// The same in arcminutes of the tightest limit.
    pub(super) value_arcmin: f64,
}

impl<'a> Best<'a> {
    pub(super) fn new(shares: &'a Shares<'a>) -> Self {
        Self {
            shares,
            points: PerChannel::default(),
            value: f64::INFINITY,
            value_arcmin: f64::INFINITY,
        }
    }

    pub(super) fn offer(&mut self, points: PerChannel<Direction>) {
        let value = self.shares.used(points);
        let better = if (value - self.value).abs() <= TIE {
            ties(points, self.points) == Ordering::Less
        } else {
            value < self.value
        };
        let numbers = points.left.is_finite() && points.right.is_finite() && value.is_finite();
        if better && numbers {
            (self.points, self.value) = (points, value);
            self.value_arcmin = value * self.shares.unit_arcmin;
        }
    }
}

/// Smaller |m| first, then nearer boresight, each to 1e-9.
fn ties(a: PerChannel<Direction>, b: PerChannel<Direction>) -> Ordering {
    let apart = |points: PerChannel<Direction>| {
        Misalignment::between(points.left, points.right).length_arcmin()
    };
    let away =
        |points: PerChannel<Direction>| points.left.midpoint(points.right).boresight_arcmin();
    let compared = |a: f64, b: f64| {
        if (a - b).abs() <= TIE { Ordering::Equal } else { a.total_cmp(&b) }
    };
    compared(apart(a), apart(b)).then(compared(away(a), away(b)))
}
