//! Whether readings can settle a circle at all: distinct ring angles, distinct places, a line.

use crate::angle::turn_deg;
use crate::channel::Channel;
use crate::direction::Direction;
use crate::error::Error;
use crate::fit::frame::WorkingFrame;
use crate::fit::reading::Reading;

/// Ring angles closer than this are one angle: typed angles differ by more, rounding by less.
const SAME_ANGLE_DEG: f64 = 1e-9;

/// Points within this share of their reach from one line are on that line: readings come in
/// tenths of an arcminute over a reach of minutes or more, rounding is 1e-13.
const ON_A_LINE: f64 = 1e-9;

/// Two readings and the mean that make a triangle so large are on no line, whatever the third is.
const PLAINLY_OFF: f64 = 0.01;

/// What the readings have to offer.
#[derive(Clone, Copy, Debug)]
pub(super) struct ReadingEvidence {
    /// The working frame.
    pub(super) frame: WorkingFrame,
    /// Distinct ring angles modulo 360°, counted up to three.
    pub(super) distinct_angles: usize,
    /// Readings that have a ring angle.
    pub(super) with_ring: usize,
    /// Whether at least three places do not lie on one line.
    pub(super) spans_a_plane: bool,
}

/// Counts what there is, or says what is missing.
pub(super) fn weigh(channel: Channel, readings: &[Reading]) -> Result<ReadingEvidence, Error> {
    let directions = readings.iter().map(|reading| reading.direction);
    let frame = WorkingFrame::around(readings.len(), directions);
    let with_ring = readings.iter().filter(|reading| reading.ring_deg.is_some()).count();
    // There is a frame only where every direction is finite.
    if (frame.is_none() || with_ring > 0)
        && let Some(error) = not_finite(channel, readings)
    {
        return Err(error);
    }
    let distinct_angles = if with_ring == 0 {
        0
    } else {
        distinct(readings.iter().filter_map(|reading| reading.ring_deg), |a, b| {
            turn_deg(*a, *b).abs() < SAME_ANGLE_DEG
        })
    };
    let distinct_points = distinct(readings.iter().map(|reading| reading.direction), |a, b| a == b);
    let too_few = || Error::TooFewReadings {
        channel,
        readings: readings.len(),
        distinct_angles,
        distinct_points,
    };
    let Some(frame) = frame else {
        // Empty, or numbers so large that their squares overflow.
        return Err(if readings.is_empty() { too_few() } else { Error::Undetermined { channel } });
    };
    if distinct_angles < 2 && distinct_points < 3 {
        return Err(too_few());
    }
    if distinct_points < 2 {
        return Err(Error::NoOffset { channel });
    }
    let spans_a_plane = distinct_points >= 3 && spans_a_plane(readings, &frame);
    if distinct_angles < 2 && !spans_a_plane {
        return Err(Error::OnALine { channel });
    }
    Ok(ReadingEvidence { frame, distinct_angles, with_ring, spans_a_plane })
}

fn not_finite(channel: Channel, readings: &[Reading]) -> Option<Error> {
    let finite = |reading: &Reading| {
        reading.direction.is_finite() && reading.ring_deg.is_none_or(f64::is_finite)
    };
    let index = readings.iter().position(|reading| !finite(reading))?;
    let Reading { direction, ring_deg } = readings.get(index)?;
    let field = if !ring_deg.is_none_or(f64::is_finite) {
        "ring angle"
    } else if !direction.x_arcmin.is_finite() {
        "x"
    } else {
        "y"
    };
    Some(Error::ReadingNotFinite { channel, index, field })
}

/// How many different values there are, counted up to three, in one pass.
fn distinct<T>(values: impl Iterator<Item = T>, same: impl Fn(&T, &T) -> bool) -> usize {
    let mut seen: [Option<T>; 3] = [None, None, None];
    let mut count = 0;
    for value in values {
        if seen.iter().flatten().any(|known| same(known, &value)) {
            continue;
        }
        let Some(free) = seen.get_mut(count) else { break };
        *free = Some(value);
        count += 1;
    }
    count
}

/// Whether some reading lies off the line through the mean along the longest reach.
fn spans_a_plane(readings: &[Reading], frame: &WorkingFrame) -> bool {
    let framed = || readings.iter().map(|reading| frame.framed(reading.direction));
    // Farther off the line to a nearer reading is farther off some line of the longest reach: most rounds are
    // seen to span a plane from their first two readings.
    let off =
        |far: Direction, at: Direction| far.x_arcmin * at.y_arcmin - far.y_arcmin * at.x_arcmin;
    let plainly = |pair: [Direction; 2]| off(pair[0], pair[1]).abs() > PLAINLY_OFF;
    if framed().zip(framed().skip(1)).any(|(first, second)| plainly([first, second])) {
        return true;
    }
    let far = framed().fold(
        Direction::BORESIGHT,
        |far, at| {
            if at.dot(at) > far.dot(far) { at } else { far }
        },
    );
    framed().any(|at| off(far, at).abs() > ON_A_LINE)
}
