//! What a decision is made from: confirm readings, and what is known about them.

use crate::channel::PerChannel;
use crate::direction::Direction;

/// A covariance of x and y, square arcminutes.
pub type Covariance = [[f64; 2]; 2];

pub(super) const NONE: Covariance = [[0.0; 2]; 2];

/// How a single reading's spread is known.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum ReadingSpread {
    /// Stated, the same for every reading.
    Stated(Covariance),
    /// Seen in these readings; at least three of each channel.
    Observed,
}

/// The station's reference: what does not fall with more readings.
#[derive(Clone, Copy, Debug, Default, PartialEq)]
pub struct Reference {
    /// Each channel's own part.
    pub own: PerChannel<Covariance>,
    /// The part both channels share.
    pub common: Covariance,
}

/// Confirm readings and what is known about them.
#[derive(Clone, Debug, PartialEq)]
pub struct Confirmation {
    /// Each channel's readings at locked rings.
    pub readings: PerChannel<Vec<Direction>>,
    /// Spread of a single reading.
    pub spread: ReadingSpread,
    /// The station's reference.
    pub reference: Reference,
}

/// a·A + b·B.
pub(super) fn combined(first: Covariance, a: f64, second: Covariance, b: f64) -> Covariance {
    let mut sum = NONE;
    for (i, row) in sum.iter_mut().enumerate() {
        for (j, entry) in row.iter_mut().enumerate() {
            *entry = a * first[i][j] + b * second[i][j];
        }
    }
    sum
}
