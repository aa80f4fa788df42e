//! The frame a fit is worked in: origin at the mean of the readings, unit of length their reach.
//!
//! In it every number is of order one, so no square overflows and no threshold has a unit.

use crate::angle::rad_from_deg;
use crate::direction::Direction;
use crate::fit::reading::Reading;

/// Squares between these have a root with all its digits; others are measured the slow way.
const SAFE_SQUARE: core::ops::Range<f64> = 1e-280..1e280;

/// Origin and unit of length of the working frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct Frame {
    /// The mean of the readings.
    pub(super) origin: Direction,
    /// The largest distance of a reading from the mean, arcminutes.
    pub(super) unit_arcmin: f64,
    per_unit: f64,
}

impl Frame {
    /// `None` of no directions, or when a number is not finite or too large to square.
    pub(super) fn around(
        count: usize,
        directions: impl Iterator<Item = Direction> + Clone,
    ) -> Option<Self> {
        let share = 1.0 / count as f64;
        // Each term is shared out before it is summed, so that the mean cannot overflow; it is
        // finite only where every term is.
        let origin =
            directions.clone().fold(Direction::BORESIGHT, |sum, direction| sum + direction * share);
        if count == 0 || !origin.is_finite() {
            return None;
        }
        let square = directions.clone().fold(0.0, |largest, direction| {
            let square = (direction - origin).dot(direction - origin);
            if square > largest { square } else { largest }
        });
        let unit_arcmin = if SAFE_SQUARE.contains(&square) {
            square.sqrt()
        } else {
            directions.map(|direction| direction.distance_arcmin(origin)).fold(0.0, f64::max)
        };
        unit_arcmin.is_finite().then(|| Self { origin, unit_arcmin, per_unit: 1.0 / unit_arcmin })
    }

    /// A direction in this frame.
    pub(super) fn framed(&self, direction: Direction) -> Direction {
        (direction - self.origin) * self.per_unit
    }

    /// Back from this frame.
    pub(super) fn unframed(&self, framed: Direction) -> Direction {
        framed * self.unit_arcmin + self.origin
    }
}

/// One reading in the working frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct Framed {
    /// Where the crosshair was.
    pub(super) at: Direction,
    /// (cos θ, sin θ) of its ring angle, if it has one.
    pub(super) turn: Option<Direction>,
}

/// Readings beyond this many are framed anew in each pass, for no memory may grow with them.
const HELD: usize = 32;

/// A channel's readings in their working frame; those of a usual round are framed, and the sines
/// of their angles taken, once.
#[derive(Debug)]
pub(super) struct FramedReadings<'a> {
    /// The frame.
    pub(super) frame: Frame,
    readings: &'a [Reading],
    x: [f64; HELD],
    y: [f64; HELD],
    turns: [Option<Direction>; HELD],
}

impl<'a> FramedReadings<'a> {
    /// All readings, put into a frame.
    pub(super) fn new(readings: &'a [Reading], frame: Frame) -> Self {
        let mut framed =
            Self { frame, readings, x: [0.0; HELD], y: [0.0; HELD], turns: [None; HELD] };
        for (k, reading) in readings.iter().take(HELD).enumerate() {
            let Framed { at, turn } = place(reading, &frame);
            (framed.x[k], framed.y[k], framed.turns[k]) = (at.x_arcmin, at.y_arcmin, turn);
        }
        framed
    }

    /// How many.
    pub(super) const fn len(&self) -> usize {
        self.readings.len()
    }

    /// Each reading in its frame, in the order logged.
    pub(super) fn iter(&self) -> impl Iterator<Item = Framed> + Clone {
        self.readings.iter().enumerate().map(|(k, reading)| {
            if k < HELD {
                Framed { at: Direction::new(self.x[k], self.y[k]), turn: self.turns[k] }
            } else {
                place(reading, &self.frame)
            }
        })
    }

    /// All x and all y in their frame, some at a time: side by side, as vector units like them.
    pub(super) fn each_block(&self, mut visit: impl FnMut(&[f64], &[f64])) {
        let held = self.readings.len().min(HELD);
        visit(&self.x[..held], &self.y[..held]);
        let (mut x, mut y) = ([0.0; HELD], [0.0; HELD]);
        for block in self.readings[held..].chunks(HELD) {
            for (k, reading) in block.iter().enumerate() {
                let at = self.frame.framed(reading.direction);
                (x[k], y[k]) = (at.x_arcmin, at.y_arcmin);
            }
            visit(&x[..block.len()], &y[..block.len()]);
        }
    }
}

fn place(reading: &Reading, frame: &Frame) -> Framed {
    Framed {
        at: frame.framed(reading.direction),
        turn: reading.ring_deg.map(|ring_deg| Direction::polar(1.0, rad_from_deg(ring_deg))),
    }
}
