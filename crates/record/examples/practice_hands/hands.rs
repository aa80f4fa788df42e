//! Scripted hands that play whole practice sessions as facts, through the same fold as any hand.

use record::practice::opening::COLLEAGUE;
use record::practice::told::told_note;
use record::practice::{Bench, Built, BuiltCell, Look, PracticeUnit, reach};
use record::remedies::KnownOfUnit;
use record::{
    Approach, Body, Channel, Conclusion, DirectionReading, Error, Fact, Header, Lock, Method,
    PerChannel, Purpose, Reading, ReadingUnit, Remedy, RemedyTaken, RoundOpened, RoundReason, Rule,
    Seq, Session, SessionKind, Signed, Stamp, Typed, Verdict, conclude_to_sign, fold, lock_shifts,
};
use solver::monte_carlo::Source;
use solver::{Direction, Solution, solve};

/// Who plays.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Hand {
    /// Knows the truth: takes the right remedy, sets the best rings, confirms, signs what follows.
    Knowing,
    /// Logs a round, does what the solver recommends, signs what follows.
    Solving,
    /// The same, but sets the farther crossing where there are two.
    Far,
    /// Turns, remedies and signs at random.
    Random,
}

impl Hand {
    pub(crate) const ALL: [Self; 4] = [Self::Knowing, Self::Solving, Self::Far, Self::Random];
}

/// Ring positions of a logged round; the last closes it at the first.
pub(crate) const ROUND: [f64; 5] = [0.0, 90.0, 180.0, 270.0, 0.0];

/// Plays a unit from header to signature.
pub(crate) fn play(hand: Hand, unit: &PracticeUnit) -> Result<Vec<Fact>, Error> {
    let mut play = Play::begun(unit)?;
    match hand {
        Hand::Knowing => play.knowing(unit)?,
        Hand::Solving => play.solving(false)?,
        Hand::Far => play.solving(true)?,
        Hand::Random => play.random(unit)?,
    }
    Ok(play.facts)
}

/// A session as it is being played.
pub(crate) struct Play {
    pub(crate) facts: Vec<Fact>,
    pub(crate) built: Built,
    pub(crate) unit: PracticeUnit,
    pub(crate) round: Seq,
    /// What a hand does beside reading where the ring stands.
    pub(crate) way: Way,
}

/// How a hand reads and what it notes with it.
#[derive(Clone, Copy, Debug, Default)]
pub(crate) struct Way {
    /// What a careless eye adds to a reading, standard deviation, each axis, divisions.
    pub(crate) careless: f64,
    /// One reading in so many is a slip of five divisions; 0: none.
    pub(crate) slips: u64,
    /// Whether the program is asked to tell each reading.
    pub(crate) told: bool,
    /// Whether the dioptre is noted at zero when confirming.
    pub(crate) dioptre: bool,
    /// Whether the unit was taken off and seated again before this reading.
    pub(crate) reseated: bool,
}

/// What the readings give, which a hand here is told in an examination too: it stands for one that works it out.
pub(crate) fn concluded(session: &Session) -> Option<Conclusion> {
    conclude_to_sign(session, Method::for_session(session)).ok()
}

impl Play {
    pub(crate) fn begun(unit: &PracticeUnit) -> Result<Self, Error> {
        let exercise = unit.exercise();
        let mut play = Self {
            facts: Vec::new(),
            built: unit.as_made().clone(),
            unit: unit.clone(),
            round: 0,
            way: Way::default(),
        };
        let now = play.now()?;
        play.add(Body::Header(Header {
            format: record::LATEST_FORMAT,
            program: "samepoint 0.1.0".to_owned(),
            session: format!("{:032x}", unit.number),
            kind: SessionKind::Practice(exercise),
            continues: None,
        }))?;
        // The last of them opens the round.
        for body in unit.opening(now)? {
            play.round = play.add(body)?;
        }
        for body in unit.handed_over()? {
            play.add(body)?;
            if let Some(fact) = play.facts.last_mut() {
                fact.hand = COLLEAGUE.to_owned();
            }
        }
        Ok(play)
    }

    /// Ten seconds a fact, from a fixed morning.
    fn now(&self) -> Result<Stamp, Error> {
        let start: Stamp = "2026-11-25T09:00:00.000+00:00".parse()?;
        let after = 10_000 * self.facts.len() as i64;
        Ok(Stamp::from_unix_milliseconds(start.unix_milliseconds() + after).unwrap_or(start))
    }

