//! The offset circle: where a channel's crosshair runs as its eyepiece ring is turned.

use crate::angle::{deg_from_rad, rad_from_deg, reduced_deg};
use crate::direction::Direction;

/// Which way round the crosshair runs as the ring is turned clockwise, seen by the user.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Sense {
    /// Clockwise with the ring: what the optics give.
    With,
    /// Counter-clockwise: a flip in the station map is wrong, or the ring is numbered backwards.
    Against,
}

impl Sense {
    /// s of p(θ) = c + r (cos(φ − sθ), sin(φ − sθ)): +1 with the ring, −1 against it.
    #[must_use]
    pub const fn sign(self) -> f64 {
        match self {
            Self::With => 1.0,
            Self::Against => -1.0,
        }
    }

    /// `"with"` or `"against"`.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::With => "with",
            Self::Against => "against",
        }
    }
}

/// How the ring's own numbers sit on the circle; unknown when no reading had a ring angle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Phase {
    /// φ: direction from the centre at ring zero, degrees in [0, 360), counter-clockwise from +x.
    pub zero_deg: f64,
    /// Which way round the crosshair runs.
    pub sense: Sense,
}

/// p(θ) = c + r (cos(φ − sθ), sin(φ − sθ)), θ clockwise positive looking into the eyepiece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OffsetCircle {
    /// c, the centre: what the channel's bores and tube leave when the eyepiece's offset is taken out.
    pub centre: Direction,
    /// r ≥ 0, arcminutes: the eyepiece cell's decentre over its focal length.
    pub radius_arcmin: f64,
    /// φ and s, when known.
    pub phase: Option<Phase>,
}

impl OffsetCircle {
    /// A circle whose ring numbering is not known.
    #[must_use]
    pub const fn unphased(centre: Direction, radius_arcmin: f64) -> Self {
        Self { centre, radius_arcmin, phase: None }
    }

    /// Where the crosshair stands at a ring angle (degrees); `None` without a phase.
    #[must_use]
    pub fn at_ring(&self, ring_deg: f64) -> Option<Direction> {
        let phase = self.phase?;
        let angle_rad = rad_from_deg(phase.zero_deg - phase.sense.sign() * ring_deg);
        Some(self.centre + Direction::polar(self.radius_arcmin, angle_rad))
    }

    /// The ring angle, degrees in [0, 360), that brings the crosshair nearest to a direction;
    /// `None` without a phase. A direction at the very centre is as near from everywhere: it
    /// counts as lying along +x.
    #[must_use]
    pub fn ring_for(&self, direction: Direction) -> Option<f64> {
        let phase = self.phase?;
        let angle_deg = deg_from_rad((direction - self.centre).angle_rad());
        Some(reduced_deg(phase.sense.sign() * (phase.zero_deg - angle_deg)))
    }

    /// How far outside the circle a direction lies, arcminutes; negative inside.
    #[must_use]
    pub fn off_circle_arcmin(&self, direction: Direction) -> f64 {
        direction.distance_arcmin(self.centre) - self.radius_arcmin
    }

    /// The point of the circle nearest to a direction; from the centre, the one along +x.
    #[must_use]
    pub fn nearest_to(&self, direction: Direction) -> Direction {
        self.centre + Direction::polar(self.radius_arcmin, (direction - self.centre).angle_rad())
    }
}
