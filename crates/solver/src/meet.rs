//! Where two offset circles meet.

use crate::channel::{Channel, PerChannel};
use crate::circle::OffsetCircle;
use crate::direction::Direction;
use crate::error::Error;

/// The usual tolerance for touching: a share of the larger radius.
pub const RELATION_TOLERANCE: f64 = 1e-9;

/// How two circles lie to each other.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Relation {
    /// They cross at two points.
    Crossing,
    /// They touch at one point.
    Tangent,
    /// Each lies outside the other.
    Separate,
    /// One lies inside the other.
    Contained,
    /// They share a centre but not a radius.
    Concentric,
    /// They are the same circle.
    Coincident,
}

impl Relation {
    /// The word used on screen, in files and in JSON.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Crossing => "crossing",
            Self::Tangent => "tangent",
            Self::Separate => "separate",
            Self::Contained => "contained",
            Self::Concentric => "concentric",
            Self::Coincident => "coincident",
        }
    }
}

/// One point at which both channels can point alike.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CrossingPoint {
    /// Where it is.
    pub point: Direction,
    /// Its distance from boresight, arcminutes.
    pub boresight_arcmin: f64,
    /// The ring angles that bring each crosshair there, degrees in [0, 360); `None` without phase.
    pub ring_deg: PerChannel<Option<f64>>,
}

/// How two circles meet.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Meeting {
    /// How they lie to each other.
    pub relation: Relation,
    /// The space between them where they do not meet, arcminutes; 0 where they do.
    pub gap_arcmin: f64,
    points: [Option<CrossingPoint>; 2],
}

impl Meeting {
    /// The crossing points, nearest boresight first: two, one or none.
    pub fn crossings(&self) -> impl Iterator<Item = &CrossingPoint> {
        self.points.iter().flatten()
    }

    /// The recommended crossing point: the one nearest boresight.
    #[must_use]
    pub const fn nearest(&self) -> Option<&CrossingPoint> {
        self.points[0].as_ref()
    }
}

