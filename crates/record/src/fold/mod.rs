//! The fold: from facts to the session they make. Pure, total, and the only meaning facts have.
//!
//! - [`session`]: what comes out; [`round`]: rounds and readings; [`signature`]: who answers;
//! - [`live`]: undo and redo; [`admit`]: what may be said next; [`remark`]: what was noticed.

pub mod admit;
pub mod live;
pub mod remark;
pub mod round;
pub mod session;
pub mod signature;

pub use live::FactState;
pub use remark::Remark;
pub use round::{ApproachUsed, Closure, Entry, Place, Round, Value, Withdrawal};
pub use session::{Said, Session};
pub use signature::{Answer, AnswerKind, Signature, SignatureState};

use solver::Channel;

use crate::error::Error;
use crate::fact::texts::plain;
use crate::fact::{Body, Fact, MarkKind, Precondition, Reading, Seq};
use live::Live;
use round::value_of;
use session::{Seen, said_by};

/// What the facts come to.
///
/// Total: facts that cannot be taken at their word are left aside with a remark. The facts must be
/// numbered from 1 in order, as a session file gives them.
#[must_use]
pub fn fold(facts: &[Fact]) -> Session {
    let mut live = Live::of(facts);
    let mut session = Session { remarks: std::mem::take(&mut live.remarks), ..Session::default() };
    for (index, fact) in facts.iter().enumerate() {
        let fact = &*plain(fact);
        if live.states.get(index) == Some(&FactState::Live) {
            if let Err(why) = session.take(fact) {
                live.set(fact.seq, FactState::Ignored);
                session.remarks.push(Remark::Ignored { seq: fact.seq, why: why.to_string() });
            } else if let Body::Withdrawn(withdrawn) = &fact.body {
                live.set(withdrawn.reading, FactState::Withdrawn { by: fact.seq });
            }
        }
    }
    session.next_undo = live.next_undo();
    session.next_redo = live.next_redo();
    session.timeline = live.states;
    session.remark_on_clock(facts);
    session.remark_on_rounds();
    session
}

/// Replay: what the facts up to and with `seq` come to.
#[must_use]
pub fn fold_to(facts: &[Fact], seq: Seq) -> Session {
    let count = usize::try_from(seq).unwrap_or(usize::MAX).min(facts.len());
    fold(facts.get(..count).unwrap_or_default())
}

impl Session {
    fn take(&mut self, fact: &Fact) -> Result<(), Error> {
        if fact.body.outdates_signature()
            && let Some(signature) = self.signatures.last_mut()
        {
            signature.outdated = true;
        }
        match &fact.body {
            Body::Header(header) => self.header = Some(header.clone()),
            Body::Setup(setup) => self.setup = Some(said(fact, setup)),
            Body::Precondition(precondition) => self.see_to(fact.seq, precondition),
            Body::Station(station) => {
                self.stations.push(said(fact, station));
                self.update_round(|round| round.station = Some(fact.seq));
            }
            Body::Window(window) => self.windows.push(said(fact, window)),
            Body::Housing(housing) => self.housings.push(said(fact, housing)),
            Body::Unit(unit) => {
                self.units.push(said(fact, unit));
                self.update_round(|round| round.unit = Some(fact.seq));
            }
            Body::RoundOpened(opened) => {
                let round = Round {
                    id: fact.seq,
                    number: self.rounds.len() + 1,
                    time: fact.time,
                    why: opened.why,
                    note: opened.note.clone(),
                    readings: Vec::new(),
                    settings: Vec::new(),
                    remedies: Vec::new(),
                    station: self.stations.last().map(|said| said.seq),
                    unit: self.units.last().map(|said| said.seq),
                };
                self.rounds.push(round);
            }
            Body::Reading(reading) => return self.take_reading(fact, reading),
            Body::Withdrawn(withdrawn) => {
                let entry = self
                    .rounds
                    .iter_mut()
                    .flat_map(|round| &mut round.readings)
                    .find(|entry| entry.seq == withdrawn.reading && entry.in_use())
                    .ok_or(Error::NotAReadingInUse { seq: withdrawn.reading })?;
                entry.withdrawn =
                    Some(Withdrawal { by: fact.seq, reason: withdrawn.reason.clone() });
            }
            Body::SettingChosen(chosen) => {
                self.round_mut(chosen.round)?.settings.push((fact.seq, chosen.clone()));
            }
            Body::RemedyTaken(taken) => {
                self.round_mut(taken.round)?.remedies.push((fact.seq, taken.clone()));
            }
            Body::LookingTest(test) => self.looking_tests.push(said(fact, test)),
            Body::Note(note) => {
                if let Some(kind) = MarkKind::of(note) {
                    let text = note.text.clone();
                    self.remarks.push(Remark::Marked { seq: fact.seq, kind, text });
                }
                self.notes.push(said(fact, note));
            }
            Body::Picture(picture) => self.pictures.push(said(fact, picture)),
            Body::Signed(signed) => self.signatures.push(Signature {
                seq: fact.seq,
                time: fact.time,
                hand: fact.hand.clone(),
                signed: signed.clone(),
                outdated: false,
                answer: None,
            }),
            Body::Countersigned(answer) => {
                let kind = AnswerKind::Countersigned(answer.clone());
                self.answer(fact, answer.signature, kind)?;
            }
            Body::Returned(answer) => {
                let kind = AnswerKind::Returned(answer.clone());
                self.answer(fact, answer.signature, kind)?;
            }
            Body::Sealed(sealed) => {
                if !self.is_signing(sealed.seq) {
                    return Err(Error::NothingToSeal { seq: sealed.seq });
                }
                self.seals.push(said(fact, sealed));
            }
            Body::Camera(camera) => self.cameras.push(said(fact, camera)),
            Body::Frame(frame) => {
                let seq = frame.reading;
                self.entry(seq).ok_or(Error::NotAReadingInUse { seq })?;
                self.frames.push(said(fact, frame));
            }
            // Worked out before.
            Body::Undo(_) | Body::Redo(_) => {}
        }
        Ok(())
    }

