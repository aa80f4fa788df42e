//! How much of the field a picture takes.

use solver::{Channel, Direction};

use super::ways::PATH_OUTSIDE;
use super::{Field, window};
use crate::scene::Extent;

/// Readings, circles, ghosts' crossings and the window at the setting. While a setting is only being
/// tried its window is left out: the field must not move under the hand that drags.
pub(super) fn extent(field: &Field<'_>) -> Extent {
    let mut boxes: Vec<(Direction, Direction)> = Vec::new();
    for channel in Channel::BOTH {
        let fitted = field.fit(channel).filter(|fit| !fit.arc_too_short()).map(|fit| fit.circle);
        if let Some(circle) = fitted.or(field.circles[channel]) {
            let radius = circle.radius_arcmin;
            let reach = Direction::new(radius, radius) * PATH_OUTSIDE;
            boxes.push((circle.centre - reach, circle.centre + reach));
        }
    }
    boxes.extend(field.ghosts.iter().filter_map(|ghost| ghost.crossing).map(|at| (at, at)));
    if !field.trying {
        boxes.extend(window::corners(field));
    }
    if boxes.is_empty() && field.marks.is_empty() {
        return Extent::default();
    }
    let least = Direction::new(10.0, 10.0);
    boxes.push((least * -1.0, least));
    let marks = field.marks.iter().map(|mark| mark.reading.direction);
    Extent::around(marks.map(|at| (at, at)).chain(boxes))
}
