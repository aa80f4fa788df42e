//! Where a shim goes, drawn: the seat as a clock face, seen from the eye side.
//!
//! The face is drawn on a plane with x to the right and y up, the seat's edge the circle of radius 1 about 0.
//! Clock position α lies at (sin α, cos α), degrees clockwise from up, and a shim there pushes the tube by
//! −t (sin α, cos α): away from it. Screen and paper draw the same shapes; [`ClockFace::telling`] says them.

use crate::angle::reduced_deg;
use crate::channel::Channel;
use crate::optics::{Lateral, ShimEnds};
use crate::remedy::shim::{ChannelShim, SeatLimits};
use crate::remedy::words::{clock, millimetres, way};

/// The tube's own radius on the face, and how far it is drawn off the middle: for the eye, not to scale.
const TUBE: f64 = 0.76;
const MOVED: f64 = 0.12;
/// Where the words round the face stand.
const WORDS_AT: f64 = 1.24;
/// Positions nearer than this are one, degrees.
const SAME_DEG: f64 = 1e-6;

/// A seat with a shim in it, as a clock face.
#[derive(Clone, Debug, PartialEq)]
pub struct ClockFace {
    /// Whose tube.
    pub channel: Channel,
    /// Where along the tube.
    pub ends: ShimEnds,
    /// Whether the other end would do the same.
    pub either_end: bool,
    /// Height of a stack, mm.
    pub thickness_mm: f64,
    /// Clock position of the shim, degrees in [0, 360).
    pub clock_deg: f64,
    /// The seat's other positions, degrees in [0, 360), upward.
    pub others_deg: Vec<f64>,
}

/// A place on the face: right and up.
pub type Spot = [f64; 2];

/// What a shape is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ShapeRole {
    /// The edge of the seat, and the ticks of a clock.
    Seat,
    /// A position where a shim may lie.
    Allowed,
    /// The shim.
    Shim,
    /// The tube, pushed off the middle.
    Tube,
    /// The way it is pushed.
    Push,
}

/// A shape of the face.
#[derive(Clone, Debug, PartialEq)]
pub enum FaceShape {
    /// A circle, filled or not.
    Circle {
        /// What it is.
        part: ShapeRole,
        /// Its middle.
        centre: Spot,
        /// Its radius.
        radius: f64,
        /// Whether it is filled.
        filled: bool,
    },
    /// A line, with a head at its end or not.
    Line {
        /// What it is.
        part: ShapeRole,
        /// From.
        from: Spot,
        /// To.
        to: Spot,
        /// Whether it ends in an arrow's head.
        arrow: bool,
    },
    /// Words, about a place.
    Words {
        /// Their middle.
        at: Spot,
        /// They.
        text: String,
    },
}

/// Where a clock position lies on the edge of the face.
#[must_use]
pub fn spot(clock_deg: f64) -> Spot {
    at(1.0, clock_deg)
}

fn at(radius: f64, clock_deg: f64) -> Spot {
    let Lateral { x_mm, y_mm } = Lateral::toward_clock(radius, clock_deg);
    [x_mm, y_mm]
}

impl ClockFace {
    /// Of a shim of a plan, in a seat where that is known.
    #[must_use]
    pub fn of_plan(channel: Channel, shim: &ChannelShim, seat: Option<&SeatLimits>) -> Self {
        let clocks_deg = seat.map(|seat| seat.clocks_deg.as_slice()).unwrap_or_default();
        let face = Self::new(channel, shim.ends, shim.thickness_mm(), shim.clock_deg, clocks_deg);
        Self { either_end: shim.either_end, ..face }
    }

    /// Of a shim at a clock position; `clocks_deg`: where the seat takes one. Angles that are no numbers are
    /// left out, and are up for the shim itself.
    #[must_use]
    pub fn new(
        channel: Channel,
        ends: ShimEnds,
        thickness_mm: f64,
        clock_deg: f64,
        clocks_deg: &[f64],
    ) -> Self {
        let within = |deg: f64| if deg.is_finite() { reduced_deg(deg) } else { 0.0 };
        let clock_deg = within(clock_deg);
        let mut others_deg: Vec<f64> = clocks_deg
            .iter()
            .filter(|deg| deg.is_finite())
            .map(|&deg| reduced_deg(deg))
            .filter(|deg| crate::angle::turn_deg(*deg, clock_deg).abs() > SAME_DEG)
            .collect();
        others_deg.sort_by(f64::total_cmp);
        others_deg.dedup();
        Self { channel, ends, either_end: false, thickness_mm, clock_deg, others_deg }
    }

    /// Clock position toward which the tube is pushed, degrees in [0, 360).
    #[must_use]
    pub fn push_deg(&self) -> f64 {
        reduced_deg(self.clock_deg + 180.0)
    }

    /// What is drawn, in the order in which it is.
    #[must_use]
    pub fn shapes(&self) -> Vec<FaceShape> {
        let circle =
            |part, centre, radius, filled| FaceShape::Circle { part, centre, radius, filled };
        let line = |part, from, to, arrow| FaceShape::Line { part, from, to, arrow };
        let middle = at(MOVED, self.push_deg());
        let mut shapes = vec![circle(ShapeRole::Seat, [0.0, 0.0], 1.0, false)];
        for hour in 0..12 {
            let deg = 30.0 * f64::from(hour);
            shapes.push(line(ShapeRole::Seat, at(1.0, deg), at(1.06, deg), false));
        }
        shapes.push(circle(ShapeRole::Tube, middle, TUBE, false));
        shapes.extend(
            self.others_deg.iter().map(|&deg| circle(ShapeRole::Allowed, spot(deg), 0.06, false)),
        );
        shapes.push(circle(ShapeRole::Shim, spot(self.clock_deg), 0.1, true));
        // Away from the shim, through the tube's middle.
        let [from, to] = [at(0.34, self.clock_deg), at(0.5, self.push_deg())];
        shapes.push(line(ShapeRole::Push, from, to, true));
        for deg in [0.0, 90.0, 180.0, 270.0] {
            shapes
                .push(FaceShape::Words {
                    at: at(WORDS_AT, deg), text: format!("{}°", clock(deg))
                });
        }
        // From the eye side the nose is to the right of the left tube.
        let nose_deg = match self.channel {
            Channel::Left => 60.0,
            Channel::Right => 300.0,
        };
        shapes.push(FaceShape::Words { at: at(1.32, nose_deg), text: "nose".to_owned() });
        shapes
    }

    /// The face in words.
    #[must_use]
    pub fn telling(&self) -> String {
        let ends = match (self.ends, self.either_end) {
            (_, true) => "front or rear end",
            (ShimEnds::Both, _) => "each end",
            (ShimEnds::Front, _) => "front end",
            (ShimEnds::Rear, _) => "rear end",
        };
        let push_deg = self.push_deg();
        let toward = way(self.channel, Lateral::toward_clock(1.0, push_deg));
        let others = match self.others_deg.as_slice() {
            [] => String::new(),
            others => {
                let all: Vec<String> =
                    others.iter().map(|deg| format!("{}°", clock(*deg))).collect();
                format!(" The seat also takes one at {}.", all.join(", "))
            }
        };
        format!(
            "Seat of the {} tube as a clock, seen from the eye side, 0° up and clockwise: {} mm at {}°, {ends}, \
             pushes the tube toward {}°, {toward}.{others}",
            self.channel,
            millimetres(self.thickness_mm),
            clock(self.clock_deg),
            clock(push_deg),
        )
    }
}
