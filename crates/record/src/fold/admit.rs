//! Whether a fact makes sense now, asked before it becomes one.

use crate::error::Error;
use crate::fact::{Body, DayKind, DayNote, FIRST_FORMAT, Purpose, Reading, Seen, Seq, is_nobody};
use crate::fold::round::value_of;
use crate::fold::session::Session;
use crate::validate::{Checked, named};
use solver::Channel;

impl Session {
    /// Whether a hand may add a fact now: who signs or answers a signature is named, what was returned is
    /// countersigned by nobody but the hand that returned it, and for the rest as
    /// [`admits`](Self::admits).
    ///
    /// # Errors
    /// [`Error::NobodySigns`], [`Error::SignatureReturned`], and those of [`admits`](Self::admits).
    pub fn admits_from(&self, hand: &str, body: &Body) -> Result<(), Error> {
        let answers_for =
            matches!(body, Body::Signed(_) | Body::Countersigned(_) | Body::Returned(_));
        if answers_for && is_nobody(hand) {
            return Err(Error::NobodySigns);
        }
        if let (Body::Countersigned(_), Some(signature)) = (body, self.signatures.last())
            && !signature.may_be_countersigned_by(hand)
        {
            return Err(Error::SignatureReturned);
        }
        self.admits(body)
    }

    /// Whether a fact may be added now.
    ///
    /// # Errors
    /// Why not, and what to do, in the user's words. A reading is refused when its numbers point
    /// outside the field ([`Error::BeyondField`]), name a station that is not there, or belong to a
    /// round that is not open.
    pub fn admits(&self, body: &Body) -> Result<(), Error> {
        match body {
            Body::Header(_) => Err(Error::HeaderOutOfPlace),
            Body::Undo(seq) if self.undo() != Some(*seq) => {
                Err(Error::UndoOutOfTurn { named: *seq, latest: self.undo() })
            }
            Body::Redo(seq) if self.redo() != Some(*seq) => {
                Err(Error::RedoOutOfTurn { named: *seq, latest: self.redo() })
            }
            Body::Station(station) => station.check(),
            Body::Window(window) => window.check(),
            Body::Housing(housing) => housing.check(),
            Body::Unit(unit) => unit.check(),
            Body::Reading(reading) => self.admits_reading(reading),
            Body::Withdrawn(withdrawn) => {
                let seq = withdrawn.reading;
                let in_use = self.entry(seq).is_some_and(super::entry::Entry::in_use);
                if !in_use {
                    return Err(Error::NotAReadingInUse { seq });
                }
                named("the reason", &withdrawn.reason)
            }
            Body::SettingChosen(chosen) => self.has_round(chosen.round),
            Body::RemedyTaken(taken) => self.has_round(taken.round),
            Body::Note(note) => match DayNote::of(note) {
                Some(day) => self.admits_day(&day),
                None if note.is_in_the_programs_words() && note.told_channel().is_none() => {
                    Err(Error::ProgramsOwnNote)
                }
                None => named("the note", &note.text),
            },
            Body::Signed(signed) => self.has_round(signed.round),
            Body::Countersigned(answer) => {
                if answer.hands_sha256.is_some() {
                    self.has_words_for(body)?;
                }
                answer.check()?;
                self.answers_signature(answer.signature, true)
            }
            Body::Returned(answer) => {
                self.answers_signature(answer.signature, false)?;
                named("the comment", &answer.comment)
            }
            Body::Sealed(sealed) => {
                self.has_words_for(body)?;
                sealed.check()?;
                let seq = sealed.seq;
                if self.is_signing(seq) { Ok(()) } else { Err(Error::NothingToSeal { seq }) }
            }
            Body::Camera(camera) => self.has_words_for(body).and_then(|()| camera.check()),
            Body::Frame(frame) => {
                self.has_words_for(body)?;
                frame.check()?;
                let seq = frame.reading;
                let in_use = self.entry(seq).is_some_and(super::entry::Entry::in_use);
                if in_use { Ok(()) } else { Err(Error::NotAReadingInUse { seq }) }
            }
            Body::Setup(_)
            | Body::Precondition(_)
            | Body::RoundOpened(_)
            | Body::LookingTest(_)
            | Body::Picture(_)
            | Body::Undo(_)
            | Body::Redo(_) => Ok(()),
        }
    }

    fn admits_reading(&self, reading: &Reading) -> Result<(), Error> {
        let open = self.round().ok_or(Error::NoRound)?.id;
        if reading.round != open {
            return Err(Error::NotTheOpenRound { named: reading.round, open });
        }
        if reading.reseated && reading.purpose == Purpose::Log {
            return Err(Error::ReseatedInRound);
        }
        value_of(reading, self.station())?;
        self.is_on_graticule(reading)
    }

    /// Asked of what is read from now on only: what was logged stays logged.
    fn is_on_graticule(&self, reading: &Reading) -> Result<(), Error> {
        let Some(station) = self.station() else { return Ok(()) };
        match &reading.seen {
            Seen::Direction(read) => {
                let typed = [read.x.value(), read.y.value()];
                station.on_graticule(read.channel, read.unit, typed, false)
            }
            Seen::Relative(read) => {
                let typed = [read.x.value(), read.y.value()];
                station.on_graticule(Channel::Right, read.unit, typed, true)
            }
            Seen::Box(_) => Ok(()),
        }
    }

    /// What format 2 added is refused in a file of format 1, which keeps its format.
    fn has_words_for(&self, body: &Body) -> Result<(), Error> {
        let format = self.format();
        if format > FIRST_FORMAT {
            return Ok(());
        }
        let what = match body {
            Body::Sealed(_) => "a seal",
            body => body.word(),
        };
        Err(Error::NotInThisFormat { format, what })
    }

    /// What is noted of the day says something; a handover is read once, only a round that has
    /// readings can be gone on with, and a sweep began with one.
    fn admits_day(&self, day: &DayNote) -> Result<(), Error> {
        named(day.kind.word(), &day.text)?;
        match (day.kind, day.about) {
            (DayKind::HandoverRead, Some(seq))
                if self.unread_handovers().any(|said| said.seq == seq) =>
            {
                Ok(())
            }
            (DayKind::HandoverRead, seq) => Err(Error::NoSuchHandover { seq: seq.unwrap_or(0) }),
            (DayKind::Untouched, _) => {
                let read = self.round().is_some_and(|round| round.in_use().next().is_some());
                if read { Ok(()) } else { Err(Error::NoRound) }
            }
            (DayKind::Swept, first) => {
                let seq = first.unwrap_or(0);
                let read = self.entry(seq).is_some_and(super::entry::Entry::in_use);
                if read { Ok(()) } else { Err(Error::NotAReadingInUse { seq }) }
            }
            _ => Ok(()),
        }
    }

    fn has_round(&self, round: Seq) -> Result<(), Error> {
        self.round_of(round).map(|_| ()).ok_or(Error::NoSuchRound { round })
    }

    fn answers_signature(&self, seq: Seq, must_hold: bool) -> Result<(), Error> {
        let last = self.signatures.last().filter(|signature| signature.seq == seq);
        let signature = last.ok_or(Error::NotTheSignature { seq })?;
        if must_hold && signature.outdated { Err(Error::SignatureOutdated) } else { Ok(()) }
    }
}
