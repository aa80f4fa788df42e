//! Which steps of the work were gone through, as the facts tell.

use solver::Channel;

use crate::conclusion::{counted, far_point, looking_tests};
use crate::fact::{Approach, Lock, Purpose, Reading, Seen, Seq};
use crate::fold::{ApproachUsed, Entry, Round, Session};
use crate::number::Typed;
use crate::practice::look_through::LooksLike;
use crate::practice::truth::Truth;

/// A step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ProcedureStep {
    /// Both channels read before anything was touched.
    AsFound,
    /// Both dioptres at zero, and said so.
    Dioptre,
    /// Every turn ended from one side.
    Approach,
    /// The round closed at its first position, both channels.
    Closing,
    /// Read before the locks were tightened and after.
    Locks,
    /// Read again after the unit was taken off and seated anew.
    Reseat,
    /// Looked through at a far point, and what was seen noted.
    Looking,
}

impl ProcedureStep {
    /// All of them, in the order of the work.
    pub const ALL: [Self; 7] = [
        Self::AsFound,
        Self::Dioptre,
        Self::Approach,
        Self::Closing,
        Self::Locks,
        Self::Reseat,
        Self::Looking,
    ];

    /// What it is called.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::AsFound => "as found before anything is touched",
            Self::Dioptre => "both dioptres at zero",
            Self::Approach => "one approach",
            Self::Closing => "closing the round",
            Self::Locks => "reading before and after the locks",
            Self::Reseat => "reseating",
            Self::Looking => "the looking test",
        }
    }
}

/// The steps that a signed session lacks, in the order of the work. A unit that was refused needs no more
/// than to be read as found.
#[must_use]
pub fn skipped(
    truth: &Truth,
    session: &Session,
    round: Option<&Round>,
    refused: bool,
) -> Vec<ProcedureStep> {
    let asked =
        ProcedureStep::ALL.into_iter().filter(|step| !refused || *step == ProcedureStep::AsFound);
    asked.filter(|step| !is_done(*step, truth, session, round)).collect()
}

fn is_done(step: ProcedureStep, truth: &Truth, session: &Session, round: Option<&Round>) -> bool {
    let both = |test: &dyn Fn(Channel, &Round) -> bool| {
        round.is_some_and(|round| Channel::BOTH.iter().all(|&of| test(of, round)))
    };
    match step {
        ProcedureStep::AsFound => as_found_first(truth, session),
        ProcedureStep::Dioptre => both(&|of, round| dioptre_zero(session, round, of)),
        ProcedureStep::Approach => both(&|of, round| one_approach(round, of)),
        ProcedureStep::Closing => both(&|of, round| round.closure(of).is_some()),
        ProcedureStep::Locks => both(&before_and_after),
        ProcedureStep::Reseat => both(&|of, round| since_reseated(session, round, of)),
        ProcedureStep::Looking => round.is_some_and(|round| looked(truth, session, round)),
    }
}

/// Each channel's first reading is as found, where the ring stood, and nothing was logged, confirmed or done
/// before both were.
fn as_found_first(truth: &Truth, session: &Session) -> bool {
    let entries = || session.rounds.iter().flat_map(|round| &round.readings);
    let found = truth.unit.as_found();
    let first_of = |channel| {
        let first = entries().find(|entry| entry.reading.channel() == Some(channel))?;
        let as_found = first.reading.purpose == Purpose::AsFound;
        let ring = first.reading.ring_deg(channel).map(Typed::value);
        let there = ring.is_none_or(|deg| (deg - found[channel].ring_deg).abs() < 0.01);
        (as_found && there).then_some(first.seq)
    };
    let [Some(left), Some(right)] = Channel::BOTH.map(first_of) else { return false };
    let read: Seq = left.max(right);
    let touched = |entry: &Entry| entry.reading.purpose != Purpose::AsFound && entry.seq < read;
    let done = |round: &Round| round.remedies.iter().any(|(seq, _)| *seq < read);
    !entries().any(touched) && !session.rounds.iter().any(done)
}

fn confirmed<'a>(session: &Session, round: &'a Round, channel: Channel) -> Vec<&'a Entry> {
    let counting = counted(session, round);
    counting.iter().flat_map(|at| &at.readings[channel]).map(|(entry, _)| *entry).collect()
}

fn dioptre_zero(session: &Session, round: &Round, channel: Channel) -> bool {
    let read = confirmed(session, round, channel);
    let at_zero = |entry: &&Entry| {
        entry.reading.dioptre.as_ref().is_some_and(|dioptre| dioptre.value() == 0.0)
    };
    !read.is_empty() && read.iter().all(at_zero)
}

fn one_approach(round: &Round, channel: Channel) -> bool {
    let logged = round.approach(channel);
    if matches!(logged, ApproachUsed::Mixed | ApproachUsed::NotNoted) {
        return false;
    }
    round.of(channel, Purpose::Confirm).all(|entry| match approach_of(&entry.reading) {
        Approach::Clockwise => logged == ApproachUsed::Clockwise,
        Approach::Counter => logged == ApproachUsed::Counter,
        Approach::NotNoted => false,
    })
}

const fn approach_of(reading: &Reading) -> Approach {
    match &reading.seen {
        Seen::Direction(read) => read.approach,
        Seen::Relative(_) | Seen::Box(_) => Approach::NotNoted,
    }
}

fn before_and_after(channel: Channel, round: &Round) -> bool {
    let with = |lock| {
        let mut of = round.of(channel, Purpose::Confirm);
        of.find(|entry| entry.reading.lock == Some(lock)).map(|entry| entry.seq)
    };
    let after = round.of(channel, Purpose::Confirm).next_back();
    let tight_last = after.is_some_and(|entry| entry.reading.lock == Some(Lock::After));
    with(Lock::Before).is_some() && tight_last
}

fn since_reseated(session: &Session, round: &Round, channel: Channel) -> bool {
    let every = Channel::BOTH.map(|of| confirmed(session, round, of)).concat();
    let reseated = every.iter().filter(|entry| entry.reading.reseated).map(|entry| entry.seq).min();
    reseated.is_some_and(|since| {
        confirmed(session, round, channel).iter().any(|entry| entry.seq >= since)
    })
}

/// Far enough away, and noted as it shows.
fn looked(truth: &Truth, session: &Session, round: &Round) -> bool {
    let least_m = far_point(session).map_or(0.0, |needed| needed.distance_m);
    let shows = truth.points.map(LooksLike::of);
    looking_tests(session, round).any(|test| {
        let far = test.body.distance_m.as_ref().is_some_and(|m| m.value() >= least_m);
        far && shows.is_none_or(|shows| shows.agrees(test.body.result))
    })
}