    pub(crate) fn add(&mut self, body: Body) -> Result<Seq, Error> {
        let seq = self.facts.len() as Seq + 1;
        let time = self.now()?;
        self.facts.push(Fact { seq, time, hand: "script".to_owned(), body });
        Ok(seq)
    }

    pub(crate) fn open(&mut self, why: RoundReason) -> Result<(), Error> {
        self.round = self.add(Body::RoundOpened(RoundOpened { why, note: String::new() }))?;
        Ok(())
    }

    pub(crate) fn session(&self) -> Session {
        fold(&self.facts)
    }

    /// Turns a ring there clockwise, looks, and notes what is seen.
    pub(crate) fn read(
        &mut self,
        channel: Channel,
        ring_deg: f64,
        purpose: Purpose,
        lock: Option<Lock>,
    ) -> Result<(), Error> {
        if self.way.told {
            self.add(Body::Note(told_note(channel)))?;
        }
        let cell = BuiltCell {
            ring_deg,
            approach: Approach::Clockwise,
            locked: lock == Some(Lock::After),
        };
        let number = self.facts.len() as u64;
        let mut bench = Bench::after(&self.unit, &self.session());
        if self.way.reseated {
            bench.seat_again();
        }
        let look = Look { seed: self.unit.number, number };
        let seen = bench.seen(channel, cell, look)?;
        let mut eye = Source::seeded(number ^ (self.unit.number << 20));
        let Direction { mut x_arcmin, y_arcmin } = seen + eye.direction(self.way.careless);
        if self.way.slips > 0 && eye.rectangular(0.0, self.way.slips as f64) < 1.0 {
            x_arcmin += 5.0;
        }
        let direction = DirectionReading {
            channel,
            ring_deg: Some(Typed::parse(&ring_deg.to_string())?),
            x: Typed::parse(&format!("{x_arcmin:.1}"))?,
            y: Typed::parse(&format!("{y_arcmin:.1}"))?,
            unit: ReadingUnit::Divisions,
            approach: Approach::Clockwise,
        };
        let confirms = purpose == Purpose::Confirm;
        let dioptre = (confirms && self.way.dioptre).then(|| Typed::parse("0")).transpose()?;
        let reseated = std::mem::take(&mut self.way.reseated);
        let reading = Reading::direction(self.round, purpose, direction);
        self.add(Body::Reading(Reading { lock, dioptre, reseated, ..reading })).map(|_| ())
    }

    pub(crate) fn confirm(
        &mut self,
        rings: PerChannel<f64>,
        lock: Lock,
        times: usize,
    ) -> Result<(), Error> {
        for _ in 0..times {
            for channel in Channel::BOTH {
                self.read(channel, rings[channel], Purpose::Confirm, Some(lock))?;
            }
        }
        Ok(())
    }

    fn log(&mut self) -> Result<Solution, Error> {
        for channel in Channel::BOTH {
            self.log_channel(channel, &ROUND)?;
        }
        self.solved()
    }

    pub(crate) fn log_channel(&mut self, channel: Channel, at_deg: &[f64]) -> Result<(), Error> {
        for &ring_deg in at_deg {
            self.read(channel, ring_deg, Purpose::Log, None)?;
        }
        Ok(())
    }

    pub(crate) fn solved(&self) -> Result<Solution, Error> {
        let problem = self.session().problem_as_read(self.round).ok_or(Error::NoRound)?;
        Ok(solve(&problem)?)
    }

    pub(crate) fn remedy(&mut self, remedy: Remedy) -> Result<(), Error> {
        self.built = self.built.after(&remedy);
        let taken =
            RemedyTaken { round: self.round, remedy, prediction: None, note: String::new() };
        self.add(Body::RemedyTaken(taken))?;
        self.open(RoundReason::Remedy)
    }

    /// Signs what the readings give, or another verdict.
    pub(crate) fn sign(&mut self, instead: Option<Verdict>) -> Result<(), Error> {
        let session = self.session();
        let concluded = concluded(&session);
        let given = concluded.as_ref().map_or(Verdict::NotMeasured, |held| held.verdict);
        let seq_of = |wanted: fn(&Body) -> bool| {
            self.facts.iter().rev().find(|fact| wanted(&fact.body)).map(|fact| fact.seq)
        };
        let signed = Signed {
            round: self.round,
            verdict: instead.unwrap_or(given),
            rule: Rule::Guarded,
            program: "samepoint 0.1.0".to_owned(),
            window: seq_of(|body| matches!(body, Body::Window(_))),
            station: seq_of(|body| matches!(body, Body::Station(_))),
            rests_on: concluded.map(|held| held.rests_on).unwrap_or_default(),
            numbers: Vec::new(),
            statement: String::new(),
        };
        self.add(Body::Signed(signed)).map(|_| ())
    }

