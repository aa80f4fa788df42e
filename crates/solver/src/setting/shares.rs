//! The shares of the window as functions of the two directions, at rest or over a swing, and the
//! linear functions that touch them from below.
//!
//! At a swing ψ the shares are m_x/divergence, −m_x/convergence, ±m_y/dipvergence, linear in
//! (p_L, p_R) with weights that ψ turns, and |b|/boresight, the largest over all unit n of n·b/boresight.
//! Window use, and the worst of it over a range of swing, is therefore the largest of a family of
//! linear functions; whichever of them is taken, it is nowhere above the worst share. Those taken
//! here touch the worst share of each kind: at the ends of the range and at stationary swings.

use crate::angle::rad_from_deg;
use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::setting::arms::Arms;
use crate::swing::{SwingRange, worst_over};
use crate::tolerance::Window;

/// A linear function of both directions: left·p_L + right·p_R.
pub(super) type Linear = PerChannel<Direction>;

fn scaled(linear: Linear, factor: f64) -> Linear {
    linear.map(|weights| weights * factor)
}

fn sum(a: Linear, b: Linear) -> Linear {
    PerChannel { left: a.left + b.left, right: a.right + b.right }
}

/// A function of the family at the place where it touches.
#[derive(Clone, Copy, Debug)]
pub(super) struct Touch {
    /// Its value there, arcminutes of the tightest limit.
    pub(super) value: f64,
    /// The function.
    pub(super) linear: Linear,
    /// The share itself is curved: a step (dp_L, dp_R) adds half the square of this function of it.
    pub(super) bend: Linear,
}

/// A swing as its sine and cosine.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Swing {
    sin: f64,
    cos: f64,
}

impl Swing {
    fn of_rad(rad: f64) -> Self {
        let (sin, cos) = rad.sin_cos();
        Self { sin, cos }
    }
}

/// One part of m, as (cos ψ) a·p + (sin ψ) b·p, and what a unit of it weighs either way.
struct ShareSide {
    with_cos: Linear,
    with_sin: Linear,
    positive: f64,
    negative: f64,
}

/// What a window makes of two directions, at rest or over a swing.
#[derive(Clone, Copy, Debug)]
pub(super) struct Shares<'a> {
    window: &'a Window,
    range: Option<SwingRange>,
    /// The tightest limit: values inside the search are in arcminutes of it, so that no limit,
    /// however small, makes them overflow.
    pub(super) unit_arcmin: f64,
    ends: [Swing; 2],
    middle: Swing,
    cos_half_width: f64,
}

const fn per_channel(left: Direction, right: Direction) -> Linear {
    PerChannel { left, right }
}

const X: Direction = Direction::new(1.0, 0.0);
const Y: Direction = Direction::new(0.0, 1.0);
const MINUS_X: Direction = Direction::new(-1.0, 0.0);
const MINUS_Y: Direction = Direction::new(0.0, -1.0);

impl<'a> Shares<'a> {
    pub(super) fn new(window: &'a Window, range: Option<SwingRange>) -> Self {
        let unit_arcmin = window
            .convergence_arcmin()
            .min(window.divergence_arcmin())
            .min(window.dipvergence_arcmin())
            .min(window.boresight_arcmin().unwrap_or(f64::INFINITY));
        let ends = range.map_or([0.0, 0.0], |range| {
            [rad_from_deg(range.low_deg()), rad_from_deg(range.high_deg())]
        });
        Self {
            window,
            range,
            unit_arcmin,
            ends: ends.map(Swing::of_rad),
            middle: Swing::of_rad(ends[0].midpoint(ends[1])),
            cos_half_width: (0.5 * (ends[1] - ends[0])).cos(),
        }
    }

    /// Window use, or the worst of it over the swing.
    pub(super) fn used(&self, points: PerChannel<Direction>) -> f64 {
        match self.range {
            None => self.window.used_by(points.left, points.right).worst(),
            Some(range) => worst_over(points, self.window, range).used.worst(),
        }
    }

    /// Whether there is any swing between the ends.
    fn swings(&self) -> bool {
        self.cos_half_width < 1.0
    }

    fn ends(&self) -> &[Swing] {
        if self.swings() { &self.ends } else { &self.ends[..1] }
    }

    fn is_within(&self, swing: Swing) -> bool {
        self.swings()
            && swing.cos * self.middle.cos + swing.sin * self.middle.sin >= self.cos_half_width
    }

    /// The parts of m: m_x = d_x cos ψ + s_y sin ψ, m_y = d_y cos ψ − s_x sin ψ, d the difference and
    /// s the sum of the directions.
    fn sides(&self) -> [ShareSide; 2] {
        let unit = self.unit_arcmin;
        let up = unit / self.window.dipvergence_arcmin();
        [
            ShareSide {
                with_cos: per_channel(MINUS_X, X),
                with_sin: per_channel(Y, Y),
                positive: unit / self.window.divergence_arcmin(),
                negative: unit / self.window.convergence_arcmin(),
            },
            ShareSide {
                with_cos: per_channel(MINUS_Y, Y),
                with_sin: per_channel(MINUS_X, MINUS_X),
                positive: up,
                negative: up,
            },
        ]
    }

