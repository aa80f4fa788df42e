//! What one fact changes in a session, and how it was before.

use crate::error::Error;
use crate::fact::{Body, Fact, FileMarkKind, Precondition, Reading, Seq, Setup};
use crate::fold::entry::{Entry, Withdrawal};
use crate::fold::live::FactState;
use crate::fold::readings::Readings;
use crate::fold::remark::Remark;
use crate::fold::round::{Round, value_of};
use crate::fold::session::{SaidPrecondition, Session};
use crate::fold::signature::{AnswerKind, Signature, SupervisorAnswer};
use crate::number::Typed;

/// How it was before a fact, as far as the fact changed it.
#[derive(Clone, Debug)]
pub(super) struct Change {
    /// Whether it outdated the last signature.
    outdated: bool,
    what: What,
}

#[derive(Clone, Debug)]
enum What {
    /// Nothing changed, or what changed is never undone.
    Nothing,
    Setup(Option<Box<Fact<Setup>>>),
    /// The item as last said; `None`: it was said for the first time.
    Precondition(Option<Box<SaidPrecondition>>),
    /// What was in force in the open round, if one is open.
    Station(Option<Seq>),
    Unit(Option<Seq>),
    Window,
    Housing,
    RoundOpened,
    Reading,
    Withdrawn(Seq),
    Setting(Seq),
    Remedy(Seq),
    LookingTest,
    Note,
    Picture,
    Camera,
    Frame,
}

impl Session {
    /// Takes a fact at its word, or says why it cannot be; and how it was before.
    pub(super) fn take(
        &mut self,
        fact: &Fact,
        noticed: &mut Vec<Remark>,
    ) -> (Change, Result<(), Error>) {
        let mut outdated = false;
        if fact.body.outdates_signature()
            && let Some(signature) = self.signatures.last_mut()
        {
            outdated = !core::mem::replace(&mut signature.outdated, true);
        }
        match self.take_what(fact, noticed) {
            Ok(what) => (Change { outdated, what }, Ok(())),
            Err(why) => (Change { outdated, what: What::Nothing }, Err(why)),
        }
    }

