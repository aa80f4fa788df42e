//! How well a trainee read: each reading held against where the crosshair truly stood.

use solver::{Channel, Direction};

use crate::fact::{Seen, Seq};
use crate::fold::{Entry, Session};
use crate::practice::bench::Bench;
use crate::practice::fault::Fault;
use crate::practice::opening::{COLLEAGUE, cell_of};
use crate::practice::told::told_readings;
use crate::practice::unit::PracticeUnit;
use crate::station::{ReadingUnit, StationMap};

/// Up to so many standard deviations of a look an error is capped: one slip is one slip.
const CAPPED_AT: f64 = 8.0;

/// A reading of the trainee's own against the truth.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct ReadError {
    /// Which reading.
    pub seq: Seq,
    /// Whose.
    pub channel: Channel,
    /// How far it lies from where the crosshair stood, arcminutes: the noise of the look is in it.
    pub off_arcmin: f64,
    /// Whether the program told it.
    pub told: bool,
}

/// Every reading of the trainee's own against the truth, in order. Left out: what a colleague logged, what
/// was withdrawn for a new one, and a channel whose cell is loose, which stands nowhere.
#[must_use]
pub fn read_errors(unit: &PracticeUnit, session: &Session) -> Vec<ReadError> {
    let told = told_readings(session);
    let mut errors = Vec::new();
    Bench::new(unit).walk(session, |bench, entry| {
        errors.extend(error_of(unit, bench, entry).map(|(channel, off_arcmin)| ReadError {
            seq: entry.seq,
            channel,
            off_arcmin,
            told: told.contains(&entry.seq),
        }));
    });
    errors
}

fn error_of(unit: &PracticeUnit, bench: &Bench, entry: &Entry) -> Option<(Channel, f64)> {
    let channel = entry.reading.channel()?;
    let counts =
        entry.in_use() && entry.hand != COLLEAGUE && !unit.is_planted(Fault::LooseCell, channel);
    let stood = bench.point(channel, cell_of(&entry.reading)?).ok()?;
    let off = read_from_the_glass(entry, channel)?.distance_arcmin(stood);
    (counts && off.is_finite()).then_some((channel, off))
}

/// What was typed as the glass shows it: by the bench's true map, whatever the session's says.
fn read_from_the_glass(entry: &Entry, channel: Channel) -> Option<Direction> {
    let Seen::Direction(read) = &entry.reading.seen else { return None };
    if read.unit == ReadingUnit::Divisions {
        let typed = [read.x.value(), read.y.value()];
        return Some(StationMap::PLAIN.direction_from_divisions(typed));
    }
    entry.direction(channel).map(|(_, direction)| direction)
}

/// Errors of readings in one figure: the root mean square, each capped, in standard deviations of a look;
/// 1 is a perfect eye. `None` without a reading.
#[must_use]
pub fn root_mean_square(errors: &[ReadError], sigma_arcmin: f64) -> Option<f64> {
    // A look scatters in both axes.
    let look = sigma_arcmin * core::f64::consts::SQRT_2;
    let squares = errors.iter().map(|one| (one.off_arcmin / look).min(CAPPED_AT).powi(2));
    (!errors.is_empty()).then(|| (squares.sum::<f64>() / errors.len() as f64).sqrt())
}
