//! A look at a pair of circles: bounds of where they meet nearest and of what that uses, in a few
//! dozen operations.
//!
//! Both channels at X split by m = 2 sin ψ (y, −x), and their middle is |X| cos ψ away. Over a range
//! every share at X is therefore a constant times |x|, |y| or |X|: no swing has to be tried.
//!
//! With d = c_R − c_L, circles of radius r and s meet at c_L + a d ± h d⊥, a = (1 + (r² − s²)/d²)/2,
//! h² = r²/d² − a². This plain form is exact to 1e-9 of the radii unless the circles graze each other
//! (h² below 1e-6 of r²/d²) or nearly share a centre; there no bound is offered.

use core::f64::consts::{FRAC_PI_2, PI};

use crate::angle::rad_from_deg;
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::swing::SwingRange;
use crate::tolerance::Window;

/// Lower bounds of a plan's score and of its crossing's distance from boresight.
#[derive(Clone, Copy, Debug)]
pub(crate) struct AtLeast {
    pub(crate) score: f64,
    pub(crate) away: f64,
}

/// What a shared direction uses of a window over a range of swing, share by share.
#[derive(Clone, Copy, Debug)]
pub(crate) struct SharedUse {
    /// Per arcminute above boresight.
    above: f64,
    /// Per arcminute below it.
    below: f64,
    /// Per arcminute to either side.
    beside: f64,
    /// Per arcminute from boresight.
    away: f64,
}

impl SharedUse {
    pub(crate) fn new(window: &Window, range: Option<SwingRange>) -> Self {
        let [low, high] =
            range.map_or([0.0, 0.0], |range| [range.low_deg(), range.high_deg()]).map(rad_from_deg);
        let holds = |rad: f64| low <= rad && rad <= high;
        let most_sin = if holds(FRAC_PI_2) { 1.0 } else { low.sin().max(high.sin()) };
        let least_sin = if holds(-FRAC_PI_2) { -1.0 } else { low.sin().min(high.sin()) };
        let straight = [-PI, 0.0, PI].into_iter().any(holds);
        let most_cos = if straight { 1.0 } else { low.cos().abs().max(high.cos().abs()) };
        let (out, inward) = (2.0 / window.divergence_arcmin(), 2.0 / window.convergence_arcmin());
        Self {
            above: (most_sin * out).max(-least_sin * inward).max(0.0),
            below: (-least_sin * out).max(most_sin * inward).max(0.0),
            beside: 2.0 * most_sin.max(-least_sin) / window.dipvergence_arcmin(),
            away: window.boresight_arcmin().map_or(0.0, |limit| most_cos / limit),
        }
    }

    /// The worst use of a shared direction, to rounding.
    pub(crate) fn score(&self, shared: Direction) -> f64 {
        let Direction { x_arcmin: x, y_arcmin: y } = shared;
        let up = if y >= 0.0 { y * self.above } else { -y * self.below };
        up.max(x.abs() * self.beside).max(self.away * (x * x + y * y).sqrt())
    }

    /// The most that any share uses per arcminute.
    fn steepest(&self) -> f64 {
        self.above.max(self.below).max(self.beside) + self.away
    }

    /// Bounds for the nearest crossing of two circles; `None` where a closer look is needed.
    pub(crate) fn at_least(&self, left: &OffsetCircle, right: &OffsetCircle) -> Option<AtLeast> {
        let d = right.centre - left.centre;
        let d2 = d.dot(d);
        let (r, s) = (left.radius_arcmin, right.radius_arcmin);
        let along = 0.5 * (1.0 + (r - s) * (r + s) / d2);
        let reach = r * r / d2;
        let h2 = reach - along * along;
        let larger = r.max(s);
        // Comparisons with what is no number fail as well.
        if !(h2 > 1e-6 * reach && d2 > 1e-6 * larger * larger) {
            return None;
        }
        let h = h2.sqrt();
        let foot = left.centre + d * along;
        let across = Direction::new(-d.y_arcmin, d.x_arcmin) * h;
        let side = foot.dot(across);
        let slack = 1e-8 * (r + s) + 1e-12 * (foot.dot(foot)).sqrt();
        let nearer = if side > 0.0 { foot - across } else { foot + across };
        let mut score = self.score(nearer);
        let away = nearer.dot(nearer).sqrt();
        // Equally near: either may be taken.
        if side.abs() <= 1e-6 * larger * (away + slack) {
            score = score.min(self.score(if side > 0.0 { foot + across } else { foot - across }));
        }
        Some(AtLeast { score: score - slack * self.steepest(), away: away - slack })
    }
}
