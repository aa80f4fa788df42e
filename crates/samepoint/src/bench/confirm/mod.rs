//! Confirming: what a reading is taken under, and the checklist that fills as readings come. It
//! asks, in the order of the work, and never blocks. Asking changes nothing that is recorded: lock,
//! seating, place and dioptre are what a hand said, and the switches show it.
//!
//! - `acting`: turning to it, and what is said of a reading; [`picture`]: what confirming comes to;
//! - [`mod@checklist`], [`ui`], `chart`: what of it is in sight.

pub(crate) mod acting;
pub(crate) mod chart;
pub(crate) mod checklist;
pub(crate) mod picture;
pub(crate) mod ui;

use crate::bench::dioptre::dioptre_of;
use crate::shell::refusals::Refusal;
use record::fact::{Lock, Purpose, Reading, SwingStop};
use record::{Adjustment, Counted, Entry, Position, Round, Session, Typed, counted};
use solver::{Channel, PerChannel};

/// One thing to be seen to before signing.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Check {
    /// Both dioptres back at zero.
    Dioptres,
    /// Read with the locks open.
    Open,
    /// Read with the locks tight.
    Tight,
    /// Read after the unit was taken off and seated again.
    Reseated,
    /// Read at the narrow stop.
    Narrow,
    /// Read at the wide stop.
    Wide,
    /// Look through at a far point.
    Looked,
}

impl Check {
    const ALL: [Self; 7] = [
        Self::Dioptres,
        Self::Open,
        Self::Tight,
        Self::Reseated,
        Self::Narrow,
        Self::Wide,
        Self::Looked,
    ];

    /// Its name in the list.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Dioptres => "Dioptres back at zero",
            Self::Open => "Locks open",
            Self::Tight => "Locks tight",
            Self::Reseated => "Reseated",
            Self::Narrow => "Narrow stop",
            Self::Wide => "Wide stop",
            Self::Looked => "Looking test",
        }
    }

    /// What to do, in one sentence.
    #[must_use]
    pub const fn asks(self) -> &'static str {
        match self {
            Self::Dioptres => {
                "Set the rings and turn both dioptres back to zero; press “both back at zero”, or go on."
            }
            Self::Open => "Locks still open: read both channels.",
            Self::Tight => {
                "Tighten both locks, say so (Ctrl+T), and read both channels, more than once."
            }
            Self::Reseated => {
                "Take the unit off, seat it again, say so (Alt+R), and read both channels."
            }
            Self::Narrow => {
                "Swing the pods to their narrow stop, say so (Alt+S), and read both channels."
            }
            Self::Wide => {
                "Swing the pods to their wide stop, say so (Alt+S), and read both channels."
            }
            Self::Looked => "Look through it at a far point as a user would (F11).",
        }
    }

    /// Whether it is seen to by readings.
    const fn is_read(self) -> bool {
        !matches!(self, Self::Dioptres | Self::Looked)
    }
}

/// What a confirm reading is taken under, and what is asked for.
#[derive(Clone, Debug, PartialEq)]
pub struct Confirming {
    /// What is asked for now.
    pub check: Check,
    /// Whether the locks are tight; `None` until a hand says.
    pub lock: Option<Lock>,
    /// Whether the unit was reseated since the reading before.
    pub reseated: bool,
    /// Where the pods stand.
    pub stop: SwingStop,
    /// What each dioptre stands at, as typed; empty: not noted.
    pub dioptre: PerChannel<String>,
    /// The list as it stands.
    pub lines: Vec<CheckLine>,
    /// Whether rings and locks stay as they were left: readings that check another session's.
    pub as_left: bool,
    /// Whether an examination is sat: what is to be seen to is the trainee's to know.
    pub withheld: bool,
}

/// A line of the checklist.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CheckLine {
    /// Which.
    pub check: Check,
    /// Readings so far.
    pub read: PerChannel<usize>,
    /// Readings asked for, each channel.
    pub asked: usize,
    /// Whether it is seen to.
    pub done: bool,
}

