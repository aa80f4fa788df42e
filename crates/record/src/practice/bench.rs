//! The invented bench with a unit on it, as it stands at some place of a session: what a remedy, a
//! seating, a dioptre and time have made of what is seen.
//!
//! It is worked out from the facts alone, so that a session gone on with another day stands where it stood.

use solver::monte_carlo::Source;
use solver::{Channel, Direction, PerChannel};

use super::built::{Built, BuiltCell, Look};
use super::fault::Fault;
use super::unit::PracticeUnit;
use crate::error::Error;
use crate::fact::{Remedy, RoundReason, Seq};
use crate::fold::{Entry, Session};

/// What a moved dioptre stands at, dioptres, and how far the bench's own lens is off that eyepiece's axis,
/// mm: together 13.8′ by Prentice's rule. Invented.
pub const MOVED_DIOPTRE: f64 = 2.0;
/// See [`MOVED_DIOPTRE`].
const OFF_AXIS_MM: f64 = 2.0;
/// How far off the unit lies when it was not seated, arcminutes. Invented.
const NOT_SEATED_ARCMIN: f64 = 5.0;
/// How far a drifting bench goes with every reading, arcminutes. Invented.
const DRIFT_ARCMIN: f64 = 0.3;
/// What a loose cell adds to a reading, standard deviation, each axis, arcminutes. Invented.
const LOOSE_ARCMIN: f64 = 3.0;

/// The bench at some place of a session.
#[derive(Clone, Debug)]
pub struct Bench {
    unit: PracticeUnit,
    built: Built,
    /// How often the unit was seated after the first time.
    seatings: u64,
    /// Readings since the session began, while the bench drifts.
    drifted: usize,
    zeroed: bool,
    dioptre: PerChannel<f64>,
    remedies: usize,
}