    fn take_what(&mut self, fact: &Fact, noticed: &mut Vec<Remark>) -> Result<What, Error> {
        Ok(match &fact.body {
            Body::Header(header) => {
                self.header = Some(header.clone());
                What::Nothing
            }
            Body::Setup(setup) => What::Setup(self.setup.replace(said(fact, setup)).map(Box::new)),
            Body::Precondition(precondition) => {
                What::Precondition(self.see_to(fact.seq, precondition).map(Box::new))
            }
            Body::Station(station) => {
                self.stations.push(said(fact, station));
                let round = self.rounds.last_mut();
                What::Station(round.and_then(|round| round.station.replace(fact.seq)))
            }
            Body::Window(window) => {
                self.windows.push(said(fact, window));
                What::Window
            }
            Body::Housing(housing) => {
                self.housings.push(said(fact, housing));
                What::Housing
            }
            Body::Unit(unit) => {
                self.units.push(said(fact, unit));
                let round = self.rounds.last_mut();
                What::Unit(round.and_then(|round| round.unit.replace(fact.seq)))
            }
            Body::RoundOpened(opened) => {
                let round = Round {
                    id: fact.seq,
                    number: self.rounds.len() + 1,
                    time: fact.time,
                    why: opened.why,
                    note: opened.note.clone(),
                    readings: Readings::default(),
                    settings: Vec::new(),
                    remedies: Vec::new(),
                    station: self.stations.last().map(|said| said.seq),
                    unit: self.units.last().map(|said| said.seq),
                };
                self.rounds.push(round);
                What::RoundOpened
            }
            Body::Reading(reading) => {
                self.take_reading(fact, reading, noticed)?;
                What::Reading
            }
            Body::Withdrawn(withdrawn) => {
                let seq = withdrawn.reading;
                if !self.entry(seq).is_some_and(Entry::in_use) {
                    return Err(Error::NotAReadingInUse { seq });
                }
                let reason = withdrawn.reason.clone();
                self.set_withdrawn(seq, Some(Withdrawal { by: fact.seq, reason }));
                self.stands(seq, FactState::Withdrawn { by: fact.seq });
                What::Withdrawn(seq)
            }
            Body::SettingChosen(chosen) => {
                self.round_mut(chosen.round)?.settings.push((fact.seq, chosen.clone()));
                What::Setting(chosen.round)
            }
            Body::RemedyTaken(taken) => {
                self.round_mut(taken.round)?.remedies.push((fact.seq, taken.clone()));
                What::Remedy(taken.round)
            }
            Body::LookingTest(test) => {
                self.looking_tests.push(said(fact, test));
                What::LookingTest
            }
            Body::Note(note) => {
                if let Some(kind) = FileMarkKind::of(note) {
                    if kind.is_lost() {
                        self.lost_until = Some(fact.seq);
                    }
                    // What is lost like the one before it was said there.
                    if kind != FileMarkKind::LostToo {
                        let text = note.text.clone();
                        noticed.push(Remark::Marked { seq: fact.seq, kind, text });
                    }
                }
                self.notes.push(said(fact, note));
                What::Note
            }
            Body::Picture(picture) => {
                self.pictures.push(said(fact, picture));
                What::Picture
            }
            Body::Signed(signed) => {
                self.signatures.push(Signature {
                    seq: fact.seq,
                    time: fact.time,
                    hand: fact.hand.clone(),
                    signed: signed.clone(),
                    outdated: false,
                    answer: None,
                });
                What::Nothing
            }
            Body::Countersigned(answer) => {
                let kind = AnswerKind::Countersigned(answer.clone());
                self.answer(fact, answer.signature, kind)?;
                What::Nothing
            }
            Body::Returned(answer) => {
                let kind = AnswerKind::Returned(answer.clone());
                self.answer(fact, answer.signature, kind)?;
                What::Nothing
            }
            Body::Sealed(sealed) => {
                if !self.is_signing(sealed.seq) {
                    return Err(Error::NothingToSeal { seq: sealed.seq });
                }
                self.seals.push(said(fact, sealed));
                What::Nothing
            }
            Body::Camera(camera) => {
                self.cameras.push(said(fact, camera));
                What::Camera
            }
            Body::Frame(frame) => {
                let seq = frame.reading;
                self.entry(seq).ok_or(Error::NotAReadingInUse { seq })?;
                self.frames.push(said(fact, frame));
                What::Frame
            }
            // Worked out before.
            Body::Undo(_) | Body::Redo(_) => What::Nothing,
        })
    }

    /// Puts back how it was before the last change that is not taken back yet.
    pub(super) fn take_back(&mut self, before: Change) {
        match before.what {
            What::Nothing => {}
            What::Setup(setup) => self.setup = setup.map(|setup| *setup),
            What::Precondition(None) => drop(self.preconditions.pop()),
            What::Precondition(Some(seen)) => {
                let mut all = self.preconditions.iter_mut();
                if let Some(held) = all.find(|held| held.item == seen.item) {
                    *held = *seen;
                }
            }
            What::Station(in_force) => {
                self.stations.pop();
                if let Some(round) = self.rounds.last_mut() {
                    round.station = in_force;
                }
            }
            What::Unit(in_force) => {
                self.units.pop();
                if let Some(round) = self.rounds.last_mut() {
                    round.unit = in_force;
                }
            }
            What::Camera => drop(self.cameras.pop()),
            What::Frame => drop(self.frames.pop()),
            What::Window => drop(self.windows.pop()),
            What::Housing => drop(self.housings.pop()),
            What::RoundOpened => drop(self.rounds.pop()),
            What::Reading => {
                if let Some(round) = self.rounds.last_mut() {
                    round.readings.pop();
                }
            }
            What::Withdrawn(seq) => {
                self.set_withdrawn(seq, None);
                self.stands(seq, FactState::Live);
            }
            What::Setting(round) => {
                drop(self.round_mut(round).ok().and_then(|round| round.settings.pop()));
            }
            What::Remedy(round) => {
                drop(self.round_mut(round).ok().and_then(|round| round.remedies.pop()));
            }
            What::LookingTest => drop(self.looking_tests.pop()),
            What::Note => drop(self.notes.pop()),
            What::Picture => drop(self.pictures.pop()),
        }
        if before.outdated
            && let Some(signature) = self.signatures.last_mut()
        {
            signature.outdated = false;
        }
    }

