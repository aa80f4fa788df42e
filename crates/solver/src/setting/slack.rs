//! How far the rings may slip from a setting before the window is left.

use core::f64::consts::TAU;

use crate::angle::{deg_from_rad, rad_from_deg};
use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::tolerance::Window;

/// How far rings may slip, degrees, all ≥ 0.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Slack {
    /// Each ring alone, the other staying.
    pub alone: PerChannel<RingSlack>,
    /// The largest δ with the window kept for every pair of slips within ±δ; 180 when nothing
    /// leaves it.
    pub together_deg: f64,
}

/// How far one ring alone may slip each way, degrees; `None`: all the way round.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingSlack {
    /// Clockwise, looking into the eyepiece.
    pub clockwise_deg: Option<f64>,
    /// Counter-clockwise.
    pub counter_deg: Option<f64>,
}

/// The slack at a setting given by where each channel points, on its circle.
///
/// Exact: with one ring moving, each share of the window is a + b cos(angle), so the slip at which
/// it reaches 1 has a closed form. With both moving within ±δ, the largest value of each linear
/// share is the sum of two such maxima, and the largest |b| lies at a corner of the square of
/// slips, at a stationary point of one of its edges, or at the one inside; it grows with δ, so δ
/// is found by halving to 1e-12 rad.
///
/// Where a ring's sense is not known it is taken to run *with*.
///
/// # Degenerate input
/// `None` when the setting is outside the window: there is nothing to lose. A circle of radius
/// zero may slip all the way round.
#[must_use]
pub fn slack(
    circles: PerChannel<&OffsetCircle>,
    points: PerChannel<Direction>,
    window: &Window,
) -> Option<Slack> {
    // At a compromise a share may stand at 1 to rounding: that is still inside.
    if window.used_by(points.left, points.right).worst() > 1.0 + 1e-12 {
        return None;
    }
    let alone = PerChannel::from_fn(|channel| {
        let counter_deg = slip(circles, points, window, channel, 1.0);
        let clockwise_deg = slip(circles, points, window, channel, -1.0);
        // Seen by the user, a crosshair that runs with its ring goes clockwise when the ring does.
        let with = circles[channel].phase.is_none_or(|phase| phase.sense.sign() > 0.0);
        if with {
            RingSlack { clockwise_deg, counter_deg }
        } else {
            RingSlack { clockwise_deg: counter_deg, counter_deg: clockwise_deg }
        }
    });
    Some(Slack { alone, together_deg: together_deg(circles, points, window) })
}

/// The shares as linear functions of the two directions (weights of left and right), and the
/// boresight limit.
fn linear_shares(window: &Window) -> [(Direction, Direction); 4] {
    let of_m = |direction: Direction| (direction * -1.0, direction);
    [
        of_m(Direction::new(1.0 / window.divergence_arcmin(), 0.0)),
        of_m(Direction::new(-1.0 / window.convergence_arcmin(), 0.0)),
        of_m(Direction::new(0.0, 1.0 / window.dipvergence_arcmin())),
        of_m(Direction::new(0.0, -1.0 / window.dipvergence_arcmin())),
    ]
}

