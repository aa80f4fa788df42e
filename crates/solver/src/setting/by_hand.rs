//! A setting that a hand picks: any two places on the circles, and what they give.

use crate::angle::{deg_from_rad, rad_from_deg, reduced_deg, rounded_deg};
use crate::channel::PerChannel;
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::solve::{Setting, SettingKind, setting_at};
use crate::tolerance::Window;

/// Where one ring is put.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum RingPlace {
    /// At a ring angle, degrees in [0, 360).
    Ring(f64),
    /// Where the ring's numbering is not known: the crosshair's direction from its circle's
    /// centre, degrees counter-clockwise from +x.
    Crosshair(f64),
}

impl RingPlace {
    /// The place on a circle nearest to a direction; a ring angle is rounded to the ring's step
    /// (degrees), since no hand sets it finer.
    #[must_use]
    pub fn nearest(circle: &OffsetCircle, direction: Direction, step_deg: f64) -> Self {
        match circle.ring_for(direction) {
            Some(ring_deg) => Self::Ring(rounded_deg(ring_deg, step_deg)),
            None => Self::Crosshair(deg_from_rad((direction - circle.centre).angle_rad())),
        }
    }

    /// The same place after a turn, degrees, clockwise positive looking into the eyepiece.
    #[must_use]
    pub fn turned(self, clockwise_deg: f64) -> Self {
        match self {
            Self::Ring(ring_deg) => Self::Ring(reduced_deg(ring_deg + clockwise_deg)),
            Self::Crosshair(deg) => Self::Crosshair(deg - clockwise_deg),
        }
    }

    /// Where the crosshair stands then. A ring angle says nothing of a circle whose numbering is
    /// not known: the place is then the one at angle 0.
    #[must_use]
    pub fn point(self, circle: &OffsetCircle) -> Direction {
        let at_angle =
            |deg: f64| circle.centre + Direction::polar(circle.radius_arcmin, rad_from_deg(deg));
        match self {
            Self::Ring(ring_deg) => circle.at_ring(ring_deg).unwrap_or_else(|| at_angle(0.0)),
            Self::Crosshair(deg) => at_angle(deg),
        }
    }
}

/// What two places give: misalignment, distance from boresight and window use.
///
/// ```
/// use solver::setting::{RingPlace, by_hand};
/// use solver::{Direction, OffsetCircle, PerChannel};
/// let left = OffsetCircle::unphased(Direction::new(-10.0, 0.0), 10.0);
/// let right = OffsetCircle::unphased(Direction::new(10.0, 0.0), 10.0);
/// let places = PerChannel { left: RingPlace::Crosshair(0.0), right: RingPlace::Crosshair(90.0) };
/// let setting = by_hand(PerChannel { left: &left, right: &right }, places, None);
/// // Left at boresight, right at (10, 10).
/// assert!((setting.misalignment.x_arcmin - 10.0).abs() < 1e-12);
/// assert!((setting.misalignment.y_arcmin - 10.0).abs() < 1e-12);
/// ```
#[must_use]
pub fn by_hand(
    circles: PerChannel<&OffsetCircle>,
    places: PerChannel<RingPlace>,
    window: Option<Window>,
) -> Setting {
    let points = PerChannel::from_fn(|channel| places[channel].point(circles[channel]));
    let ring_deg = places.map(|place| match place {
        RingPlace::Ring(ring_deg) => Some(ring_deg),
        RingPlace::Crosshair(_) => None,
    });
    setting_at(SettingKind::ByHand, points, ring_deg, window)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::circle::{Phase, Sense};

    /// A ring turned clockwise takes the crosshair the way its sense says; without numbering the
    /// crosshair itself goes clockwise.
    #[test]
    fn a_turn_moves_the_crosshair_the_way_it_should() {
        let centre = Direction::new(1.0, 2.0);
        for (sense, expected_deg) in [(Sense::With, -30.0), (Sense::Against, 30.0)] {
            let phase = Some(Phase { zero_deg: 0.0, sense });
            let circle = OffsetCircle { centre, radius_arcmin: 5.0, phase };
            let place = RingPlace::nearest(&circle, centre + Direction::new(7.0, 0.1), 1.0);
            assert!(
                matches!(place, RingPlace::Ring(deg) if deg == 359.0 || deg == 1.0),
                "{place:?}"
            );
            let place = RingPlace::Ring(350.0).turned(40.0);
            assert_eq!(place, RingPlace::Ring(30.0));
            let expected = centre + Direction::polar(5.0, rad_from_deg(expected_deg));
            // A handful of roundings of numbers below 10.
            assert!(place.point(&circle).distance_arcmin(expected) < 1e-14 * 10.0, "{sense:?}");
        }
        let circle = OffsetCircle::unphased(centre, 5.0);
        let place =
            RingPlace::nearest(&circle, centre + Direction::new(0.0, 3.0), 1.0).turned(90.0);
        let expected = centre + Direction::new(5.0, 0.0);
        assert!(place.point(&circle).distance_arcmin(expected) < 1e-14 * 10.0, "{place:?}");
    }
}
