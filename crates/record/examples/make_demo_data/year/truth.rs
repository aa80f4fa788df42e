//! What is true of the year: housings, benches, hands, and each unit as it is drawn.

use std::f64::consts::TAU;

use jiff::civil::{Date, date};
use rand::rngs::ChaCha8Rng;
use rand::{RngExt as _, SeedableRng as _};
use solver::{Direction, OffsetCircle, PerChannel};

use crate::bench::{SIGMA_ARCMIN, circle};

/// Standard deviation of a tube's own offset, each axis, arcminutes.
pub(crate) const TUBES_ARCMIN: f64 = 4.0;

/// The Sandpiper's left bore, arcminutes: the systematic error to be found.
pub(crate) const SANDPIPER_LEFT_ARCMIN: (f64, f64) = (-8.0, -6.0);

/// What the Redshank's and the Sandpiper's soft seats leave of a shim's effect.
pub(crate) const SHIM_SHARE: f64 = 0.85;

/// How far a Turnstone's locks turn its rings, degrees clockwise, and their scatter.
pub(crate) const TURNSTONE_LOCKS_DEG: f64 = 4.0;
const LOCK_SCATTER_DEG: f64 = 0.5;

/// The day from which Bench 4 wanders, and how far in 30 days, arcminutes.
pub(crate) const WANDERS_FROM: Date = date(2026, 3, 1);
pub(crate) const WANDERS_ARCMIN: (f64, f64) = (1.2, 0.0);

/// Standard deviation of a reading by the hand that reads in a hurry.
pub(crate) const HURRIED: &str = "MS";
pub(crate) const HURRIED_SIGMA_ARCMIN: f64 = 0.5;

/// What a bench adds to every direction on a day.
pub(crate) fn zero(station: &str, day: Date) -> Direction {
    let days = day.duration_since(WANDERS_FROM).as_hours() as f64 / 24.0;
    let months = if station == "Bench 4" { (days / 30.0).max(0.0) } else { 0.0 };
    Direction::new(WANDERS_ARCMIN.0 * months, WANDERS_ARCMIN.1 * months)
}

/// How a hand's readings scatter, each axis, arcminutes.
pub(crate) fn sigma_arcmin(hand: &str) -> f64 {
    if hand == HURRIED { HURRIED_SIGMA_ARCMIN } else { SIGMA_ARCMIN }
}

/// A unit as it is drawn.
pub(crate) struct Unit {
    pub(crate) circles: PerChannel<OffsetCircle>,
    /// How far tightening turns each ring, degrees clockwise.
    pub(crate) lock_turn_deg: PerChannel<f64>,
}

/// Draws from a seed, the same every time.
pub(crate) struct Draw(ChaCha8Rng);

impl Draw {
    pub(crate) fn new(seed: u64) -> Self {
        Self(ChaCha8Rng::seed_from_u64(seed))
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        let share: f64 = self.0.random();
        low + share * (high - low)
    }

    /// A normal deviate (Box and Muller, Ann. Math. Stat. 29 (1958) 610), to a hundredth: coarser than
    /// one machine's logarithm from another's.
    pub(crate) fn normal(&mut self, deviation: f64) -> f64 {
        let (u, v): (f64, f64) = (self.0.random(), self.0.random());
        let value = deviation * (-2.0 * (1.0 - u).ln()).sqrt() * (TAU * v).cos();
        (100.0 * value).round() / 100.0
    }

    /// One of some, each as likely.
    pub(crate) fn pick<'a>(&mut self, of: &[&'a str]) -> &'a str {
        let place = self.between(0.0, of.len() as f64) as usize;
        of.get(place).or(of.last()).copied().unwrap_or_default()
    }

    /// A unit of a housing: tubes with offsets of their own, eyepieces of some strength.
    pub(crate) fn unit(&mut self, housing: &str) -> Unit {
        let bore = match housing {
            "Sandpiper" => SANDPIPER_LEFT_ARCMIN,
            _ => (0.0, 0.0),
        };
        let mut drawn = |bore: (f64, f64)| {
            // No −0.
            let tenth = |value: f64| (10.0 * value).round() / 10.0 + 0.0;
            let x = tenth(bore.0 + self.normal(TUBES_ARCMIN));
            let y = tenth(bore.1 + self.normal(TUBES_ARCMIN));
            let radius = self.between(15.0, 23.0).round();
            circle((x, y), radius, self.between(0.0, 36.0).floor() * 10.0)
        };
        let circles = PerChannel { left: drawn(bore), right: drawn((0.0, 0.0)) };
        let locks_deg = if housing == "Turnstone" { TURNSTONE_LOCKS_DEG } else { 0.0 };
        let mut turn = || locks_deg + self.normal(LOCK_SCATTER_DEG);
        Unit { circles, lock_turn_deg: PerChannel { left: turn(), right: turn() } }
    }
}