/// What changes a bench.
enum BenchEvent<'a> {
    Round(RoundReason),
    Read(&'a Entry),
    Done(&'a Remedy),
}

impl Bench {
    /// As the unit comes to it.
    #[must_use]
    pub fn new(unit: &PracticeUnit) -> Self {
        let moved = |channel| unit.is_planted(Fault::MovedDioptre, channel);
        Self {
            built: unit.as_made.clone(),
            seatings: 0,
            drifted: 0,
            zeroed: false,
            dioptre: PerChannel::from_fn(|of| if moved(of) { MOVED_DIOPTRE } else { 0.0 }),
            remedies: 0,
            unit: unit.clone(),
        }
    }

    /// As it stands after a session's facts.
    #[must_use]
    pub fn after(unit: &PracticeUnit, session: &Session) -> Self {
        let mut bench = Self::new(unit);
        bench.walk(session, |_, _| {});
        bench
    }

    /// The bench at each reading of a session in turn, withdrawn ones too: as it stood when it was read.
    pub fn walk(&mut self, session: &Session, mut at: impl FnMut(&Self, &Entry)) {
        let rounds = session.rounds.iter();
        let mut events: Vec<(Seq, BenchEvent<'_>)> = rounds
            .flat_map(|round| {
                let read = round.readings.iter().map(|entry| (entry.seq, BenchEvent::Read(entry)));
                let done = round.remedies.iter();
                let done = done.map(|(seq, taken)| (*seq, BenchEvent::Done(&taken.remedy)));
                std::iter::once((round.id, BenchEvent::Round(round.why))).chain(read).chain(done)
            })
            .collect();
        events.sort_by_key(|(seq, _)| *seq);
        for (_, event) in events {
            match event {
                BenchEvent::Round(why) => self.open(why),
                BenchEvent::Done(remedy) => self.take(remedy),
                BenchEvent::Read(entry) => {
                    self.touch(entry);
                    at(self, entry);
                    self.drifted += usize::from(!self.zeroed);
                }
            }
        }
    }

    /// What ends a round.
    fn open(&mut self, why: RoundReason) {
        match why {
            RoundReason::Reseated | RoundReason::Remedy | RoundReason::EyepieceOut => {
                self.seat_again();
            }
            RoundReason::Dioptre => self.zero_dioptres(),
            RoundReason::StationZeroed => (self.drifted, self.zeroed) = (0, true),
            RoundReason::First | RoundReason::Other => {}
        }
    }

    fn take(&mut self, remedy: &Remedy) {
        self.remedies += 1;
        let took = self.remedies > 1 || !self.unit.has(Fault::RemedyDidNotTake);
        if took {
            self.built = self.built.after(remedy);
        }
    }

    /// What is done with the unit before a reading that says so.
    fn touch(&mut self, entry: &Entry) {
        if entry.reading.reseated {
            self.seat_again();
        }
        let zero = |typed: &crate::number::Typed| typed.value() == 0.0;
        if entry.reading.dioptre.as_ref().is_some_and(zero)
            && let Some(channel) = entry.reading.channel()
        {
            self.dioptre[channel] = 0.0;
        }
    }

    /// Takes the unit off and seats it again.
    pub const fn seat_again(&mut self) {
        self.seatings += 1;
    }

    /// Turns both dioptres to zero.
    pub fn zero_dioptres(&mut self) {
        self.dioptre = PerChannel { left: 0.0, right: 0.0 };
    }

    /// The unit on it, remedies and all.
    #[must_use]
    pub const fn built(&self) -> &Built {
        &self.built
    }

    /// What each dioptre stands at.
    #[must_use]
    pub const fn dioptre(&self) -> PerChannel<f64> {
        self.dioptre
    }

    /// How often the unit was seated after the first time.
    #[must_use]
    pub const fn seatings(&self) -> u64 {
        self.seatings
    }

    /// Where a channel is seen to point, before the noise of a look.
    ///
    /// # Errors
    /// As [`Built::point`].
    pub fn point(&self, channel: Channel, cell: BuiltCell) -> Result<Direction, Error> {
        Ok(self.built_for(channel).point(channel, cell)? + self.shift(channel))
    }

    /// What a look at a channel shows, rounded as the graticule is read.
    ///
    /// # Errors
    /// As [`Built::seen`].
    pub fn seen(&self, channel: Channel, cell: BuiltCell, look: Look) -> Result<Direction, Error> {
        let mut shift = self.shift(channel);
        if self.unit.is_planted(Fault::LooseCell, channel) {
            shift = shift + self.drawn(0x100, look.number).direction(LOOSE_ARCMIN);
        }
        let seen = self.built_for(channel).seen(channel, cell, look)?;
        if shift == Direction::BORESIGHT {
            return Ok(seen);
        }
        let step = self.built.hand.rounding_arcmin;
        let rounded = |value: f64| if step > 0.0 { (value / step).round() * step } else { value };
        let seen = seen + shift;
        Ok(Direction::new(rounded(seen.x_arcmin), rounded(seen.y_arcmin)))
    }

    fn built_for(&self, channel: Channel) -> Built {
        self.unit.as_its_ring_carries(&self.built, channel)
    }

    fn shift(&self, channel: Channel) -> Direction {
        self.seated() + self.drift() + self.of_dioptre(channel)
    }

    /// Both channels alike: a unit that is seated otherwise is tilted as a whole.
    fn seated(&self) -> Direction {
        let mut source = self.drawn(0x200, self.seatings);
        let scatter = source.direction(self.unit.seating_arcmin());
        if self.seatings == 0 && self.unit.has(Fault::BadSeating) {
            return scatter + toward(&mut source, NOT_SEATED_ARCMIN);
        }
        scatter
    }

    fn drift(&self) -> Direction {
        if !self.unit.has(Fault::DriftedBench) || self.zeroed {
            return Direction::BORESIGHT;
        }
        toward(&mut self.drawn(0x300, 0), DRIFT_ARCMIN * self.drifted as f64)
    }

    fn of_dioptre(&self, channel: Channel) -> Direction {
        // Millimetres times dioptres are milliradians: h·D, Prentice's rule.
        let moved_rad = OFF_AXIS_MM * self.dioptre[channel] / 1_000.0;
        let size = moved_rad * solver::angle::ARCMIN_PER_RAD;
        toward(&mut self.drawn(0x400, 0), size)
    }

    fn drawn(&self, what: u64, nth: u64) -> Source {
        let unit = (self.unit.number << 3) | self.unit.grade.number();
        let mixed = unit.wrapping_mul(0x9E37_79B9_7F4A_7C15) ^ (what << 40) ^ nth;
        Source::seeded(mixed)
    }
}

fn toward(source: &mut Source, size_arcmin: f64) -> Direction {
    let (sin, cos) = source.rectangular(0.0, core::f64::consts::TAU).sin_cos();
    Direction::new(size_arcmin * cos, size_arcmin * sin)
}

impl PracticeUnit {
    /// Where both channels point, exactly, the planted play of a ring being in it.
    ///
    /// # Errors
    /// As [`Built::point`].
    pub fn points(
        &self,
        built: &Built,
        cells: PerChannel<BuiltCell>,
    ) -> Result<PerChannel<Direction>, Error> {
        let point = |of| self.as_its_ring_carries(built, of).point(of, cells[of]);
        Ok(PerChannel { left: point(Channel::Left)?, right: point(Channel::Right)? })
    }

    /// The unit as a channel's ring carries it: with the planted play, where it is that ring.
    fn as_its_ring_carries(&self, built: &Built, channel: Channel) -> Built {
        let mut built = built.clone();
        if self.is_planted(Fault::Play, channel) {
            built.hand.ring_play_deg = super::drawing::PLANTED_PLAY_DEG;
        }
        built
    }

    pub(super) fn has(&self, fault: Fault) -> bool {
        self.planted.is_some_and(|planted| planted.fault == fault)
    }

    pub(super) fn is_planted(&self, fault: Fault, channel: Channel) -> bool {
        self.planted.is_some_and(|planted| {
            planted.fault == fault && planted.channel.is_none_or(|of| of == channel)
        })
    }
}
