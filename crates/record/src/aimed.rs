//! Where the rings were meant to put the crosshairs, beside where they were confirmed to be.

use solver::{Channel, Direction, Misalignment, PerChannel};

use crate::conclusion::Measured;
use crate::fact::Seq;
use crate::fold::Round;

/// A chosen setting beside what was measured of it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Aimed {
    /// The fact that chose it.
    pub setting: Seq,
    /// Where each channel was to point.
    pub predicted: PerChannel<Direction>,
    /// Where it does.
    pub measured: PerChannel<Direction>,
}

impl Aimed {
    /// Measured less predicted.
    #[must_use]
    pub fn miss(&self, channel: Channel) -> Direction {
        self.measured[channel] - self.predicted[channel]
    }

    /// The misalignment, as predicted and as measured.
    #[must_use]
    pub fn misalignments(&self) -> [Misalignment; 2] {
        [self.predicted, self.measured].map(|at| Misalignment::between(at.left, at.right))
    }
}

/// The setting chosen last in a round, beside what its confirm readings give; `None` where none was
/// chosen.
#[must_use]
pub fn aimed(round: &Round, measured: &Measured) -> Option<Aimed> {
    let (setting, chosen) = round.settings.last()?;
    let predicted = chosen.points_arcmin.map(|[x, y]| Direction::new(x, y));
    Some(Aimed { setting: *setting, predicted, measured: measured.points })
}
