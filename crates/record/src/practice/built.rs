//! A unit as it is built at the moment: where it points, what a look at it shows, what a remedy makes
//! of it.

use solver::monte_carlo::Source;
use solver::optics::{Lateral, Optics, ShimEnds};
use solver::simulate::{InventedChannel, ReadingNoise, read};
use solver::{Channel, Direction, OffsetCircle, PerChannel};

use crate::error::Error;
use crate::fact::{Approach, Remedy, ShimUnder, TurnedPart};

/// A unit as built: both channels, and what its hands will feel.
#[derive(Clone, Debug, PartialEq)]
pub struct Built {
    pub(super) optics: Optics,
    pub(super) hand: ReadingNoise,
    pub(super) channels: PerChannel<InventedChannel>,
    /// How far each pod turns an eyepiece that is newly put in, degrees.
    pub(super) refit_deg: PerChannel<f64>,
    /// How far each lock turns its ring, degrees clockwise.
    pub(super) lock_turn_deg: PerChannel<f64>,
}

/// How a ring stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct BuiltCell {
    /// The angle shown, degrees.
    pub ring_deg: f64,
    /// From which side it was reached; not noted counts as clockwise.
    pub approach: Approach,
    /// Whether its lock is tight.
    pub locked: bool,
}

/// Which look at a channel: noise is drawn anew for each, and the same again for the same.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Look {
    /// Of which exercise: its number will do.
    pub seed: u64,
    /// Which look, counted from wherever the caller likes: the `seq` of its fact will do.
    pub number: u64,
}

impl Built {
    /// The optical model of either channel.
    #[must_use]
    pub const fn optics(&self) -> &Optics {
        &self.optics
    }

    /// The parts of a channel, and where they stand.
    #[must_use]
    pub fn channel(&self, channel: Channel) -> &InventedChannel {
        &self.channels[channel]
    }

    /// How far each lock turns its ring on tightening, degrees clockwise.
    #[must_use]
    pub const fn lock_turn_deg(&self) -> &PerChannel<f64> {
        &self.lock_turn_deg
    }

    /// The offset circles as the rings show them with the locks open, small-angle, play left out.
    #[must_use]
    pub fn circles(&self) -> PerChannel<OffsetCircle> {
        self.channels.map(|channel| channel.circle)
    }

    /// Where a channel points, exactly: no noise, nothing rounded.
    ///
    /// # Errors
    /// [`Error::Solver`] for a ring angle that is no number.
    pub fn point(&self, channel: Channel, cell: BuiltCell) -> Result<Direction, Error> {
        let quiet = ReadingNoise { noise_arcmin: 0.0, rounding_arcmin: 0.0, ..self.hand };
        self.read(channel, cell, &quiet, &mut Source::seeded(0))
    }

    /// What a look at a channel shows: with noise, rounded as the graticule is read.
    ///
    /// # Errors
    /// As [`point`](Self::point).
    pub fn seen(&self, channel: Channel, cell: BuiltCell, look: Look) -> Result<Direction, Error> {
        let mixed = look.seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ look.number;
        self.read(channel, cell, &self.hand, &mut Source::seeded(mixed))
    }

    fn read(
        &self,
        channel: Channel,
        cell: BuiltCell,
        hand: &ReadingNoise,
        source: &mut Source,
    ) -> Result<Direction, Error> {
        let locked_deg = if cell.locked { self.lock_turn_deg[channel] } else { 0.0 };
        let clockwise = cell.approach != Approach::Counter;
        let made = &self.channels[channel];
        let ring_deg = cell.ring_deg + locked_deg;
        Ok(read(&self.optics, made, ring_deg, clockwise, hand, source)?.direction)
    }

    /// Where both point, exactly.
    ///
    /// # Errors
    /// As [`point`](Self::point).
    pub fn points(&self, cells: PerChannel<BuiltCell>) -> Result<PerChannel<Direction>, Error> {
        Ok(PerChannel {
            left: self.point(Channel::Left, cells.left)?,
            right: self.point(Channel::Right, cells.right)?,
        })
    }

    /// The unit after a remedy.
    ///
    /// A part that is replaced comes with its predecessor's errors: there is none better on the shelf.
    #[must_use]
    pub fn after(&self, remedy: &Remedy) -> Self {
        let mut built = self.clone();
        match remedy {
            Remedy::Shim(shims) => {
                for ShimUnder { channel, shim } in shims {
                    let thickness_mm: f64 = shim.leaves_mm.iter().sum();
                    let pushed = -Lateral::toward_clock(thickness_mm, shim.clock_deg);
                    let placed = &mut built.channels[*channel].placed;
                    if matches!(shim.ends, ShimEnds::Front | ShimEnds::Both) {
                        placed.tube_in = placed.tube_in + pushed;
                    }
                    if matches!(shim.ends, ShimEnds::Rear | ShimEnds::Both) {
                        placed.tube_out = placed.tube_out + pushed;
                    }
                }
            }
            Remedy::SwapEyepieces => {
                let PerChannel { left, right } = &mut built.channels;
                core::mem::swap(&mut left.decentre, &mut right.decentre);
                for channel in Channel::BOTH {
                    let decentre = &mut built.channels[channel].decentre;
                    *decentre = decentre.turned_clockwise(self.refit_deg[channel]);
                }
            }
            Remedy::SwapTubes => {
                let PerChannel { left, right } = &mut built.channels;
                core::mem::swap(&mut left.placed.tube_image, &mut right.placed.tube_image);
            }
            Remedy::TurnTube(TurnedPart { channel, by_deg }) => {
                let image = &mut built.channels[*channel].placed.tube_image;
                *image = image.turned_clockwise(*by_deg);
            }
            Remedy::ReplaceTube(_) | Remedy::ReplaceEyepiece(_) | Remedy::Other => {}
        }
        for channel in Channel::BOTH {
            let made = &mut built.channels[channel];
            made.circle = self.optics.eyepiece_circle(&made.placed, made.decentre);
        }
        built
    }
}