impl CheckLine {
    /// How far it has come: `1 + 0 of 2`.
    #[must_use]
    pub fn progress(&self) -> String {
        if self.check.is_read() {
            format!("L {} · R {} of {}", self.read.left, self.read.right, self.asked)
        } else {
            String::new()
        }
    }
}

impl Default for Confirming {
    fn default() -> Self {
        Self {
            check: Check::Dioptres,
            lock: None,
            reseated: false,
            stop: SwingStop::Working,
            dioptre: PerChannel::default(),
            lines: Vec::new(),
            as_left: false,
            withheld: false,
        }
    }
}

impl Confirming {
    /// What to do for what is asked for, in one sentence.
    #[must_use]
    pub const fn asks(&self) -> &'static str {
        match self.check {
            _ if self.withheld => {
                "Confirm as you hold right, and say lock, seating and dioptres as you go."
            }
            Check::Dioptres if self.as_left => {
                "Leave the rings as they are and turn both dioptres back to zero; press “both back at \
                 zero”, or go on."
            }
            Check::Tight if self.as_left => {
                "Leave rings and locks as they are, say whether the locks are tight (Ctrl+T), and \
                 read both channels, more than once."
            }
            check => check.asks(),
        }
    }

    /// The lock of the readings that follow.
    #[must_use]
    pub const fn lock_words(&self) -> &'static str {
        match self.lock {
            None => "lock not noted",
            Some(Lock::Before) => "lock open",
            Some(Lock::After) => "lock tight",
        }
    }

    /// Their seating.
    #[must_use]
    pub const fn seating_words(&self) -> &'static str {
        if self.reseated { "reseated" } else { "not reseated" }
    }

    /// Where the pods stand for them.
    #[must_use]
    pub const fn stop_words(&self) -> &'static str {
        match self.stop {
            SwingStop::Narrow => "narrow stop",
            SwingStop::Working => "as set up",
            SwingStop::Wide => "wide stop",
        }
    }

    /// As it stood when a reading was taken.
    pub fn stand_as(&mut self, reading: &Reading) {
        self.lock = reading.lock;
        self.reseated = reading.reseated;
        self.stop = reading.swing_stop.unwrap_or(SwingStop::Working);
        if let Some(channel) = reading.channel() {
            let noted = reading.dioptre.as_ref();
            self.dioptre[channel] = noted.map_or_else(String::new, |typed| typed.text().to_owned());
        }
        self.check = match (self.stop, self.lock, reading.reseated) {
            (SwingStop::Narrow, ..) => Check::Narrow,
            (SwingStop::Wide, ..) => Check::Wide,
            (SwingStop::Working, _, true) => Check::Reseated,
            (SwingStop::Working, Some(Lock::After), false) => Check::Tight,
            (SwingStop::Working, _, false) => Check::Open,
        };
    }

    /// Whether both dioptres are noted at zero.
    #[must_use]
    pub fn at_zero(&self) -> bool {
        let zero = |text: &String| Typed::by_hand(text).is_ok_and(|typed| typed.value() == 0.0);
        zero(&self.dioptre.left) && zero(&self.dioptre.right)
    }

    /// Works the list out again.
    pub fn refresh(&mut self, session: &Session) {
        self.as_left = record::Link::of(session).is_some();
        self.withheld = session.withholds();
        self.lines = if self.withheld { Vec::new() } else { checklist(session, self) };
    }

    fn line(&self, check: Check) -> Option<&CheckLine> {
        self.lines.iter().find(|line| line.check == check)
    }

    /// The next thing not seen to, after what is asked for now; the first of all behind the last.
    fn next_open(&self) -> Option<Check> {
        let here = self.lines.iter().position(|line| line.check == self.check).unwrap_or(0);
        let (before, after) = self.lines.split_at_checked(here).unwrap_or((&[], &self.lines));
        after.iter().chain(before).find(|line| !line.done).map(|line| line.check)
    }

    /// A reading with all that it is taken under.
    ///
    /// # Errors
    /// What is wrong with the dioptre as typed.
    pub fn note_in(&self, mut reading: Reading, channel: Channel) -> Result<Reading, Refusal> {
        let dioptre = &self.dioptre[channel];
        if !dioptre.trim().is_empty() {
            reading.dioptre = Some(dioptre_of("Dioptre", dioptre)?);
        }
        reading.lock = self.lock;
        reading.reseated = self.reseated;
        reading.swing_stop = (self.stop != SwingStop::Working).then_some(self.stop);
        Ok(reading)
    }
}