    fn knowing(&mut self, unit: &PracticeUnit) -> Result<(), Error> {
        if let Some(remedy) = &unit.reach().remedy {
            self.remedy(remedy.clone())?;
        }
        let best = self.built.best_setting()?;
        self.confirm(best.ring_deg, Lock::After, 6)?;
        // What is not settled yet gets the readings that par leaves.
        let verdict = concluded(&self.session()).map(|held| held.verdict);
        if verdict == Some(Verdict::Undecided) {
            self.confirm(best.ring_deg, Lock::After, 6)?;
        }
        self.sign(None)
    }

    fn solving(&mut self, far: bool) -> Result<(), Error> {
        for channel in Channel::BOTH {
            self.read(channel, 0.0, Purpose::AsFound, Some(Lock::After))?;
        }
        let mut solution = self.log()?;
        if let Some(remedy) = self.recommended_remedy(&solution)? {
            self.remedy(remedy)?;
            solution = self.log()?;
        }
        let mut rings = self.rings_for(&solution, far);
        // Once before tightening and once after: what the locks do is aimed off for.
        self.confirm(rings, Lock::Before, 1)?;
        self.confirm(rings, Lock::After, 1)?;
        rings = aimed_off(self, &solution, rings);
        self.confirm(rings, Lock::After, 4)?;
        self.sign(None)
    }

    /// The first remedy of the list, where the rings alone do not get inside and it does.
    pub(crate) fn recommended_remedy(&self, solution: &Solution) -> Result<Option<Remedy>, Error> {
        let inside = solution
            .setting
            .as_ref()
            .is_ok_and(|setting| setting.window_use.is_some_and(|used| used.is_inside()));
        let session = self.session();
        let (Some(fits), Some(window), false) = (solution.both_fits(), session.window(), inside)
        else {
            return Ok(None);
        };
        let known = KnownOfUnit::of_session(&session, &[]);
        let ranking = known.ranked(fits, &window.limits, session.swing())?;
        let first = ranking.remedies.first().filter(|first| first.predicted.score <= 1.0);
        Ok(first.map(|first| reach::remedy_of(&first.action)))
    }

    pub(crate) fn rings_for(&self, solution: &Solution, far: bool) -> PerChannel<f64> {
        let crossings = solution.meeting.as_ref().and_then(|met| met.crossings().nth(1));
        let ring_deg = match (far, crossings, &solution.setting) {
            (true, Some(crossing), _) => crossing.ring_deg,
            (_, _, Ok(setting)) => setting.ring_deg,
            (_, _, Err(_)) => PerChannel::default(),
        };
        ring_deg.map(|deg| deg.unwrap_or(0.0).round().rem_euclid(360.0))
    }

    pub(crate) fn random(&mut self, unit: &PracticeUnit) -> Result<(), Error> {
        let mut source = Source::seeded(unit.number);
        let mut pick = |count: usize| source.rectangular(0.0, count as f64) as usize;
        let remedy = [None, None, Some(Remedy::SwapTubes), Some(Remedy::SwapEyepieces)];
        if let Some(remedy) = remedy[pick(4)].clone() {
            self.remedy(remedy)?;
        }
        let rings = PerChannel { left: pick(360) as f64, right: pick(360) as f64 };
        let verdict =
            [Verdict::Pass, Verdict::Fail, Verdict::Undecided, Verdict::NotMeasured][pick(4)];
        let times = 1 + pick(12);
        self.confirm(rings, Lock::After, times)?;
        self.sign(Some(verdict))
    }
}

/// The rings moved back by what the locks turned them.
pub(crate) fn aimed_off(
    play: &Play,
    solution: &Solution,
    rings: PerChannel<f64>,
) -> PerChannel<f64> {
    let session = play.session();
    let Some((round, fits)) = session.round().zip(solution.both_fits()) else { return rings };
    let shifts = lock_shifts_of(&session, round, fits.map(|fit| &fit.circle));
    PerChannel::from_fn(|of| (rings[of] - shifts[of]).round().rem_euclid(360.0))
}

/// How far each lock turned its ring, degrees clockwise; 0 where it cannot be told.
fn lock_shifts_of(
    session: &Session,
    round: &record::Round,
    circles: PerChannel<&solver::OffsetCircle>,
) -> PerChannel<f64> {
    let shifts = lock_shifts(session, round);
    PerChannel::from_fn(|channel| {
        shifts[channel].and_then(|shift| shift.turned_deg(circles[channel])).unwrap_or(0.0)
    })
}
