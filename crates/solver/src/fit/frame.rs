//! The frame a fit is worked in: origin at the mean of the readings, unit of length their reach.
//!
//! In it every number is of order one, so no square overflows and no threshold has a unit.

use wide::f64x2;

use crate::angle::rad_from_deg;
use crate::direction::{Direction, SAFE_SQUARE};
use crate::fit::reading::Reading;

/// Origin and unit of length of the working frame.
#[derive(Clone, Copy, Debug)]
pub(super) struct WorkingFrame {
    /// The mean of the readings.
    pub(super) origin: Direction,
    /// The largest distance of a reading from the mean, arcminutes.
    pub(super) unit_arcmin: f64,
    per_unit: f64,
}

impl WorkingFrame {
    /// `None` of no directions, or when a number is not finite or too large to square.
    pub(super) fn around(
        count: usize,
        directions: impl Iterator<Item = Direction> + Clone,
    ) -> Option<Self> {
        let share = 1.0 / count as f64;
        // Each term is shared out before it is summed, so that the mean cannot overflow; it is
        // finite only where every term is.
        // Two sums by turns, so that one need not wait for the other; the same below.
        let start = (Direction::BORESIGHT, Direction::BORESIGHT);
        let (odd, even) =
            directions.clone().fold(start, |(one, other), at| (other, one + at * share));
        let origin = odd + even;
        if count == 0 || !origin.is_finite() {
            return None;
        }
        let larger = |a: f64, b: f64| if a > b { a } else { b };
        let (odd, even) = directions.clone().fold((0.0, 0.0), |(one, other), at| {
            (other, larger((at - origin).dot(at - origin), one))
        });
        let square = larger(odd, even);
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
    pub(super) frame: WorkingFrame,
    readings: &'a [Reading],
    x: [f64; HELD],
    y: [f64; HELD],
    /// (cos θ, sin θ) of the readings held that have a ring angle.
    turn_x: [f64; HELD],
    turn_y: [f64; HELD],
}

impl<'a> FramedReadings<'a> {
    /// All readings, put into a frame.
    pub(super) fn new(readings: &'a [Reading], frame: WorkingFrame) -> Self {
        let (mut x, mut y) = ([0.0; HELD], [0.0; HELD]);
        for ((x, y), reading) in x.iter_mut().zip(&mut y).zip(readings) {
            let at = frame.framed(reading.direction);
            (*x, *y) = (at.x_arcmin, at.y_arcmin);
        }
        let (mut turn_x, mut turn_y) = ([0.0; HELD], [0.0; HELD]);
        for ((x, y), reading) in turn_x.iter_mut().zip(&mut turn_y).zip(readings) {
            if let Some(turn) = turn_of(reading) {
                (*x, *y) = (turn.x_arcmin, turn.y_arcmin);
            }
        }
        Self { frame, readings, x, y, turn_x, turn_y }
    }

    /// How many.
    pub(super) const fn len(&self) -> usize {
        self.readings.len()
    }

    /// Each reading in its frame, in the order logged.
    pub(super) fn iter(&self) -> impl Iterator<Item = Framed> + Clone {
        self.readings.iter().enumerate().map(|(k, reading)| {
            if k < HELD {
                let turn = Direction::new(self.turn_x[k], self.turn_y[k]);
                let at = Direction::new(self.x[k], self.y[k]);
                Framed { at, turn: reading.ring_deg.map(|_| turn) }
            } else {
                place(reading, &self.frame)
            }
        })
    }

    /// Sums over all readings of what two of them give, each in a lane of its own until the end.
    pub(super) fn sums<const N: usize>(
        &self,
        each: impl Fn(f64x2, f64x2) -> [f64x2; N],
    ) -> [f64; N] {
        let mut sums = [0.0; N];
        self.each_block(|x, y| {
            let ((x_pairs, x_last), (y_pairs, y_last)) = (x.as_chunks(), y.as_chunks());
            let mut lanes = [f64x2::ZERO; N];
            for (&x, &y) in x_pairs.iter().zip(y_pairs) {
                let parts = each(f64x2::from(x), f64x2::from(y));
                for (lane, part) in lanes.iter_mut().zip(parts) {
                    *lane += part;
                }
            }
            for (sum, lanes) in sums.iter_mut().zip(lanes) {
                *sum += lanes.reduce_add();
            }
            if let ([x], [y]) = (x_last, y_last) {
                let parts = each(f64x2::splat(*x), f64x2::splat(*y));
                for (sum, part) in sums.iter_mut().zip(parts) {
                    *sum += part.to_array()[0];
                }
            }
        });
        sums
    }

    /// All x and all y in their frame, some at a time: side by side, as vector units like them.
    fn each_block(&self, mut visit: impl FnMut(&[f64], &[f64])) {
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

fn place(reading: &Reading, frame: &WorkingFrame) -> Framed {
    Framed { at: frame.framed(reading.direction), turn: turn_of(reading) }
}

fn turn_of(reading: &Reading) -> Option<Direction> {
    reading.ring_deg.map(|ring_deg| Direction::polar(1.0, rad_from_deg(ring_deg)))
}