    /// Finds the functions that touch at two directions, and the largest of their values, which is the
    /// worst share in arcminutes of the tightest limit.
    pub(super) fn touching(&self, points: PerChannel<Direction>, found: &mut Vec<Touch>) -> f64 {
        found.clear();
        for side in self.sides() {
            let (a, b) = (at(side.with_cos, points), at(side.with_sin, points));
            let mut touch = |swing: Swing, stationary: bool| {
                let value = a * swing.cos + b * swing.sin;
                let weight = if value >= 0.0 { side.positive } else { -side.negative };
                let linear =
                    sum(scaled(side.with_cos, swing.cos), scaled(side.with_sin, swing.sin));
                let bend = if stationary && value != 0.0 {
                    let across =
                        sum(scaled(side.with_cos, -swing.sin), scaled(side.with_sin, swing.cos));
                    scaled(across, (weight / value).sqrt())
                } else {
                    PerChannel::default()
                };
                found.push(Touch { value: value * weight, linear: scaled(linear, weight), bend });
            };
            for &swing in self.ends() {
                touch(swing, false);
            }
            // Stationary at the angle of (a, b), and half a turn from there.
            let length = a.hypot(b);
            if length > 0.0 {
                for size in [length, -length] {
                    let swing = Swing { sin: b / size, cos: a / size };
                    if self.is_within(swing) {
                        touch(swing, true);
                    }
                }
            }
        }
        if let Some(limit) = self.window.boresight_arcmin() {
            self.touching_boresight(points, 0.5 * self.unit_arcmin / limit, found);
        }
        found
            .iter()
            .fold(0.0, |worst, touch| if touch.value <= worst { worst } else { touch.value })
    }

    /// |p_L + p_R| times `weight`, at the ends and where it is largest: the swung sum is
    /// (s_x cos ψ + d_y sin ψ, s_y cos ψ − d_x sin ψ), its square A + B cos 2ψ + C sin 2ψ.
    fn touching_boresight(
        &self,
        points: PerChannel<Direction>,
        weight: f64,
        found: &mut Vec<Touch>,
    ) {
        let (s, d) = (points.right + points.left, points.right - points.left);
        let mut touch = |Swing { sin, cos }: Swing| {
            let swung = Direction::new(
                s.x_arcmin * cos + d.y_arcmin * sin,
                s.y_arcmin * cos - d.x_arcmin * sin,
            );
            let length = swung.boresight_arcmin();
            if length > 0.0 {
                let n = swung * (1.0 / length);
                let across = Direction::new(-n.y_arcmin, n.x_arcmin);
                // n·R(ψ)p = R(−ψ)n·p: the weights turn back by what the pods swing.
                let turned = |n: Direction, by: f64| PerChannel {
                    left: rotated(n, -sin, cos) * by,
                    right: rotated(n, sin, cos) * by,
                };
                found.push(Touch {
                    value: weight * length,
                    linear: turned(n, weight),
                    bend: turned(across, (weight / length).sqrt()),
                });
            }
        };
        for &swing in self.ends() {
            touch(swing);
        }
        if self.swings() {
            let cos2 = s.dot(s) - d.dot(d);
            let sin2 = 2.0 * (s.x_arcmin * d.y_arcmin - s.y_arcmin * d.x_arcmin);
            let peak = Swing::of_rad(0.5 * sin2.atan2(cos2));
            let opposite = Swing { sin: -peak.sin, cos: -peak.cos };
            // Half a turn on, the length is the same and so is the function.
            if self.is_within(peak) || self.is_within(opposite) {
                touch(peak);
            }
        }
    }
}

fn at(linear: Linear, points: PerChannel<Direction>) -> f64 {
    linear.left.dot(points.left) + linear.right.dot(points.right)
}

fn rotated(direction: Direction, sin: f64, cos: f64) -> Direction {
    Direction::new(
        cos * direction.x_arcmin - sin * direction.y_arcmin,
        sin * direction.x_arcmin + cos * direction.y_arcmin,
    )
}

/// A linear function seen from a pair of places on the circles: base + Σ (along cos δ + across sin δ)
/// for steps δ from there along each circle.
#[derive(Clone, Copy, Debug, Default)]
pub(super) struct Wave {
    pub(super) base: f64,
    pub(super) along: [f64; 2],
    pub(super) across: [f64; 2],
}

impl Wave {
    pub(super) fn of(linear: &Linear, circles: &PerChannel<OffsetCircle>, arms: &Arms) -> Self {
        let on = |channel: Channel| {
            let (weights, circle) = (linear[channel], &circles[channel]);
            let arm = arms[channel];
            let r = circle.radius_arcmin;
            let along = r * weights.dot(arm);
            let across = r * (weights.y_arcmin * arm.x_arcmin - weights.x_arcmin * arm.y_arcmin);
            (weights.dot(circle.centre), along, across)
        };
        let (left, right) = (on(Channel::Left), on(Channel::Right));
        Self { base: left.0 + right.0, along: [left.1, right.1], across: [left.2, right.2] }
    }

    pub(super) fn value(&self) -> f64 {
        self.base + self.along[0] + self.along[1]
    }

    /// Adds a share of another.
    pub(super) fn plus(self, other: &Self, factor: f64) -> Self {
        let add = |a: [f64; 2], b: [f64; 2]| [a[0] + factor * b[0], a[1] + factor * b[1]];
        Self {
            base: self.base + factor * other.base,
            along: add(self.along, other.along),
            across: add(self.across, other.across),
        }
    }
}
