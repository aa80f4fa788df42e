//! Whether the confirm readings lie on the circles of their own round.
//!
//! A verdict rests on where the crosshairs are, the circles on where they were while the rings were turned.
//! Both are of the same unit, as long as nothing but rings and locks was touched: readings off their
//! circle by more than their uncertainty explains are of something else, and pass nothing.
//!
//! Three groups a channel, where the unit was set up, since the ring was last logged: with the lock open;
//! with the lock tight, or not noted; and after a reseating. Only the distance *across* the circle counts,
//! since a lock may drag its ring along it. With the lock open, and the ring angle known (as noted, else the
//! setting chosen), the distance *along* it is told too; it forbids nothing, since only the ring may stand
//! elsewhere.

use solver::own_circle::Departure;
use solver::pointing::step_u_deg;
use solver::{Channel, CircleFit, Direction};

use super::Position;
use crate::fact::{Approach, Lock, Purpose, Seen, Seq};
use crate::figures::arcmin_apart;
use crate::fold::{ApproachUsed, Entry, Round, Session};

/// The probability that a session in which nothing was moved is told that something was, all its tests
/// together (Bonferroni). Half of the hundredth that is bearable, since not all of a bench is in the model.
pub const FALSE_ALARM: f64 = 0.005;

/// What a lock may move a crosshair across its circle, and what a reseating may, standard uncertainty,
/// each axis, arcminutes. Nobody states either; allowances of ours, no source.
pub const LOCK_U_ARCMIN: f64 = 0.5;
/// See [`LOCK_U_ARCMIN`].
pub const SEATING_U_ARCMIN: f64 = 0.5;

/// Which readings of a channel.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WhichReadings {
    /// With the lock noted as open.
    LockOpen,
    /// With the lock tight, or not noted.
    LockTight,
    /// After the unit was seated again.
    Reseated,
}

impl WhichReadings {
    const EVERY: [Self; 3] = [Self::LockOpen, Self::LockTight, Self::Reseated];

    /// It in words, to go after “readings”.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::LockOpen => "with the lock open",
            Self::LockTight => "with the lock tight",
            Self::Reseated => "after reseating",
        }
    }

    /// What else may have moved the crosshair since it was logged, standard uncertainty, each axis,
    /// arcminutes.
    pub(crate) fn moved_u_arcmin(self) -> f64 {
        match self {
            Self::LockOpen => 0.0,
            Self::LockTight => LOCK_U_ARCMIN,
            // Both, in quadrature.
            Self::Reseated => {
                (LOCK_U_ARCMIN * LOCK_U_ARCMIN + SEATING_U_ARCMIN * SEATING_U_ARCMIN).sqrt()
            }
        }
    }
}

/// Across a circle or along it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OnCircleWay {
    /// From the centre.
    Across,
    /// Counter-clockwise.
    Along,
}

/// Some confirm readings held against their circle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct OnCircle {
    /// Whose.
    pub channel: Channel,
    /// Which of them.
    pub readings: WhichReadings,
    /// Which way.
    pub way: OnCircleWay,
    /// How many.
    pub count: usize,
    /// How far, and how likely by chance.
    pub departure: Departure,
    /// How far is explained, arcminutes, at [`FALSE_ALARM`] for all of a session's tests together.
    pub explained_arcmin: f64,
}

impl OnCircle {
    /// Whether they lie farther off than is explained.
    #[must_use]
    pub fn is_off(&self) -> bool {
        self.departure.off_arcmin.abs() > self.explained_arcmin
    }

    /// How far they lie off and how far is explained, in words that tell the two apart.
    #[must_use]
    pub fn apart(&self) -> [String; 2] {
        arcmin_apart([self.departure.off_arcmin.abs(), self.explained_arcmin])
    }
}

/// Every group of a round's confirm readings that can be held against its circle; none where the round
/// logged no circle, or neither σ nor readings to spare tell how well it is known.
#[must_use]
pub fn on_circles(session: &Session, round: &Round) -> Vec<OnCircle> {
    let Some(problem) = session.problem_as_read(round.id) else { return Vec::new() };
    let mut found = Vec::new();
    for channel in Channel::BOTH {
        let confirmed = ConfirmedChannel::of(session, round, channel);
        let logged = &problem.readings[channel];
        if confirmed.is_empty() || logged.is_empty() {
            continue;
        }
        let fit = solver::fit::fit_circle(channel, logged, problem.spread, problem.sense[channel]);
        let Ok(fit) = fit else { continue };
        for readings in WhichReadings::EVERY {
            let points = confirmed.points(readings);
            let departure = fit.departure_across(&points, readings.moved_u_arcmin());
            found.extend(departure.map(|departure| {
                let count = points.len();
                OnCircle {
                    channel,
                    readings,
                    way: OnCircleWay::Across,
                    count,
                    departure,
                    explained_arcmin: 0.0,
                }
            }));
        }
        found.extend(confirmed.along(session, round, &fit));
    }
    let level = FALSE_ALARM / found.len().max(1) as f64;
    for held in &mut found {
        held.explained_arcmin = held.departure.explained_arcmin(level).unwrap_or(f64::INFINITY);
    }
    found
}

