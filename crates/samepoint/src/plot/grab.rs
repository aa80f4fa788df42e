//! The handles on both circles, by which a setting is tried.

use egui::Pos2;
use egui_plot::PlotTransform;
use solver::{Channel, Direction};

use super::hit::FINGER_PT;
use super::paint::place;

/// Where one channel's crosshair would go, on its circle: to be dragged round it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Handle {
    /// Whose.
    pub channel: Channel,
    /// Where.
    pub at: Direction,
    /// The circle's centre.
    pub centre: Direction,
}

/// What a drag holds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) enum Grab {
    /// Handles that lie on each other: the way the hand goes tells which.
    Undecided(Direction),
    /// One channel's.
    Of(Channel),
}

/// A drag has to be this long before it tells which handle is meant, points.
const TELLING_PT: f32 = 5.0;

fn near<'a>(
    handles: &'a [Handle],
    transform: &'a PlotTransform,
    at: Pos2,
) -> impl Iterator<Item = (f32, &'a Handle)> {
    handles.iter().filter_map(move |handle| {
        let apart = place(transform, handle.at)?.distance(at);
        (apart <= FINGER_PT).then_some((apart, handle))
    })
}

/// What a press at a place takes hold of.
pub(super) fn taken(handles: &[Handle], transform: &PlotTransform, at: Pos2) -> Option<Grab> {
    let mut found: Vec<_> = near(handles, transform, at).collect();
    found.sort_by(|a, b| a.0.total_cmp(&b.0));
    match *found {
        [] => None,
        [(_, only)] => Some(Grab::Of(only.channel)),
        [(near, first), (far, _), ..] if far - near > FINGER_PT / 2.0 => {
            Some(Grab::Of(first.channel))
        }
        [(_, first), ..] => Some(Grab::Undecided(first.at)),
    }
}

impl Grab {
    /// Whose handle it is, once the drag from the press to here tells.
    pub(super) fn decided(self, handles: &[Handle], by: egui::Vec2) -> Option<Channel> {
        match self {
            Self::Of(channel) => Some(channel),
            Self::Undecided(_) if by.length() < TELLING_PT => None,
            Self::Undecided(_) => {
                // Screen y runs down.
                let way = Direction::new(f64::from(by.x), -f64::from(by.y));
                handles
                    .iter()
                    .map(|handle| (handle.channel, along(handle, way)))
                    .max_by(|a, b| a.1.total_cmp(&b.1))
                    .map(|(channel, _)| channel)
            }
        }
    }
}

/// How much of a way runs along a handle's circle, not out of it.
fn along(handle: &Handle, way: Direction) -> f64 {
    let outward = handle.at - handle.centre;
    let across = outward.x_arcmin * way.y_arcmin - outward.y_arcmin * way.x_arcmin;
    across.abs() / outward.boresight_arcmin().max(f64::MIN_POSITIVE)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Circles that cross at right angles: a drag to the side goes round the one whose centre is
    /// below, a drag upwards round the one whose centre is beside.
    #[test]
    fn the_way_of_the_drag_tells_whose_handle_it_is() {
        let at = Direction::BORESIGHT;
        let handles = [
            Handle { channel: Channel::Left, at, centre: Direction::new(0.0, -30.0) },
            Handle { channel: Channel::Right, at, centre: Direction::new(-30.0, 0.0) },
        ];
        let grab = Grab::Undecided(at);
        assert_eq!(grab.decided(&handles, egui::vec2(9.0, 1.0)), Some(Channel::Left));
        assert_eq!(grab.decided(&handles, egui::vec2(-9.0, 1.0)), Some(Channel::Left));
        assert_eq!(grab.decided(&handles, egui::vec2(1.0, -9.0)), Some(Channel::Right));
        assert_eq!(grab.decided(&handles, egui::vec2(1.0, 0.0)), None);
    }
}