/// What is to be seen to, and how far it has come.
fn checklist(session: &Session, confirming: &Confirming) -> Vec<CheckLine> {
    let Some(round) = session.round() else { return Vec::new() };
    let read = counted(session, round);
    let swings =
        session.housing().is_some_and(|held| matches!(held.adjustment, Adjustment::Hinge(_)));
    let stated = session.station().is_some_and(|station| station.spread.sigma_arcmin.is_some());
    // Without a stated uncertainty their scatter has to be seen, in three or more.
    let (usual, tight) = if stated { (1, 2) } else { (3, 3) };
    let line = |check: Check| {
        let asked = match check {
            Check::Tight => tight,
            Check::Narrow | Check::Wide => usual,
            _ => 1,
        };
        let read = match check {
            Check::Dioptres | Check::Looked => PerChannel::default(),
            Check::Open => with_locks_open(session, round),
            Check::Tight => tight_ones(at(&read, Position::SetUp)),
            Check::Reseated => since_reseated(at(&read, Position::SetUp)),
            Check::Narrow => count(at(&read, Position::Narrow)),
            Check::Wide => count(at(&read, Position::Wide)),
        };
        let done = match check {
            Check::Dioptres => confirming.at_zero(),
            Check::Looked => record::looking_tests(session, round).next().is_some(),
            _ => read.iter().all(|(_, count)| *count >= asked),
        };
        CheckLine { check, read, asked, done }
    };
    let asked = |check: &Check| match check {
        Check::Narrow | Check::Wide => swings,
        // Opening them would end what is being checked.
        Check::Open => !confirming.as_left,
        _ => true,
    };
    Check::ALL.into_iter().filter(asked).map(line).collect()
}

fn at<'a, 'b>(read: &'b [Counted<'a>], position: Position) -> Option<&'b Counted<'a>> {
    read.iter().find(|at| at.position == position)
}

fn count(at: Option<&Counted<'_>>) -> PerChannel<usize> {
    PerChannel::from_fn(|channel| at.map_or(0, |at| at.readings[channel].len()))
}

/// Those that a hand said were taken with the lock tight.
fn tight_ones(at: Option<&Counted<'_>>) -> PerChannel<usize> {
    let tight = |(entry, _): &&(&Entry, _)| entry.reading.lock == Some(Lock::After);
    PerChannel::from_fn(|of| at.map_or(0, |at| at.readings[of].iter().filter(tight).count()))
}

fn since_reseated(at: Option<&Counted<'_>>) -> PerChannel<usize> {
    let Some(at) = at else { return PerChannel::default() };
    let reseated = |entry: &&Entry| entry.reading.reseated;
    let Some(since) = at.entries().filter(reseated).map(|entry| entry.seq).min() else {
        return PerChannel::default();
    };
    PerChannel::from_fn(|of| at.readings[of].iter().filter(|(e, _)| e.seq >= since).count())
}

fn with_locks_open(session: &Session, round: &Round) -> PerChannel<usize> {
    PerChannel::from_fn(|channel| {
        let logged = round.of(channel, Purpose::Log).next_back().map_or(0, |entry| entry.seq);
        let open = |entry: &&Entry| {
            entry.seq > logged
                && entry.reading.lock == Some(Lock::Before)
                && Position::of(entry, session) == Position::SetUp
        };
        round.of(channel, Purpose::Confirm).filter(open).count()
    })
}