/// A round's confirm readings in the order read, each with what it was taken under.
pub(crate) fn confirm_readings(round: &Round) -> impl Iterator<Item = (&Entry, WhichReadings)> {
    let mut reseated = false;
    round.taken_for(Purpose::Confirm).map(move |entry| {
        // Whichever channel was read first after it: the whole unit was taken off.
        reseated |= entry.reading.reseated;
        let readings = match entry.reading.lock {
            _ if reseated => WhichReadings::Reseated,
            Some(Lock::Before) => WhichReadings::LockOpen,
            Some(Lock::After) | None => WhichReadings::LockTight,
        };
        (entry, readings)
    })
}

/// One channel's confirm readings where the unit was set up, since its ring was last logged.
struct ConfirmedChannel<'a> {
    channel: Channel,
    read: Vec<(&'a Entry, WhichReadings)>,
    since: Seq,
}

impl<'a> ConfirmedChannel<'a> {
    fn of(session: &Session, round: &'a Round, channel: Channel) -> Self {
        let logged = round.of(channel, Purpose::Log).next_back();
        let since = logged.map_or(round.id, |entry| entry.seq);
        let read = confirm_readings(round)
            .filter(|(entry, _)| {
                let here = Position::of(entry, session) == Position::SetUp && entry.seq > since;
                here && entry.direction(channel).is_some()
            })
            .collect();
        Self { channel, read, since }
    }

    const fn is_empty(&self) -> bool {
        self.read.is_empty()
    }

    fn of_group(&self, readings: WhichReadings) -> impl Iterator<Item = &'a Entry> + '_ {
        self.read.iter().filter(move |(_, of)| *of == readings).map(|(entry, _)| *entry)
    }

    fn points(&self, readings: WhichReadings) -> Vec<Direction> {
        let entries = self.of_group(readings);
        entries.filter_map(|entry| entry.direction(self.channel)).map(|(_, point)| point).collect()
    }

    /// The last readings with the lock open at one ring angle, along the circle.
    fn along(&self, session: &Session, round: &Round, fit: &CircleFit) -> Option<OnCircle> {
        let open: Vec<(&Entry, f64, Direction)> = self
            .of_group(WhichReadings::LockOpen)
            .filter_map(|entry| {
                let (ring_deg, point) = entry.direction(self.channel)?;
                Some((entry, ring_deg.or_else(|| self.chosen_deg(round, entry.seq))?, point))
            })
            .collect();
        let ring_deg = open.last()?.1;
        let at_ring = open.iter().rev().take_while(|(_, at_deg, _)| {
            solver::angle::turn_deg(ring_deg, *at_deg).abs() < SAME_ANGLE_DEG
        });
        let used = round.approach(self.channel);
        let approached_alike = |entry: &Entry| {
            let Seen::Direction(seen) = &entry.reading.seen else { return false };
            let otherwise = matches!(
                (seen.approach, used),
                (_, ApproachUsed::Mixed)
                    | (Approach::Clockwise, ApproachUsed::Counter)
                    | (Approach::Counter, ApproachUsed::Clockwise)
            );
            !otherwise
        };
        let points: Vec<Direction> = at_ring
            .filter(|(entry, ..)| approached_alike(entry))
            .map(|(_, _, point)| *point)
            .collect();
        let step_deg = session.housing().map_or(1.0, |housing| housing.ring_step_deg);
        let setting_u_deg = step_u_deg(step_deg).hypot(fit.ring_sigma_deg);
        let departure = fit.departure_along(&points, ring_deg, setting_u_deg)?;
        Some(OnCircle {
            channel: self.channel,
            readings: WhichReadings::LockOpen,
            way: OnCircleWay::Along,
            count: points.len(),
            departure,
            explained_arcmin: 0.0,
        })
    }

    /// Where the ring was meant to stand when a reading was taken: the setting chosen last before it.
    fn chosen_deg(&self, round: &Round, before: Seq) -> Option<f64> {
        let settings = round.settings.iter().rev();
        let mut meant = settings.filter(|(seq, _)| *seq < before && *seq > self.since);
        meant.next().and_then(|(_, chosen)| chosen.ring_deg[self.channel])
    }
}

/// Ring angles closer than this are one angle, degrees.
const SAME_ANGLE_DEG: f64 = 1e-9;