/// The first slip of one crosshair along its circle (`way` +1 counter-clockwise) at which some
/// share reaches 1, degrees.
fn slip(
    circles: PerChannel<&OffsetCircle>,
    points: PerChannel<Direction>,
    window: &Window,
    channel: Channel,
    way: f64,
) -> Option<f64> {
    let circle = circles[channel];
    let now_rad = (points[channel] - circle.centre).angle_rad();
    let other = points[channel.other()];
    let r = circle.radius_arcmin;
    let mut first: Option<f64> = None;
    let mut consider = |constant: f64, size: f64, peak_rad: f64, limit: f64| {
        // constant + size cos(angle − peak) = limit, size > 0: it is crossed upwards where the
        // angle comes towards the peak.
        let cosine = (limit - constant) / size;
        if !(-1.0..1.0).contains(&cosine) {
            return;
        }
        let rising_rad = peak_rad - way * cosine.acos();
        let slip = (way * (rising_rad - now_rad)).rem_euclid(TAU);
        // Already at the limit to rounding, and on the way out: no slack on this side.
        let slip = if TAU - slip < 1e-9 { 0.0 } else { slip };
        if first.is_none_or(|known| slip < known) {
            first = Some(slip);
        }
    };
    for (left, right) in linear_shares(window) {
        let (own, others) = match channel {
            Channel::Left => (left, right),
            Channel::Right => (right, left),
        };
        let constant = own.dot(circle.centre) + others.dot(other);
        let size = own.boresight_arcmin() * r;
        if size > 0.0 {
            consider(constant, size, own.angle_rad(), 1.0);
        }
    }
    if let Some(limit) = window.boresight_arcmin() {
        // |p + q|² = |c + q|² + r² + 2 r |c + q| cos(angle − arg(c + q)) against (2 limit)².
        let rest = circle.centre + other;
        let size = 2.0 * r * rest.boresight_arcmin();
        if size > 0.0 {
            consider(rest.dot(rest) + r * r, size, rest.angle_rad(), 4.0 * limit * limit);
        }
    }
    first.map(deg_from_rad)
}

fn together_deg(
    circles: PerChannel<&OffsetCircle>,
    points: PerChannel<Direction>,
    window: &Window,
) -> f64 {
    let now = PerChannel::from_fn(|channel: Channel| {
        (points[channel] - circles[channel].centre).angle_rad()
    });
    let keeps = |half: f64| {
        let linear = linear_shares(window).into_iter().all(|(left, right)| {
            most_on_arc(circles.left, left, now.left, half)
                + most_on_arc(circles.right, right, now.right, half)
                <= 1.0
        });
        linear
            && window
                .boresight_arcmin()
                .is_none_or(|limit| longest_sum(circles, now, half) <= 2.0 * limit)
    };
    let (mut inside, mut outside) = (0.0, rad_from_deg(180.0));
    if keeps(outside) {
        return 180.0;
    }
    // 60 halvings of π end below 1e-17.
    for _ in 0..60 {
        let middle = f64::midpoint(inside, outside);
        if keeps(middle) { inside = middle } else { outside = middle }
    }
    deg_from_rad(inside)
}

/// The largest value of weights·p on an arc.
fn most_on_arc(circle: &OffsetCircle, weights: Direction, middle: f64, half: f64) -> f64 {
    let size = weights.boresight_arcmin() * circle.radius_arcmin;
    let (sin, cos) = (middle - weights.angle_rad()).sin_cos();
    let away = (sin.atan2(cos).abs() - half).max(0.0);
    weights.dot(circle.centre) + size * away.cos()
}

/// The largest |p_L + p_R| with both within `half` of `now`.
fn longest_sum(circles: PerChannel<&OffsetCircle>, now: PerChannel<f64>, half: f64) -> f64 {
    let place = |channel: Channel, angle: f64| {
        circles[channel].centre + Direction::polar(circles[channel].radius_arcmin, angle)
    };
    let within = |channel: Channel, angle: f64| {
        let (sin, cos) = (angle - now[channel]).sin_cos();
        sin.atan2(cos).abs() <= half
    };
    let both = circles.left.centre + circles.right.centre;
    let mut longest = 0.0_f64;
    let mut consider = |left: Direction, right: Direction| {
        longest = longest.max((left + right).boresight_arcmin());
    };
    // Inside: both along c_L + c_R.
    let along = both.angle_rad();
    if Channel::BOTH.iter().all(|&channel| within(channel, along)) {
        consider(place(Channel::Left, along), place(Channel::Right, along));
    }
    for side in [-half, half] {
        for other_side in [-half, half] {
            consider(
                place(Channel::Left, now.left + side),
                place(Channel::Right, now.right + other_side),
            );
        }
        // An edge: one at its end, the other along what is left.
        for fixed in Channel::BOTH {
            let held = place(fixed, now[fixed] + side);
            let free = fixed.other();
            let angle = (held + circles[free].centre).angle_rad();
            if within(free, angle) {
                consider(held, place(free, angle));
            }
        }
    }
    longest
}
