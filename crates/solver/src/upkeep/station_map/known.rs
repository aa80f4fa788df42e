//! What was shown to a station, and what was read.

use crate::direction::Direction;

/// Which way the numbers run, seen when a crosshair was put to the right and up.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Flips {
    /// x falls when the crosshair goes to the right as the user sees it.
    pub x: bool,
    /// y falls when it goes up.
    pub y: bool,
}

/// One known deviation, and what was read of it in one channel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct KnownDeviation<'a> {
    /// Where it points by its certificate, arcminutes as the user sees them.
    pub direction: Direction,
    /// Standard uncertainty of that, each axis, arcminutes; what it shares with no other deviation.
    pub u_arcmin: f64,
    /// Its readings, divisions; repeats share the deviation's own error.
    pub readings: &'a [[f64; 2]],
}

/// How many scales are looked for.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Scales {
    /// One for both axes: a similarity.
    #[default]
    One,
    /// One along the user's x and one along y.
    Each,
}

/// What a map is found from, one channel.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct MapProblem<'a> {
    /// Which way the numbers were seen to run.
    pub flips: Flips,
    /// What was shown and read; those without readings count for nothing.
    pub deviations: &'a [KnownDeviation<'a>],
    /// Standard uncertainty of one reading, each axis, divisions; `None`: the scatter about the map says it.
    pub sigma_divisions: Option<f64>,
    /// How many scales.
    pub scales: Scales,
}
