//! The least use of the window's box, and of its boresight limit, each by itself, in closed form.
//!
//! The m that two rings can reach fill the annulus |r_L − r_R| ≤ |m − (c_R − c_L)| ≤ r_L + r_R. The m
//! that use the box by no more than t fill the box t times as large. Where m = 0 lies outside the
//! annulus, the least t is that at which the growing box first touches it: from outside the outer circle
//! with a face or a corner, from inside the inner circle with a corner. Either way both arms
//! then lie along one line, which gives the two directions. Likewise p_L + p_R fills an annulus about
//! c_L + c_R, whose least distance from 0 is the least use of the boresight limit.

use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::tolerance::Window;

/// Where the growing box may first touch the annulus: lower bounds are for the box alone.
pub(super) struct Touching {
    /// No setting uses less of the box.
    pub(super) least: f64,
    /// Settings that may reach it: those of one corner or face, or of several that tie.
    pub(super) points: [PerChannel<Direction>; 4],
}

/// Finds it for circles that do not meet; `separate` when each lies outside the other.
pub(super) fn least_box_use(
    circles: &PerChannel<OffsetCircle>,
    window: &Window,
    separate: bool,
) -> Touching {
    let between = circles.right.centre - circles.left.centre;
    let (r, s) = (circles.left.radius_arcmin, circles.right.radius_arcmin);
    if separate {
        let (least, m) = from_outside(between, r + s, window);
        // p_R − p_L = between + s e_R − r e_L with e_R = −e_L along m − between.
        let e = unit_or_up(m - between);
        let points =
            PerChannel { left: circles.left.centre - e * r, right: circles.right.centre + e * s };
        Touching { least, points: [points; 4] }
    } else {
        let corners = from_inside(between, (r - s).abs(), window);
        let least = corners.iter().map(|corner| corner.0).fold(f64::INFINITY, f64::min);
        let points = corners.map(|(_, m)| {
            // m − between = (s − r) e with both arms along e.
            let e = unit_or_up((m - between) * if s >= r { 1.0 } else { -1.0 });
            PerChannel { left: circles.left.centre + e * r, right: circles.right.centre + e * s }
        });
        Touching { least, points }
    }
}

/// No setting uses less of the boresight limit; settings that use no more of it, with the arms along the
/// line through both centres' sum, or where that is no line through their difference.
pub(super) fn least_boresight_use(
    circles: &PerChannel<OffsetCircle>,
    limit_arcmin: f64,
) -> (f64, [PerChannel<Direction>; 2]) {
    let PerChannel { left, right } = circles;
    let both = left.centre + right.centre;
    let (d, r, s) = (both.boresight_arcmin(), left.radius_arcmin, right.radius_arcmin);
    let [outside, inside] = [d - (r + s), (r - s).abs() - d];
    let least = 0.5 * outside.max(inside).max(0.0) / limit_arcmin;
    // The sum is both + r e_L + s e_R: against it from outside, the larger against the smaller inside.
    let toward = |e: Direction| {
        let (by_left, by_right) = if outside >= inside {
            (-r, -s)
        } else if r >= s {
            (-r, s)
        } else {
            (r, -s)
        };
        PerChannel { left: left.centre + e * by_left, right: right.centre + e * by_right }
    };
    let e = [both, right.centre - left.centre]
        .map(unit)
        .into_iter()
        .find(|e| e.is_finite())
        .unwrap_or(Direction::new(0.0, 1.0));
    // Where the sum of centres is no line, either way along the difference may be the better.
    (least, [toward(e), toward(e * -1.0)])
}

/// Along a direction; up where it has no length, as between circles of radius zero.
fn unit_or_up(direction: Direction) -> Direction {
    Some(unit(direction)).filter(|e| e.is_finite()).unwrap_or(Direction::new(0.0, 1.0))
}

fn unit(direction: Direction) -> Direction {
    direction * (1.0 / direction.boresight_arcmin())
}

/// The disc about `centre` does not hold 0: the least t and the m where t times the box touches it.
fn from_outside(centre: Direction, radius: f64, window: &Window) -> (f64, Direction) {
    let right = centre.x_arcmin >= 0.0;
    let side = if right { window.divergence_arcmin() } else { window.convergence_arcmin() };
    let up = window.dipvergence_arcmin();
    let (x, y) = (centre.x_arcmin.abs(), centre.y_arcmin.abs());
    let (by_side, by_height) = ((x - radius) / side, (y - radius) / up);
    let (least, m) = if by_side > 0.0 && y <= by_side * up {
        (by_side, Direction::new(x - radius, y))
    } else if by_height > 0.0 && x <= by_height * side {
        (by_height, Direction::new(x, y - radius))
    } else {
        // (x − t side)² + (y − t up)² = radius², the smaller t; |c × k| is the distance of the
        // corner's ray from the centre, times |k|.
        let (dot, cross) = (x * side + y * up, x * up - y * side);
        let size2 = side * side + up * up;
        let root = (radius * radius * size2 - cross * cross).max(0.0).sqrt();
        let t = (x.hypot(y) - radius) * (x.hypot(y) + radius) / (dot + root);
        (t, Direction::new(t * side, t * up))
    };
    let sign = |value: f64, of: f64| if of >= 0.0 { value } else { -value };
    (least, Direction::new(sign(m.x_arcmin, centre.x_arcmin), sign(m.y_arcmin, centre.y_arcmin)))
}

/// The disc about `centre` holds 0: for each corner of the box the t at which it leaves the disc.
fn from_inside(centre: Direction, radius: f64, window: &Window) -> [(f64, Direction); 4] {
    let up = window.dipvergence_arcmin();
    [
        (window.divergence_arcmin(), up),
        (window.divergence_arcmin(), -up),
        (-window.convergence_arcmin(), up),
        (-window.convergence_arcmin(), -up),
    ]
    .map(|(x, y)| {
        // |t k − c| = radius, the larger t.
        let k = Direction::new(x, y);
        let (dot, size2) = (k.dot(centre), k.dot(k));
        let away = centre.boresight_arcmin();
        let inside = (radius - away) * (radius + away);
        let root = (dot * dot + size2 * inside).max(0.0).sqrt();
        let t = if dot > 0.0 { (dot + root) / size2 } else { inside / (root - dot) };
        (t, k * t)
    })
}
