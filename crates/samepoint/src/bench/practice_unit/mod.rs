//! The invented unit that an open practice session is about: its virtual rings, and what a look
//! through the glass shows. [`hidden`]: what was hidden, told after the signature, `hidden_ui`: its sheet.
//! `acting`: what is asked of it.

pub(crate) mod acting;
pub(crate) mod hidden;
pub(crate) mod hidden_ui;

use paper::words;
use record::practice::told::is_told;
use record::practice::{Bench, BuiltCell, Look, LooksLike, PlacedFault, PracticeUnit, sitting};
use record::{Approach, Session, SessionKind, Stamp};
use solver::angle::reduced_deg;
use solver::{Channel, Direction, PerChannel};

/// An invented unit, seated on the bench.
#[derive(Clone, Debug)]
pub struct OnBench {
    unit: PracticeUnit,
    bench: Bench,
    /// What is done with it and not said with a reading yet.
    pending: Pending,
    cells: PerChannel<BuiltCell>,
    seen: PerChannel<Direction>,
    /// Facts of the session, and looks since the last of them: each look has its own noise.
    facts: usize,
    looks: u64,
    /// The angle to turn each ring to, as typed.
    pub turn_to: PerChannel<String>,
    /// What a ring refused.
    pub refused: PerChannel<Option<String>>,
    /// Whose crosshair's place is told in words, until it is read.
    tells: PerChannel<bool>,
    /// Whose reading a camera put in numbers since its ring was turned.
    read_out: PerChannel<bool>,
    /// What was said to be wrong.
    said: Vec<String>,
    /// When an examination's time is up, as the clock on the wall shows it.
    until: Option<String>,
    /// Whether an examination is sat with it.
    sat: bool,
}

/// What is done with a unit before the reading that will say so.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Pending {
    /// It was taken off and seated again.
    pub reseated: bool,
    /// Both dioptres were turned to zero.
    pub dioptres_zero: bool,
}

/// Looks that can follow one fact before the noise of the next begins.
const LOOKS: u64 = 1 << 20;

/// Why there is no invented unit to look through.
#[derive(Debug, thiserror::Error)]
#[error("The invented unit cannot be made again: {0}.")]
pub struct NotMadeAgain(record::Error);

impl OnBench {
    /// The unit of a session; `None` for a real one.
    ///
    /// # Errors
    /// [`NotMadeAgain`].
    #[must_use]
    pub fn of(session: &Session, facts: usize) -> Option<Result<Self, NotMadeAgain>> {
        let SessionKind::Practice(exercise) = &session.header.as_ref()?.kind else { return None };
        Some(match PracticeUnit::of_exercise(exercise) {
            Err(why) => Err(NotMadeAgain(why)),
            Ok(unit) => {
                let bench = Bench::after(&unit, session);
                let cells = unit.cells(session);
                let mut bench = Self {
                    unit,
                    bench,
                    pending: Pending::default(),
                    cells,
                    seen: PerChannel { left: Direction::BORESIGHT, right: Direction::BORESIGHT },
                    facts,
                    looks: 0,
                    turn_to: PerChannel::default(),
                    refused: PerChannel::default(),
                    tells: PerChannel::from_fn(|of| is_told(session, of)),
                    read_out: PerChannel::default(),
                    said: said(session),
                    until: until(session),
                    sat: session.withholds(),
                };
                bench.look();
                Ok(bench)
            }
        })
    }

    /// Takes what facts came to: remedies are built in, and the next look is another. A reading that was
    /// told was told for one look.
    pub fn hear(&mut self, session: &Session, facts: usize, pending: Pending) {
        if (facts, pending) == (self.facts, self.pending) {
            return;
        }
        if facts > self.facts {
            self.looks = 0;
        }
        self.bench = Bench::after(&self.unit, session);
        if pending.reseated {
            self.bench.seat_again();
        }
        if pending.dioptres_zero {
            self.bench.zero_dioptres();
        }
        self.tells = PerChannel::from_fn(|of| is_told(session, of));
        self.said = said(session);
        self.sat = session.withholds();
        (self.facts, self.pending) = (facts, pending);
        self.look();
    }

    /// Whether a channel's crosshair is read out.
    #[must_use]
    pub fn tells(&self, channel: Channel) -> bool {
        self.tells[channel]
    }

    /// A camera put a channel's reading in numbers.
    pub fn read_out(&mut self, channel: Channel) {
        self.read_out[channel] = true;
    }

    /// Whether one did since the channel's ring was turned, or read.
    #[must_use]
    pub fn was_read_out(&self, channel: Channel) -> bool {
        self.read_out[channel]
    }

    /// The channel was read: the next reading is another.
    pub fn was_logged(&mut self, channel: Channel) {
        self.read_out[channel] = false;
    }

    /// What a look through it at a far point shows, as its rings stand.
    #[must_use]
    pub fn looks_like(&self) -> LooksLike {
        let points = self.unit.points(self.bench.built(), self.cells);
        points.map_or(LooksLike::Double, LooksLike::of)
    }

