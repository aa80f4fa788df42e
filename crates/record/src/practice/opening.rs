//! A unit on the bench: what its session begins with, how its rings stand, what it has become.

use solver::monte_carlo::Source;
use solver::{Channel, PerChannel};

use super::bench::Bench;
use super::built::{Built, BuiltCell, Look};
use super::fault::Fault;
use super::series::Series;
use super::unit::PracticeUnit;
use crate::error::Error;
use crate::fact::{
    Approach, Body, DirectionReading, Lock, Purpose, Reading, Remedy, RoundOpened, RoundReason,
    Seen, Seq, Setup,
};
use crate::fold::Session;
use crate::number::Typed;
use crate::stamp::Stamp;
use crate::station::ReadingUnit;

/// The interpupillary distance at which a practice unit comes, mm.
const IPD_MM: &str = "64";

/// Whose hand logged what a unit is handed over with.
pub const COLLEAGUE: &str = "colleague";
/// The `seq` of the first round: what [`PracticeUnit::opening`] says last, the header being fact 1.
const FIRST_ROUND: Seq = 7;
/// Where a colleague logs, and closes the round.
const HANDED_DEG: [f64; 5] = [0.0, 90.0, 180.0, 270.0, 0.0];
/// Which of these is misread, and how far, degrees. Invented.
const MISREAD: (usize, f64) = (2, 30.0);

impl PracticeUnit {
    /// What a session with this unit says after its header: set up, its papers, the first round.
    ///
    /// # Errors
    /// None: what is said is fixed, and a test says it for units of every grade.
    pub fn opening(&self, now: Stamp) -> Result<Vec<Body>, Error> {
        // In the second series it is the trainee's to see to the dioptres, and to say so.
        let zero = match self.series {
            Series::First => Some(Typed::parse("0")?),
            Series::Second => None,
        };
        let setup = Setup {
            ipd_mm: Some(Typed::parse(IPD_MM)?),
            dioptre: PerChannel { left: zero.clone(), right: zero },
            ..Setup::default()
        };
        Ok(vec![
            Body::Setup(setup),
            Body::Station(self.station(now)),
            Body::Window(Self::window()?),
            Body::Housing(Self::housing()),
            Body::Unit(self.papers()),
            Body::RoundOpened(RoundOpened { why: RoundReason::First, note: String::new() }),
        ])
    }

    /// What a colleague logged in the first round before the trainee came, to be added behind
    /// [`opening`](Self::opening) in the hand of [`COLLEAGUE`]; nothing for most units. Where a misread ring
    /// is planted, one of these has it.
    ///
    /// # Errors
    /// None for a unit that was drawn.
    pub fn handed_over(&self) -> Result<Vec<Body>, Error> {
        let Some(channel) = self.planted.and_then(|planted| planted.channel) else {
            return Ok(Vec::new());
        };
        if !self.has(Fault::MisreadRing) {
            return Ok(Vec::new());
        }
        let bench = Bench::new(self);
        let mut handed = Vec::new();
        let mut read = |channel, cell: BuiltCell, noted_deg: f64, purpose, lock| {
            let number = FIRST_ROUND + 1 + handed.len() as u64;
            let seen = bench.seen(channel, cell, Look { seed: self.number, number })?;
            let direction = DirectionReading {
                channel,
                ring_deg: Some(Typed::parse(&noted_deg.to_string())?),
                x: Typed::parse(&format!("{:.1}", seen.x_arcmin))?,
                y: Typed::parse(&format!("{:.1}", seen.y_arcmin))?,
                unit: ReadingUnit::Divisions,
                approach: Approach::Clockwise,
            };
            let reading = Reading::direction(FIRST_ROUND, purpose, direction);
            handed.push(Body::Reading(Reading { lock, ..reading }));
            Ok::<(), Error>(())
        };
        for of in Channel::BOTH {
            let cell = self.as_found()[of];
            read(of, cell, cell.ring_deg, Purpose::AsFound, Some(Lock::After))?;
        }
        for (at, ring_deg) in HANDED_DEG.into_iter().enumerate() {
            let cell = BuiltCell { ring_deg, approach: Approach::Clockwise, locked: false };
            let noted_deg = if at == MISREAD.0 { ring_deg + MISREAD.1 } else { ring_deg };
            read(channel, cell, noted_deg, Purpose::Log, None)?;
        }
        Ok(handed)
    }

    /// How its rings stand when it comes: at whole degrees, locks tight.
    #[must_use]
    pub fn as_found(&self) -> PerChannel<BuiltCell> {
        // Drawn apart from the unit itself, so that units stay what they are.
        let seed = match self.series {
            Series::First => (self.number << 2) | self.grade.number(),
            Series::Second => (1 << 40) | (self.number << 3) | self.grade.number(),
        };
        let mut source = Source::seeded(!seed);
        PerChannel::from_fn(|_| BuiltCell {
            ring_deg: source.rectangular(0.0, 360.0).floor(),
            approach: Approach::Clockwise,
            locked: true,
        })
    }

    /// The unit after the remedies of a session that took hold.
    #[must_use]
    pub fn built(&self, session: &Session) -> Built {
        Bench::after(self, session).built().clone()
    }

    /// How its rings stand as far as the readings of a session tell: where each was read last, else
    /// as it came. Logged with the lock open; otherwise as the reading says.
    #[must_use]
    pub fn cells(&self, session: &Session) -> PerChannel<BuiltCell> {
        let found = self.as_found();
        PerChannel::from_fn(|channel| cell_in(session, channel).unwrap_or(found[channel]))
    }
}

/// The remedies taken, in order.
pub(super) fn remedies_of(session: &Session) -> Vec<Remedy> {
    let taken = session.rounds.iter().flat_map(|round| &round.remedies);
    taken.map(|(_, taken)| taken.remedy.clone()).collect()
}

fn cell_in(session: &Session, channel: Channel) -> Option<BuiltCell> {
    let in_use = session.rounds.iter().flat_map(crate::fold::Round::in_use);
    let of_channel = in_use.filter(|entry| entry.reading.channel() == Some(channel));
    cell_of(&of_channel.max_by_key(|entry| entry.seq)?.reading)
}

/// How a ring stood when it was read, as far as the reading says.
pub(super) fn cell_of(reading: &Reading) -> Option<BuiltCell> {
    let Seen::Direction(read) = &reading.seen else { return None };
    let locked = match (reading.purpose, reading.lock) {
        (_, Some(lock)) => lock == Lock::After,
        (Purpose::Log, None) => false,
        (Purpose::AsFound | Purpose::Confirm, None) => true,
    };
    let approach = match read.approach {
        Approach::Counter => Approach::Counter,
        Approach::Clockwise | Approach::NotNoted => Approach::Clockwise,
    };
    Some(BuiltCell {
        ring_deg: read.ring_deg.as_ref()?.value().rem_euclid(360.0),
        approach,
        locked,
    })
}
