//! Line, dash and marker of each role. Colour is the screen's and the printer's business; these
//! alone must tell left from right.

use solver::Channel;

use crate::scene::Role;

/// How a role is drawn, colour apart. Sizes in points.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Style {
    /// Line width.
    pub width_pt: f32,
    /// Dash and gap; `None` is a solid line.
    pub dash_pt: Option<[f32; 2]>,
    /// Marker shape.
    pub marker: Marker,
    /// Half the marker's height.
    pub size_pt: f32,
    /// Whether the marker is filled.
    pub filled: bool,
}

/// Marker shapes.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Marker {
    /// Left channel.
    Square,
    /// Right channel, point up.
    Triangle,
    /// Left channel, to confirm: a square with a cross in it.
    SquareCrossed,
    /// Right channel, to confirm: a triangle with a cross in it.
    TriangleCrossed,
    /// A meeting point.
    Diamond,
    /// A centre.
    Dot,
    /// The boresight.
    Cross,
}

/// The channel's marker.
#[must_use]
pub const fn marker(channel: Channel) -> Marker {
    match channel {
        Channel::Left => Marker::Square,
        Channel::Right => Marker::Triangle,
    }
}

/// The channel's marker with a cross in it: a reading that confirms.
const fn confirm_marker(channel: Channel) -> Marker {
    match channel {
        Channel::Left => Marker::SquareCrossed,
        Channel::Right => Marker::TriangleCrossed,
    }
}

const fn dash(channel: Channel) -> Option<[f32; 2]> {
    match channel {
        Channel::Left => None,
        Channel::Right => Some([9.0, 5.0]),
    }
}

/// How a role is drawn.
#[must_use]
pub const fn style(role: Role) -> Style {
    let plain =
        Style { width_pt: 1.5, dash_pt: None, marker: Marker::Dot, size_pt: 4.5, filled: false };
    match role {
        Role::Circle(channel) => Style { width_pt: 2.0, dash_pt: dash(channel), ..plain },
        Role::DoubtfulCircle(_) => Style { width_pt: 1.2, dash_pt: Some([2.0, 6.0]), ..plain },
        // Its edges; the screen fills it faintly.
        Role::Band(_) => Style { width_pt: 0.0, ..plain },
        Role::Centre(_) => Style { size_pt: 2.5, filled: true, ..plain },
        Role::Reading(channel) => Style { marker: marker(channel), ..plain },
        Role::AsFound(channel) => Style { marker: marker(channel), size_pt: 3.0, ..plain },
        Role::Confirm(channel) => Style { marker: confirm_marker(channel), size_pt: 6.0, ..plain },
        Role::Selected(channel) => {
            Style { marker: marker(channel), size_pt: 7.5, width_pt: 2.5, ..plain }
        }
        Role::Trial(channel) => {
            Style { marker: marker(channel), size_pt: 9.0, width_pt: 2.5, filled: true, ..plain }
        }
        Role::Residual(_) => Style { width_pt: 1.2, ..plain },
        Role::Now(channel) => {
            Style { marker: marker(channel), size_pt: 6.5, filled: true, ..plain }
        }
        Role::Path(channel) => {
            Style { width_pt: 4.0, dash_pt: dash(channel), size_pt: 10.0, filled: true, ..plain }
        }
        Role::Swing(channel) => {
            let dash_pt =
                Some(if matches!(channel, Channel::Left) { [2.0, 4.0] } else { [7.0, 4.0] });
            Style { dash_pt, marker: marker(channel), size_pt: 3.5, filled: true, ..plain }
        }
        Role::SwingShared => Style { width_pt: 1.0, dash_pt: Some([1.5, 3.0]), ..plain },
        Role::Here => Style { marker: Marker::Diamond, size_pt: 7.5, filled: true, ..plain },
        Role::Elsewhere => Style { marker: Marker::Diamond, size_pt: 6.0, ..plain },
        Role::Ellipse => Style { width_pt: 1.2, ..plain },
        Role::Window => Style { width_pt: 1.4, dash_pt: Some([4.0, 3.0]), ..plain },
        Role::Guard => Style { width_pt: 1.0, dash_pt: Some([1.5, 3.0]), ..plain },
        Role::Ghost(channel) => {
            let dash_pt =
                Some(if matches!(channel, Channel::Left) { [1.5, 5.0] } else { [12.0, 7.0] });
            Style { width_pt: 1.2, dash_pt, ..plain }
        }
        Role::GhostCrossing => Style { marker: Marker::Diamond, size_pt: 4.5, ..plain },
        Role::Measure => Style { marker: Marker::Cross, size_pt: 7.0, ..plain },
        Role::Limit => Style { width_pt: 1.0, dash_pt: Some([1.5, 4.0]), ..plain },
        Role::Boresight => Style { marker: Marker::Cross, size_pt: 9.0, ..plain },
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Left and right must be told apart without colour, wherever both are drawn.
    #[test]
    fn channels_differ_without_colour() {
        for role in
            [Role::Reading, Role::AsFound, Role::Confirm, Role::Selected, Role::Now, Role::Trial]
        {
            assert_ne!(style(role(Channel::Left)).marker, style(role(Channel::Right)).marker);
        }
        for role in [Role::Circle, Role::Path, Role::Swing, Role::Ghost] {
            assert_ne!(style(role(Channel::Left)).dash_pt, style(role(Channel::Right)).dash_pt);
        }
    }

    /// A ghost must not be taken for a circle, a confirm reading not for a logged one.
    #[test]
    fn kinds_differ_without_colour() {
        for channel in Channel::BOTH {
            assert_ne!(style(Role::Ghost(channel)).dash_pt, style(Role::Circle(channel)).dash_pt);
            assert_ne!(style(Role::Confirm(channel)).marker, style(Role::Reading(channel)).marker);
        }
        assert_ne!(style(Role::Guard).dash_pt, style(Role::Window).dash_pt);
    }
}
