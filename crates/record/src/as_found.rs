//! How a unit came: its readings before anything was touched.

use solver::{Channel, Direction, Misalignment, PerChannel, WindowUse};

use crate::fact::{Purpose, Seq};
use crate::fold::Session;

/// A unit as it was found: the means of its as-found readings.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct AsFound {
    /// The round they belong to: the first that has any.
    pub round: Seq,
    /// How many readings of each channel.
    pub readings: PerChannel<usize>,
    /// Their mean; `None` for a channel that was not read.
    pub points: PerChannel<Option<Direction>>,
    /// What both channels together come to; `None` unless both were read.
    pub together: Option<Together>,
}

/// What two directions come to.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Together {
    /// p_R − p_L.
    pub misalignment: Misalignment,
    /// Distance of (p_L + p_R)/2 from boresight, arcminutes.
    pub boresight_arcmin: f64,
    /// Window use, when there is a window.
    pub window_use: Option<WindowUse>,
}

/// How the unit was found; `None` when nobody read it before touching it, and while an examination [is
/// sat](Session::withholds).
///
/// Only readings of single channels where the unit was set up count.
#[must_use]
pub fn as_found(session: &Session) -> Option<AsFound> {
    let (round, read) = as_found_readings(session).filter(|_| !session.withholds())?;
    let points = PerChannel::from_fn(|channel| mean(&read[channel]));
    let together = points.left.zip(points.right).map(|(left, right)| Together {
        misalignment: Misalignment::between(left, right),
        boresight_arcmin: left.midpoint(right).boresight_arcmin(),
        window_use: session.window().map(|window| window.limits.used_by(left, right)),
    });
    Some(AsFound { round, readings: read.as_ref().map(Vec::len), points, together })
}

/// The round of the as-found readings and where each of them pointed.
pub(crate) fn as_found_readings(session: &Session) -> Option<(Seq, PerChannel<Vec<Direction>>)> {
    session.rounds.iter().find_map(|round| {
        let read = PerChannel::from_fn(|channel: Channel| -> Vec<Direction> {
            round
                .of(channel, Purpose::AsFound)
                .filter(|entry| entry.at_set_up_position())
                .filter_map(|entry| entry.direction(channel).map(|(_, direction)| direction))
                .collect()
        });
        let any = read.iter().any(|(_, points)| !points.is_empty());
        any.then_some((round.id, read))
    })
}

fn mean(points: &[Direction]) -> Option<Direction> {
    if points.is_empty() {
        return None;
    }
    let sum = points.iter().fold(Direction::BORESIGHT, |sum, point| sum + *point);
    Some(sum * (1.0 / points.len() as f64))
}