    /// Whether an examination is sat with it: answers are withheld.
    #[must_use]
    pub const fn is_sat(&self) -> bool {
        self.sat
    }

    /// When an examination's time is up: `10:42`.
    #[must_use]
    pub fn until(&self) -> Option<&str> {
        self.until.as_deref()
    }

    /// What the trainee said is wrong, in words.
    #[must_use]
    pub fn said(&self) -> &[String] {
        &self.said
    }

    /// What each dioptre stands at.
    #[must_use]
    pub const fn dioptre(&self) -> PerChannel<f64> {
        self.bench.dioptre()
    }

    /// Which unit.
    #[must_use]
    pub const fn unit(&self) -> &PracticeUnit {
        &self.unit
    }

    /// How a ring stands.
    #[must_use]
    pub fn cell(&self, channel: Channel) -> BuiltCell {
        self.cells[channel]
    }

    /// Where the crosshairs stand in the glass at this look.
    #[must_use]
    pub const fn seen(&self) -> PerChannel<Direction> {
        self.seen
    }

    /// A ring's angle as a hand would type it.
    #[must_use]
    pub fn ring_text(&self, channel: Channel) -> String {
        let deg = self.cells[channel].ring_deg;
        let whole = |scaled: f64| (scaled - scaled.round()).abs() < 1e-6;
        let decimals = (0..3).find(|&k| whole(deg * 10_f64.powi(k as i32))).unwrap_or(3);
        words::number(deg, decimals)
    }

    /// Looks again: the noise is another.
    pub fn look_again(&mut self) {
        self.looks = (self.looks + 1) % LOOKS;
        self.look();
    }

    /// Turns a ring, clockwise where positive; a tight lock refuses.
    pub fn turn(&mut self, channel: Channel, by_deg: f64) {
        if self.is_held(channel) || by_deg == 0.0 {
            return;
        }
        let cell = &mut self.cells[channel];
        cell.ring_deg = reduced_deg(cell.ring_deg + by_deg);
        cell.approach = if by_deg > 0.0 { Approach::Clockwise } else { Approach::Counter };
        self.read_out[channel] = false;
        self.look_again();
    }

    /// Turns a ring the shorter way to the angle typed beside it; half a turn goes clockwise.
    pub fn turn_as_typed(&mut self, channel: Channel) {
        if self.is_held(channel) {
            return;
        }
        match record::Typed::by_hand(&self.turn_to[channel]).map(|typed| typed.value()) {
            Err(why) => self.refused[channel] = Some(format!("Turn to: {why}")),
            Ok(deg) => {
                let ahead = reduced_deg(deg - self.cells[channel].ring_deg);
                let by_deg = if ahead > 180.0 { ahead - 360.0 } else { ahead };
                self.turn(channel, by_deg);
                self.turn_to[channel].clear();
            }
        }
    }

    /// Tightens an open lock, opens a tight one.
    pub fn turn_lock(&mut self, channel: Channel) {
        self.set_lock(channel, !self.cells[channel].locked);
    }

    /// Tightens or opens a lock.
    pub fn set_lock(&mut self, channel: Channel, locked: bool) {
        self.refused[channel] = None;
        self.cells[channel].locked = locked;
        self.look_again();
    }

    fn is_held(&mut self, channel: Channel) -> bool {
        let held = self.cells[channel].locked;
        self.refused[channel] =
            held.then(|| format!("The {channel} lock is tight: open it before turning."));
        held
    }

    fn look(&mut self) {
        for channel in Channel::BOTH {
            // Both channels of a look have noise of their own.
            let number =
                (self.facts as u64 * LOOKS + self.looks) * 2 + u64::from(channel == Channel::Right);
            let look = Look { seed: self.unit.exercise().seed, number };
            // A ring angle is always a number here; what could not be seen stays as it was.
            if let Ok(seen) = self.bench.seen(channel, self.cells[channel], look) {
                self.seen[channel] = seen;
            }
        }
    }
}

/// When the time limit of an examination that is sat runs out, by the time its first round was opened.
fn until(session: &Session) -> Option<String> {
    let minutes = sitting(session)?.minutes?;
    let began = session.rounds.first()?.time;
    let ends = began.unix_milliseconds() + 60_000 * i64::from(minutes);
    let ends = Stamp::from_unix_milliseconds(ends)?;
    Some(ends.time_of_day())
}

fn said(session: &Session) -> Vec<String> {
    PlacedFault::said(session).into_iter().map(|(_, found)| found.to_string()).collect()
}

/// What a hand asks of the invented unit on the bench.
#[derive(Clone, Debug, PartialEq)]
pub enum UnitAction {
    /// Turn a virtual ring, degrees clockwise.
    Turn(Channel, f64),
    /// Turn it to the angle typed beside it.
    TurnTo(Channel),
    /// Tighten or open a lock.
    Lock(Channel),
    /// Look again: the noise is another.
    LookAgain,
    /// Say in words what the graticule reads, once, and note it.
    TellReading,
    /// Say that something is wrong with unit, bench or log.
    Found(PlacedFault),
    /// Turn both dioptres to zero: that ends the round.
    ZeroDioptres,
}
