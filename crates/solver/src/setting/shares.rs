//! The shares of the window as functions of the two places, with exact bounds over arcs.
//!
//! Window use is the largest of up to five shares. Four are linear in (p_L, p_R): m_x/divergence,
//! −m_x/convergence, ±m_y/dipvergence. The fifth, |b|/boresight with b = (p_L + p_R)/2, is the
//! largest of n·b/boresight over all unit n, so one n gives a linear lower bound. A linear
//! function of a point on an arc is a cosine, whose least value on an interval is known exactly.

use core::f64::consts::PI;

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::tolerance::Window;

/// A linear function of both directions: left·p_L + right·p_R.
#[derive(Clone, Copy, Debug)]
pub(super) struct Linear {
    pub(super) left: Direction,
    pub(super) right: Direction,
}

/// Both circles and the window, ready to be asked.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shares {
    pub(super) circles: PerChannel<OffsetCircle>,
    linear: [Linear; 4],
    /// 1/(2·boresight limit), or 0 without one.
    half_per_boresight: f64,
}

/// How many shares there are; the last is the boresight's.
pub(super) const COUNT: usize = 5;
/// The boresight's share.
pub(super) const BORESIGHT: usize = 4;

impl Shares {
    pub(super) fn new(circles: PerChannel<OffsetCircle>, window: &Window) -> Self {
        let of_m = |direction: Direction| Linear { left: direction * -1.0, right: direction };
        Self {
            circles,
            linear: [
                of_m(Direction::new(1.0 / window.divergence_arcmin(), 0.0)),
                of_m(Direction::new(-1.0 / window.convergence_arcmin(), 0.0)),
                of_m(Direction::new(0.0, 1.0 / window.dipvergence_arcmin())),
                of_m(Direction::new(0.0, -1.0 / window.dipvergence_arcmin())),
            ],
            half_per_boresight: window.boresight_arcmin().map_or(0.0, |limit| 0.5 / limit),
        }
    }

    /// The two places' directions.
    pub(super) fn points(&self, at: [f64; 2]) -> PerChannel<Direction> {
        let place = |circle: &OffsetCircle, angle| {
            circle.centre + Direction::polar(circle.radius_arcmin, angle)
        };
        PerChannel {
            left: place(&self.circles.left, at[0]),
            right: place(&self.circles.right, at[1]),
        }
    }

    /// Every share at two places.
    pub(super) fn at(&self, at: [f64; 2]) -> [f64; COUNT] {
        let PerChannel { left, right } = self.points(at);
        let mut shares = [0.0; COUNT];
        for (share, linear) in shares.iter_mut().zip(&self.linear) {
            *share = linear.left.dot(left) + linear.right.dot(right);
        }
        shares[BORESIGHT] = (left + right).boresight_arcmin() * self.half_per_boresight;
        shares
    }

    /// Window use at two places.
    pub(super) fn worst(&self, at: [f64; 2]) -> f64 {
        self.at(at).into_iter().fold(0.0, f64::max)
    }

    /// The linear function that touches a share at two places: the share itself, or for the
    /// boresight's the one along the present b.
    pub(super) fn tangent(&self, share: usize, at: [f64; 2]) -> Linear {
        if let Some(linear) = self.linear.get(share) {
            return *linear;
        }
        let PerChannel { left, right } = self.points(at);
        let sum = left + right;
        let length = sum.boresight_arcmin();
        let along = if length > 0.0 { sum * (self.half_per_boresight / length) } else { sum * 0.0 };
        Linear { left: along, right: along }
    }

    /// A lower bound of window use for places within `half` (radians) of `at`, exact for each
    /// share by itself.
    pub(super) fn bound(&self, at: [f64; 2], half: f64) -> f64 {
        let mut bound = 0.0_f64;
        for share in 0..COUNT {
            let linear = self.tangent(share, at);
            let least = self.least_on_arc(&self.circles.left, linear.left, at[0], half)
                + self.least_on_arc(&self.circles.right, linear.right, at[1], half);
            bound = bound.max(least);
        }
        bound
    }

    /// The least value of `weights`·p on an arc.
    fn least_on_arc(
        &self,
        circle: &OffsetCircle,
        weights: Direction,
        middle: f64,
        half: f64,
    ) -> f64 {
        let base = weights.dot(circle.centre);
        let size = weights.boresight_arcmin() * circle.radius_arcmin;
        if size == 0.0 {
            return base;
        }
        // The cosine is least as near as the arc comes to the side opposite the weights.
        let off = (middle - weights.angle_rad() - PI).sin_cos();
        let away = off.0.atan2(off.1).abs() - half;
        base - size * away.max(0.0).cos()
    }
}
