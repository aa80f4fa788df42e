//! What tightening a lock does to a crosshair, told from the readings before and after. What to aim off for
//! is told from the sessions of a housing, in `shop/locks.rs`.

use solver::{Channel, Direction, OffsetCircle, PerChannel, Turn};

use crate::account::circles_of;
use crate::conclusion::measured::mean;
use crate::conclusion::position::Position;
use crate::fact::{Lock, Purpose};
use crate::fold::{Entry, Round, Session};

/// How a channel's crosshair moved when its lock was tightened.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LockShift {
    /// Mean of the readings before.
    pub before: Direction,
    /// Mean of the readings after.
    pub after: Direction,
    /// How many before and after.
    pub readings: [usize; 2],
}

impl LockShift {
    /// After less before, arcminutes.
    #[must_use]
    pub fn shift(&self) -> Direction {
        self.after - self.before
    }

    /// What the shift is as a turn of the ring, degrees clockwise: the lock drags the ring with it,
    /// and that is the same wherever on its circle the ring stands, which the shift in x and y is
    /// not. `None` at the circle's centre.
    #[must_use]
    pub fn turned_deg(&self, circle: &OffsetCircle) -> Option<f64> {
        let turn = Turn::between(circle, self.before, None, self.after, None)?;
        Some(circle.phase.map_or(1.0, |phase| phase.sense.sign()) * turn.clockwise_deg)
    }
}

/// How each crosshair moved when its lock was last tightened in a round.
///
/// Before: the confirm readings with the lock open, where the unit was set up, since the ring was
/// last logged. After: those with the lock tight that follow, up to the next reseating, which would
/// add its own scatter. `None` without either, and while an examination [is sat](Session::withholds).
#[must_use]
pub fn lock_shifts(session: &Session, round: &Round) -> PerChannel<Option<LockShift>> {
    if session.withholds() {
        return PerChannel::default();
    }
    PerChannel::from_fn(|channel| {
        let (mut before, mut after): (Vec<Direction>, Vec<Direction>) = Default::default();
        let mut reseated = false;
        for entry in since_logged(round, channel) {
            // Whichever channel was read first after it: the whole unit was taken off.
            reseated |= entry.reading.reseated;
            let Some(point) = point_of(entry, channel) else { continue };
            if entry.reading.purpose == Purpose::Log {
                before.clear();
                after.clear();
            }
            let here = Position::of(entry, session) == Position::SetUp;
            match (entry.reading.purpose, entry.reading.lock) {
                (Purpose::Confirm, Some(Lock::Before)) => {
                    if !after.is_empty() {
                        before.clear();
                        after.clear();
                    }
                    reseated = false;
                    before.extend(here.then_some(point));
                }
                (Purpose::Confirm, Some(Lock::After))
                    if here && !before.is_empty() && !reseated =>
                {
                    after.push(point);
                }
                _ => {}
            }
        }
        if before.is_empty() || after.is_empty() {
            return None;
        }
        let readings = [before.len(), after.len()];
        Some(LockShift { before: mean(&before), after: mean(&after), readings })
    })
}

/// The readings that count from the channel's last log reading on: there begins what is looked for.
fn since_logged(round: &Round, channel: Channel) -> impl Iterator<Item = &Entry> {
    let logged = |entry: &Entry| {
        entry.in_use()
            && entry.reading.purpose == Purpose::Log
            && point_of(entry, channel).is_some()
    };
    let from = round.readings.iter().rposition(logged).unwrap_or_default();
    round.readings.iter().skip(from).filter(|entry| entry.in_use())
}

fn point_of(entry: &Entry, channel: Channel) -> Option<Direction> {
    entry.direction(channel).map(|(_, point)| point)
}

/// How far each lock turned its ring when it was last tightened in the session, degrees clockwise,
/// worked out on the circle of the same round. `None` where it was not read, or the circle is not
/// known.
#[must_use]
pub fn turned_by_locks_deg(session: &Session) -> PerChannel<Option<f64>> {
    let mut found = PerChannel::default();
    for round in &session.rounds {
        let shifts = lock_shifts(session, round);
        if shifts == PerChannel::default() {
            continue;
        }
        let circles = circles_of(session, round.id);
        for channel in Channel::BOTH {
            let fit = circles.as_ref().and_then(|circles| circles.fit(channel));
            let turned =
                shifts[channel].zip(fit).and_then(|(shift, fit)| shift.turned_deg(&fit.circle));
            found[channel] = turned.or(found[channel]);
        }
    }
    found
}