    /// Whether a fact is a signature, or the answer in force to one.
    pub(super) fn is_signing(&self, seq: Seq) -> bool {
        self.signatures.iter().any(|signature| {
            signature.seq == seq
                || signature.answer.as_ref().is_some_and(|answer| answer.seq == seq)
        })
    }

    fn see_to(&mut self, seq: Seq, stated: &Precondition) {
        let Precondition { item, done, note } = stated.clone();
        match self.preconditions.iter_mut().find(|seen| seen.item == item) {
            Some(seen) => *seen = Seen { item, done, note, seq },
            None => self.preconditions.push(Seen { item, done, note, seq }),
        }
    }

    fn take_reading(&mut self, fact: &Fact, reading: &Reading) -> Result<(), Error> {
        let station = self.stations.last();
        let value = value_of(reading, station.map(|said| &said.value));
        let entry = Entry {
            seq: fact.seq,
            time: fact.time,
            hand: fact.hand.clone(),
            reading: reading.clone(),
            station: station.map(|said| said.seq),
            value: value.as_ref().ok().copied(),
            withdrawn: None,
        };
        let open = self.rounds.last_mut().ok_or(Error::NoRound)?;
        if open.id != reading.round {
            return Err(Error::NotTheOpenRound { named: reading.round, open: open.id });
        }
        open.readings.push(entry);
        if let Err(why) = value {
            self.remarks.push(Remark::NotMapped { seq: fact.seq, why: why.to_string() });
        }
        Ok(())
    }

    fn update_round(&mut self, update: impl FnOnce(&mut Round)) {
        if let Some(round) = self.rounds.last_mut() {
            update(round);
        }
    }

    fn round_mut(&mut self, round: Seq) -> Result<&mut Round, Error> {
        let found = self.rounds.iter_mut().find(|held| held.id == round);
        found.ok_or(Error::NoSuchRound { round })
    }

    fn answer(&mut self, fact: &Fact, signature: Seq, kind: AnswerKind) -> Result<(), Error> {
        let last = self.signatures.last_mut().filter(|held| held.seq == signature);
        let held = last.ok_or(Error::NotTheSignature { seq: signature })?;
        held.answer =
            Some(Answer { seq: fact.seq, time: fact.time, hand: fact.hand.clone(), kind });
        Ok(())
    }

    fn remark_on_clock(&mut self, facts: &[Fact]) {
        for (before, after) in facts.iter().zip(facts.iter().skip(1)) {
            let milliseconds =
                before.time.unix_milliseconds().saturating_sub(after.time.unix_milliseconds());
            if milliseconds > 0 {
                self.remarks.push(Remark::ClockSteppedBack { seq: after.seq, milliseconds });
            }
        }
    }

    /// Whether two stations in force read the same graticule otherwise.
    fn read_otherwise(&self, before: Option<Seq>, after: Option<Seq>) -> bool {
        before != after
            && match (said_by(&self.stations, before), said_by(&self.stations, after)) {
                (Some(before), Some(after)) => !after.reads_as(before),
                (before, after) => before.is_some() != after.is_some(),
            }
    }

    fn remark_on_rounds(&mut self) {
        let mut remarks = Vec::new();
        for round in &self.rounds {
            let in_use: Vec<&Entry> = round.in_use().collect();
            let station_changed = in_use
                .windows(2)
                .find(|pair| matches!(pair, [a, b] if self.read_otherwise(a.station, b.station)));
            if let Some([_, after]) = station_changed {
                remarks.push(Remark::StationChanged { round: round.id, seq: after.seq });
            }
            let rebuilt = self.units.windows(2).filter_map(|pair| match pair {
                [before, after] if after.value.is_rebuilt_from(&before.value) => Some(after.seq),
                _ => None,
            });
            let changed = rebuilt.into_iter().find_map(|unit| {
                let split = in_use.iter().position(|entry| entry.seq > unit)?;
                (split > 0).then(|| in_use.get(split)).flatten()
            });
            if let Some(after) = changed {
                remarks.push(Remark::UnitChanged { round: round.id, seq: after.seq });
            }
            for channel in Channel::BOTH {
                if round.approach(channel) == ApproachUsed::Mixed {
                    remarks.push(Remark::MixedApproaches { round: round.id, channel });
                }
            }
        }
        self.remarks.append(&mut remarks);
    }
}

fn said<T: Clone>(fact: &Fact, value: &T) -> Said<T> {
    Said { seq: fact.seq, time: fact.time, hand: fact.hand.clone(), value: value.clone() }
}