    /// What was said of the item before.
    fn see_to(&mut self, seq: Seq, stated: &Precondition) -> Option<SaidPrecondition> {
        let Precondition { item, done, note } = stated.clone();
        let now = SaidPrecondition { item, done, note, seq };
        match self.preconditions.iter_mut().find(|seen| seen.item == now.item) {
            Some(seen) => Some(core::mem::replace(seen, now)),
            None => {
                self.preconditions.push(now);
                None
            }
        }
    }

    fn take_reading(
        &mut self,
        fact: &Fact,
        reading: &Reading,
        noticed: &mut Vec<Remark>,
    ) -> Result<(), Error> {
        let station = self.stations.last();
        let open = self.rounds.last_mut().ok_or(Error::NoRound)?;
        if open.id != reading.round {
            return Err(Error::NotTheOpenRound { named: reading.round, open: open.id });
        }
        let value = value_of(reading, station.map(|said| &said.body));
        let set_up = self.setup.as_ref().and_then(|said| said.body.ipd_mm.as_ref());
        let set_up_mm = set_up.map(Typed::value);
        let at_own_ipd = reading.ipd_mm.as_ref().is_none_or(|mm| set_up_mm == Some(mm.value()));
        open.readings.push(Entry {
            seq: fact.seq,
            time: fact.time,
            hand: fact.hand.clone(),
            reading: reading.clone(),
            station: station.map(|said| said.seq),
            value: value.as_ref().ok().copied(),
            at_own_ipd,
            withdrawn: None,
            number: 0,
        });
        if let Err(why) = value {
            noticed.push(Remark::NotMapped { seq: fact.seq, why: why.to_string() });
        }
        Ok(())
    }

    fn round_mut(&mut self, id: Seq) -> Result<&mut Round, Error> {
        let at = self.rounds.binary_search_by_key(&id, |round| round.id);
        let found = at.ok().and_then(|at| self.rounds.get_mut(at));
        found.ok_or(Error::NoSuchRound { round: id })
    }

    pub(crate) fn set_withdrawn(&mut self, seq: Seq, withdrawn: Option<Withdrawal>) {
        if let Some((round, at)) = self.place_of(seq)
            && let Some(round) = self.rounds.get_mut(round)
        {
            round.readings.set_withdrawn(at, withdrawn);
        }
    }

    /// Whether a fact is a signature, or the answer in force to one.
    pub(super) fn is_signing(&self, seq: Seq) -> bool {
        self.signatures.iter().any(|signature| {
            signature.seq == seq
                || signature.answer.as_ref().is_some_and(|answer| answer.seq == seq)
        })
    }

    fn answer(&mut self, fact: &Fact, signature: Seq, kind: AnswerKind) -> Result<(), Error> {
        let last = self.signatures.last_mut().filter(|held| held.seq == signature);
        let held = last.ok_or(Error::NotTheSignature { seq: signature })?;
        let agrees = matches!(kind, AnswerKind::Countersigned(_));
        if agrees && !held.may_be_countersigned_by(&fact.hand) {
            return Err(Error::SignatureReturned);
        }
        held.answer = Some(SupervisorAnswer {
            seq: fact.seq,
            time: fact.time,
            hand: fact.hand.clone(),
            kind,
        });
        Ok(())
    }
}

fn said<T: Clone>(fact: &Fact, body: &T) -> Fact<T> {
    Fact { seq: fact.seq, time: fact.time, hand: fact.hand.clone(), body: body.clone() }
}
