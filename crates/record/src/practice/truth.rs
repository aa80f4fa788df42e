//! What was hidden: the unit as it came and as it was left. Told after signing, and never before.

use core::fmt;

use solver::{Channel, Direction, PerChannel, WindowUse, meet};

use super::built::{Built, BuiltCell};
use super::fault::Fault;
use super::opening::remedies_of;
use super::reach::Reach;
use super::surroundings::limits;
use super::told::told_readings;
use super::unit::PracticeUnit;
use crate::conclusion::counted;
use crate::error::Error;
use crate::fact::{Approach, Lock, Reading, Remedy, Seen, Seq, SessionKind};
use crate::fold::{Round, Session};

/// The truth of a signed practice session.
#[derive(Clone, Debug, PartialEq)]
pub struct Truth {
    /// The unit.
    pub unit: PracticeUnit,
    /// The unit as it was left, remedies and all.
    pub left: Built,
    /// The remedies taken, in order.
    pub remedies: Vec<Remedy>,
    /// What could be reached from how it came.
    pub reach: Reach,
    /// How many readings were taken, withdrawn ones too.
    pub readings: usize,
    /// How many of those in use the program told.
    pub told: usize,
    /// From its first fact to the signature, minutes: by the session's own times, which are claims.
    pub minutes: f64,
    /// In how many rounds.
    pub rounds: usize,
    /// How its rings were left; `None` where no ring angle says so.
    pub rings: Option<PerChannel<BuiltCell>>,
    /// Where both channels were left pointing, exactly.
    pub points: Option<PerChannel<Direction>>,
    /// Window use as left, exactly.
    pub used: Option<WindowUse>,
    /// How far both channels point from boresight together as left, arcminutes.
    pub boresight_arcmin: Option<f64>,
    /// The same at the nearer crossing, or where nothing crosses at the best setting.
    pub nearer_arcmin: f64,
}

/// Why the truth is not told.
#[derive(Clone, Debug)]
pub enum Hidden {
    /// A real unit: nobody knows its truth.
    Real,
    /// Not signed yet.
    NotSigned,
    /// The exercise is not one of this program's.
    Unknown(Error),
}

impl fmt::Display for Hidden {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Real => f.write_str("this is a real unit; only readings tell about it"),
            Self::NotSigned => f.write_str("the truth is told once the session is signed"),
            Self::Unknown(why) => why.fmt(f),
        }
    }
}

impl Truth {
    /// The truth of a session, once it is signed; of the session as it was first signed.
    ///
    /// # Errors
    /// [`Hidden`] says why it is not told.
    pub fn of(session: &Session) -> Result<Self, Hidden> {
        let kind = session.header.as_ref().map(|header| &header.kind);
        let Some(SessionKind::Practice(exercise)) = kind else { return Err(Hidden::Real) };
        let signature = session.signatures.first().ok_or(Hidden::NotSigned)?;
        let unit = PracticeUnit::of_exercise(exercise).map_err(Hidden::Unknown)?;
        let signed = as_signed(session, signature.seq);
        let round = signed.round_of(signature.signed.round);
        // The first thing said after the header: the first round is opened with it.
        let began = session.rounds.first().map_or(signature.time, |round| round.time);
        let milliseconds = signature.time.unix_milliseconds() - began.unix_milliseconds();
        let minutes = milliseconds as f64 / 60_000.0;
        Self::told(unit, &signed, round, minutes).map_err(Hidden::Unknown)
    }

    fn told(
        unit: PracticeUnit,
        session: &Session,
        round: Option<&Round>,
        minutes: f64,
    ) -> Result<Self, Error> {
        let remedies = remedies_of(session);
        let left = unit.built(session);
        let window = limits()?;
        let rings = round.and_then(|round| rings_left(session, round));
        let points = rings.map(|rings| unit.points(&left, rings)).transpose()?;
        let PerChannel { left: first, right: second } = left.circles();
        let met = meet::meet(&first, &second, meet::RELATION_TOLERANCE)?;
        let nearer_arcmin = match met.nearest() {
            Some(near) => near.boresight_arcmin,
            None => super::reach::best_alone(&left, &window)?.boresight_arcmin,
        };
        Ok(Self {
            reach: unit.reach.clone(),
            points,
            used: points.map(|points| window.used_by(points.left, points.right)),
            boresight_arcmin: points.map(|p| p.left.midpoint(p.right).boresight_arcmin()),
            unit,
            left,
            remedies,
            readings: session.rounds.iter().map(|round| round.readings.len()).sum(),
            told: told_readings(session).len(),
            minutes,
            rounds: session.rounds.len(),
            rings,
            nearer_arcmin,
        })
    }

    /// Whether the unit is inside the window as it was left, and stays there: one with a loose cell does
    /// not.
    #[must_use]
    pub fn is_inside(&self) -> bool {
        self.used.is_some_and(|used| used.is_inside()) && !self.is_to_be_refused()
    }

    /// Whether an examination's time limit was kept, if it has one.
    #[must_use]
    pub fn is_in_time(&self) -> bool {
        let limit = self.unit.exam.and_then(|exam| exam.minutes);
        limit.is_none_or(|minutes| self.minutes <= f64::from(minutes))
    }

    /// Whether the unit is not to be worked on.
    #[must_use]
    pub fn is_to_be_refused(&self) -> bool {
        self.unit.has(Fault::LooseCell)
    }
}

/// The session as it was when it was first signed: after that the truth is told, and nothing counts.
pub(super) fn as_signed(session: &Session, signature: Seq) -> Session {
    let mut then = session.clone();
    then.stations.retain(|said| said.seq < signature);
    then.windows.retain(|said| said.seq < signature);
    then.looking_tests.retain(|said| said.seq < signature);
    then.notes.retain(|said| said.seq < signature);
    then.rounds.retain(|round| round.id < signature);
    for round in &mut then.rounds {
        round.remedies.retain(|(seq, _)| *seq < signature);
        round.readings.change(|entries| {
            entries.retain(|entry| entry.seq < signature);
            for entry in entries {
                entry.withdrawn.take_if(|withdrawn| withdrawn.by > signature);
            }
        });
    }
    then
}

/// How the rings were left: as the last reading that counts for the verdict says, else the last
/// reading of all.
fn rings_left(session: &Session, round: &Round) -> Option<PerChannel<BuiltCell>> {
    let counting = counted(session, round);
    let of = |channel: Channel| {
        let confirmed =
            counting.iter().flat_map(|at| &at.readings[channel]).map(|(entry, _)| *entry);
        let last = confirmed.max_by_key(|entry| entry.seq);
        let any = || round.in_use().rev().find(|entry| entry.reading.channel() == Some(channel));
        cell_of(&last.or_else(any)?.reading, channel)
    };
    Some(PerChannel { left: of(Channel::Left)?, right: of(Channel::Right)? })
}

fn cell_of(reading: &Reading, channel: Channel) -> Option<BuiltCell> {
    let ring_deg = reading.ring_deg(channel)?.value();
    let approach = match &reading.seen {
        Seen::Direction(read) => read.approach,
        Seen::Relative(read) => read.approach[channel],
        Seen::Box(read) => read.approach[channel],
    };
    let approach = if approach == Approach::NotNoted { Approach::Clockwise } else { approach };
    Some(BuiltCell { ring_deg, approach, locked: reading.lock != Some(Lock::Before) })
}
