//! A unit on the bench: what its session begins with, how its rings stand, what it has become.

use solver::monte_carlo::Source;
use solver::{Channel, PerChannel};

use super::built::{Built, Cell};
use super::unit::PracticeUnit;
use crate::error::Error;
use crate::fact::{Approach, Body, Lock, Purpose, Remedy, RoundOpened, RoundReason, Seen, Setup};
use crate::fold::Session;
use crate::number::Typed;
use crate::stamp::Stamp;

/// The interpupillary distance at which a practice unit comes, mm.
const IPD_MM: &str = "64";

impl PracticeUnit {
    /// What a session with this unit says after its header: set up, its papers, the first round.
    ///
    /// # Errors
    /// None: what is said is fixed, and a test says it for units of every grade.
    pub fn opening(&self, now: Stamp) -> Result<Vec<Body>, Error> {
        let zero = Some(Typed::parse("0")?);
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

    /// How its rings stand when it comes: at whole degrees, locks tight.
    #[must_use]
    pub fn as_found(&self) -> PerChannel<Cell> {
        // Drawn apart from the unit itself, so that units stay what they are.
        let mut source = Source::seeded(!((self.number << 2) | self.grade.number()));
        PerChannel::from_fn(|_| Cell {
            ring_deg: source.rectangular(0.0, 360.0).floor(),
            approach: Approach::Clockwise,
            locked: true,
        })
    }

    /// The unit after the remedies of a session.
    #[must_use]
    pub fn built(&self, session: &Session) -> Built {
        remedies_of(session).iter().fold(self.as_made.clone(), |built, remedy| built.after(remedy))
    }

    /// How its rings stand as far as the readings of a session tell: where each was read last, else
    /// as it came. Logged with the lock open; otherwise as the reading says.
    #[must_use]
    pub fn cells(&self, session: &Session) -> PerChannel<Cell> {
        let found = self.as_found();
        PerChannel::from_fn(|channel| cell_in(session, channel).unwrap_or(found[channel]))
    }
}

/// The remedies taken, in order.
pub(super) fn remedies_of(session: &Session) -> Vec<Remedy> {
    let taken = session.rounds.iter().flat_map(|round| &round.remedies);
    taken.map(|(_, taken)| taken.remedy.clone()).collect()
}

fn cell_in(session: &Session, channel: Channel) -> Option<Cell> {
    let in_use = session.rounds.iter().flat_map(crate::fold::Round::in_use);
    let of_channel = in_use.filter(|entry| entry.reading.channel() == Some(channel));
    let reading = &of_channel.max_by_key(|entry| entry.seq)?.reading;
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
    Some(Cell { ring_deg: read.ring_deg.as_ref()?.value().rem_euclid(360.0), approach, locked })
}
