//! An invented bench: true offset circles, read with invented noise.

use std::f64::consts::TAU;

use rand::rngs::ChaCha8Rng;
use rand::{RngExt as _, SeedableRng as _};
use solver::{Channel, Direction, OffsetCircle, PerChannel, Phase, Sense};

/// Standard uncertainty of a reading on the invented bench, each axis.
pub(crate) const SIGMA_ARCMIN: f64 = 0.2;

/// A channel's true circle. `phase_deg` is where its ring zero lies.
pub(crate) fn circle(centre: (f64, f64), radius_arcmin: f64, phase_deg: f64) -> OffsetCircle {
    OffsetCircle {
        centre: Direction::new(centre.0, centre.1),
        radius_arcmin,
        phase: Some(Phase { zero_deg: phase_deg, sense: Sense::With }),
    }
}

/// Turns true circles into readings, the same every time for the same seed.
pub(crate) struct Bench {
    /// Changed parts put the circles elsewhere.
    pub(crate) circles: PerChannel<OffsetCircle>,
    /// Standard deviation of a reading, each axis.
    pub(crate) sigma_arcmin: f64,
    noise: ChaCha8Rng,
}

impl Bench {
    pub(crate) fn new(seed: u64, left: OffsetCircle, right: OffsetCircle) -> Self {
        Self {
            circles: PerChannel { left, right },
            sigma_arcmin: SIGMA_ARCMIN,
            noise: ChaCha8Rng::seed_from_u64(seed),
        }
    }

    /// What the station shows with a ring at an angle: noisy, read to a tenth of an arcminute.
    pub(crate) fn read(&mut self, channel: Channel, ring_deg: f64) -> Direction {
        let truth = self.circles[channel].at_ring(ring_deg).unwrap_or_default();
        let (dx, dy) = self.noise();
        let tenths = |value: f64| (value * 10.0).round() / 10.0;
        Direction::new(tenths(truth.x_arcmin + dx), tenths(truth.y_arcmin + dy))
    }

    /// Two normal deviates of the bench's spread (Box and Muller, Ann. Math. Stat. 29 (1958) 610).
    fn noise(&mut self) -> (f64, f64) {
        let (u, v): (f64, f64) = (self.noise.random(), self.noise.random());
        let length = self.sigma_arcmin * (-2.0 * (1.0 - u).ln()).sqrt();
        (length * (TAU * v).cos(), length * (TAU * v).sin())
    }
}
