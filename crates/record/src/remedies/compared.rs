//! A remedy's prediction beside what the round after it measured.

use solver::{Channel, Direction, Solution};

use crate::fact::{RemedyTaken, RoundReason};
use crate::fold::{Round, Session};

/// A predicted place beside the measured one.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Compared {
    /// What.
    pub what: PredictedPlace,
    /// As predicted.
    pub predicted: Direction,
    /// As measured; `None` until it is.
    pub measured: Option<Direction>,
}

/// A place that a prediction names.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PredictedPlace {
    /// A circle's centre.
    Centre(Channel),
    /// Where the circles meet nearest boresight.
    Crossing,
}

impl Compared {
    /// Measured less predicted.
    #[must_use]
    pub fn difference(&self) -> Option<Direction> {
        self.measured.map(|measured| measured - self.predicted)
    }
}

/// The remedy that opened a round, when one did.
#[must_use]
pub fn remedy_that_opened<'a>(session: &'a Session, round: &Round) -> Option<&'a RemedyTaken> {
    if round.why != RoundReason::Remedy {
        return None;
    }
    let before = session.rounds.iter().rev().find(|before| before.id < round.id)?;
    before.remedies.last().map(|(_, taken)| taken)
}

/// The remedy that opened the round at work, when one did.
#[must_use]
pub fn remedy_before(session: &Session) -> Option<&RemedyTaken> {
    remedy_that_opened(session, session.round()?)
}

/// The prediction of the remedy that opened the round at work, beside what the round measures;
/// empty when no remedy did, or nothing was predicted. `solution` is of that round.
#[must_use]
pub fn compared(session: &Session, solution: Option<&Solution>) -> Vec<Compared> {
    session.round().map_or_else(Vec::new, |round| compared_in(session, round, solution))
}

/// As [`compared`], of any round: for going through a session afterwards.
#[must_use]
pub fn compared_in(session: &Session, round: &Round, solution: Option<&Solution>) -> Vec<Compared> {
    let taken = remedy_that_opened(session, round);
    let Some(prediction) = taken.and_then(|taken| taken.prediction.as_ref()) else {
        return Vec::new();
    };
    let direction = |[x, y]: [f64; 2]| Direction::new(x, y);
    let centres = Channel::BOTH.into_iter().filter_map(|channel| {
        let fit = solution.and_then(|solution| solution.fits[channel].as_ref().ok());
        Some(Compared {
            what: PredictedPlace::Centre(channel),
            predicted: direction(prediction.circles[channel]?.centre_arcmin),
            measured: fit.map(|fit| fit.circle.centre),
        })
    });
    let nearest = solution
        .and_then(|solution| solution.meeting.as_ref())
        .and_then(|meeting| meeting.nearest())
        .map(|nearest| nearest.point);
    let crossing = prediction.crossing_arcmin.map(|predicted| Compared {
        what: PredictedPlace::Crossing,
        predicted: direction(predicted),
        measured: nearest,
    });
    centres.chain(crossing).collect()
}
