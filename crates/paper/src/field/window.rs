//! Boresight and its limit, the tolerance window and its guard band.

use core::f64::consts::FRAC_PI_4;

use solver::{Channel, Direction, Window};

use super::Field;
use crate::scene::{Anchor, ItemId, ItemTold, Role, Scene, Shape};
use crate::words;

pub(super) fn limit_and_boresight(scene: &mut Scene, field: &Field<'_>) {
    if let Some(limit) = field.window.and_then(|window| window.boresight_arcmin()) {
        let text = format!("boresight limit {}", words::arcmin(limit));
        let shape = Shape::Circle { centre: Direction::BORESIGHT, radius_arcmin: limit };
        scene.push(ItemId::BoresightLimit, Role::Limit, shape, text.clone());
        scene.label(
            ItemId::BoresightLimitLabel,
            Role::Limit,
            quiet_place(limit, field),
            text,
            Anchor::Right,
        );
    }
    let safe =
        field.window.zip(field.swing).filter(|(_, swing)| swing.low_deg() < swing.high_deg());
    if let Some(radius) =
        safe.and_then(|(window, swing)| solver::swing::safe_radius_arcmin(&window, swing))
    {
        let told = format!(
            "swing-safe circle: what both channels share within {} of boresight stays inside over \
             the whole swing",
            words::arcmin(radius)
        );
        let shape = Shape::Circle { centre: Direction::BORESIGHT, radius_arcmin: radius };
        scene.push(ItemId::SwingSafe, Role::Limit, shape, told);
        let at = Direction::polar(radius, -3.0 * FRAC_PI_4);
        let text = format!("swing-safe {}", words::arcmin(radius));
        scene.label(ItemId::SwingSafeLabel, Role::Limit, at, text, Anchor::Below);
    }
    let shape = Shape::Marker { at: Direction::BORESIGHT };
    scene.push(ItemId::Boresight, Role::Boresight, shape, "boresight".to_owned());
}

/// The diagonal place on the limit whose words, which run to the right, come least near to circles,
/// crossings and the setting; lower right among equals.
fn quiet_place(limit_arcmin: f64, field: &Field<'_>) -> Direction {
    let meeting = field.solution.and_then(|solution| solution.meeting);
    let crossings = meeting.iter().flat_map(|met| met.crossings().map(|crossing| crossing.point));
    let setting = field.setting.iter().flat_map(|at| [at.points.left, at.points.right]);
    let busy: Vec<Direction> = crossings.chain(setting).collect();
    let circles: Vec<_> = Channel::BOTH.into_iter().filter_map(|of| field.fit(of)).collect();
    // The words reach about half the limit's radius to the right.
    let room = |at: Direction| {
        let along = [0.0, 0.25, 0.5].map(|part| at + Direction::new(part * limit_arcmin, 0.0));
        let near = |place: Direction| {
            let to_points = busy.iter().map(|other| other.distance_arcmin(place));
            let to_circles = circles.iter().map(|fit| fit.circle.off_circle_arcmin(place).abs());
            to_points.chain(to_circles).fold(f64::INFINITY, f64::min)
        };
        along.into_iter().map(near).fold(f64::INFINITY, f64::min)
    };
    let [low, high] = [-1.0, 1.0].map(|side| Direction::polar(limit_arcmin, side * FRAC_PI_4));
    if room(high) > room(low) { high } else { low }
}

/// The window round the left crosshair at the setting, or where confirm readings found it: the right
/// one may lie inside it.
pub(super) fn draw(scene: &mut Scene, field: &Field<'_>) {
    let Some((low, high)) = corners(field) else { return };
    let Some(window) = field.window else { return };
    let words = format!(
        "tolerance window round the left crosshair: the right one may lie {} to its left \
         (convergence), {} to its right (divergence), {} above or below",
        words::arcmin(window.convergence_arcmin()),
        words::arcmin(window.divergence_arcmin()),
        words::arcmin(window.dipvergence_arcmin()),
    );
    scene.push(ItemId::Window, Role::Window, rectangle(low, high), words);
    let Some([x, y]) = field.confirmed.map(|confirmed| confirmed.guard_arcmin) else { return };
    let guard = Direction::new(x, y);
    if x == 0.0 && y == 0.0 {
        return;
    }
    let (low, high) = (low + guard, high - guard);
    // Written so that what is not finite is not drawn; no room at all is told in words elsewhere.
    if low.x_arcmin < high.x_arcmin && low.y_arcmin < high.y_arcmin {
        let numbers = format!(
            "{} at either side and {} above and below; for the eye only",
            words::arcmin_fine(guard.x_arcmin),
            words::arcmin_fine(guard.y_arcmin)
        );
        let told = ItemTold::new("guard band".to_owned(), numbers);
        scene.push(ItemId::Guard, Role::Guard, rectangle(low, high), told);
    }
}

fn rectangle(low: Direction, high: Direction) -> Shape {
    let points = vec![
        low,
        Direction::new(high.x_arcmin, low.y_arcmin),
        high,
        Direction::new(low.x_arcmin, high.y_arcmin),
    ];
    Shape::Line { points, closed: true }
}

/// The lower left and upper right of the window as drawn.
pub(super) fn corners(field: &Field<'_>) -> Option<(Direction, Direction)> {
    let left = match field.confirmed {
        Some(confirmed) if !field.trying => confirmed.left,
        _ => field.setting?.points.left,
    };
    Some(corners_round(field.window?, left))
}

fn corners_round(window: Window, left: Direction) -> (Direction, Direction) {
    (
        left - Direction::new(window.convergence_arcmin(), window.dipvergence_arcmin()),
        left + Direction::new(window.divergence_arcmin(), window.dipvergence_arcmin()),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The window box reaches farther to the side where the eyes would have to converge when that
    /// limit is the looser: the right crosshair may lie left of the left one by 45′.
    #[test]
    fn window_box_is_drawn_round_the_left_crosshair() -> Result<(), solver::Error> {
        let window = Window::new(45.0, 20.0, 15.0, None)?;
        let (low, high) = corners_round(window, Direction::new(1.0, 2.0));
        assert_eq!((low.x_arcmin, low.y_arcmin), (-44.0, -13.0));
        assert_eq!((high.x_arcmin, high.y_arcmin), (21.0, 17.0));
        Ok(())
    }
}
