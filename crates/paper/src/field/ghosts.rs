//! Circles that are not this round's, beneath everything else.

use solver::{Channel, Direction, Solution};

use super::{Field, Ghost};
use crate::scene::{Anchor, ItemId, Role, Scene, Shape};
use crate::words;

pub(super) fn draw(scene: &mut Scene, field: &Field<'_>) {
    // Ids count in a byte; nobody looks at more than a handful.
    for (index, ghost) in (0..u8::MAX).zip(field.ghosts) {
        for channel in Channel::BOTH {
            if let Some(circle) = ghost.circles[channel] {
                let (centre, radius_arcmin) = (circle.centre, circle.radius_arcmin);
                let words = format!(
                    "{}, {channel} circle: centre {}, radius {}",
                    ghost.label,
                    words::direction(centre),
                    words::arcmin(radius_arcmin)
                );
                let shape = Shape::Circle { centre, radius_arcmin };
                let id = ItemId::GhostCircle(index, channel);
                scene.push(id, Role::Ghost(channel), shape, words);
            }
        }
        if let Some(at) = ghost.crossing {
            let words = format!(
                "{}: meets at {}, {} from boresight",
                ghost.label,
                words::direction(at),
                words::arcmin(at.boresight_arcmin())
            );
            let id = ItemId::GhostCrossing(index);
            scene.push(id, Role::GhostCrossing, Shape::Marker { at }, words);
        }
        if let Some((at, anchor)) = label_place(ghost, field.solution) {
            let id = ItemId::GhostLabel(index);
            scene.label(id, Role::GhostCrossing, at, ghost.label.clone(), anchor);
        }
    }
}

/// On top of the circle that is farthest from this round's own: there it is told apart from it.
fn label_place(ghost: &Ghost, solution: Option<&Solution>) -> Option<(Direction, Anchor)> {
    let moved = |channel: Channel| {
        let own = solution?.fits[channel].as_ref().ok()?.circle;
        Some((ghost.circles[channel]?.centre - own.centre).boresight_arcmin())
    };
    let farther = match (moved(Channel::Left), moved(Channel::Right)) {
        (Some(left), Some(right)) if right > left => Channel::Right,
        _ => Channel::Left,
    };
    let circle = ghost.circles[farther].or(ghost.circles[farther.other()])?;
    Some((circle.centre + Direction::new(0.0, circle.radius_arcmin), Anchor::Above))
}
