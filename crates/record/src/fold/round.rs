//! A round: readings between which nothing but a ring was touched.

use solver::angle::{reduced_deg, turn_deg};
use solver::{Channel, Direction, Misalignment, PerChannel};

use super::entry::{Entry, Value};
use super::readings::Readings;
use crate::error::Error;
use crate::fact::{Approach, Purpose, Reading, RemedyTaken, RoundReason, Seen, Seq, SettingChosen};
use crate::stamp::Stamp;
use crate::station::{ReadingUnit, Station, StationMap};

/// Ring angles closer than this are the same angle, degrees: far below what any ring shows, far
/// above rounding.
const SAME_ANGLE_DEG: f64 = 1e-9;

/// A round and what was read, chosen and done in it.
#[derive(Clone, Debug, PartialEq)]
pub struct Round {
    /// The `seq` of its `RoundOpened`.
    pub id: Seq,
    /// 1, 2, … as people count.
    pub number: usize,
    /// When it was opened.
    pub time: Stamp,
    /// What ended the round before.
    pub why: RoundReason,
    /// In the hand's words.
    pub note: String,
    /// Its readings in the order logged, withdrawn ones too, undone ones not.
    pub readings: Readings,
    /// Settings chosen from it.
    pub settings: Vec<(Seq, SettingChosen)>,
    /// Remedies taken upon it.
    pub remedies: Vec<(Seq, RemedyTaken)>,
    /// The station in force in it: the `seq` of its fact.
    pub station: Option<Seq>,
    /// The unit as built in it: the `seq` of its fact.
    pub unit: Option<Seq>,
}

/// Where a ring is, by the last reading in use.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct RingAt {
    /// That reading.
    pub seq: Seq,
    /// The ring angle, degrees in [0, 360), when it was read.
    pub ring_deg: Option<f64>,
    /// Where the crosshair was, when it was read.
    pub direction: Option<Direction>,
    /// The way it was approached.
    pub approach: Approach,
}

/// The ways a ring was approached when logging.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ApproachUsed {
    /// Never noted.
    NotNoted,
    /// Clockwise, wherever it was noted.
    Clockwise,
    /// Counter-clockwise, wherever it was noted.
    Counter,
    /// Both.
    Mixed,
}

/// A round closed by reading its first position again.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Closure {
    /// The first reading.
    pub first: Seq,
    /// The reading at the same ring angle that closes the round.
    pub last: Seq,
    /// The closure error: last less first.
    pub difference: Direction,
}

impl Closure {
    /// The chance that scatter alone makes a closure error this large or larger: each axis of the
    /// difference of two readings has variance 2σ², so |difference|²/(2σ²) is χ² with two degrees
    /// of freedom, whose upper tail is exp(−χ²/2).
    ///
    /// `sigma_arcmin` is the standard uncertainty of a reading, each axis, arcminutes. `None`
    /// unless it is above 0.
    #[must_use]
    pub fn chance(&self, sigma_arcmin: f64) -> Option<f64> {
        let share = self.difference.boresight_arcmin() / (2.0 * sigma_arcmin);
        (sigma_arcmin > 0.0 && share.is_finite()).then(|| (-share * share).exp())
    }
}

impl Round {
    /// The readings that count.
    pub fn in_use(&self) -> impl DoubleEndedIterator<Item = &Entry> {
        self.readings.iter().filter(|entry| entry.in_use())
    }

    /// The readings of one channel's crosshair that count, of one purpose.
    pub fn of(
        &self,
        channel: Channel,
        purpose: Purpose,
    ) -> impl DoubleEndedIterator<Item = &Entry> {
        self.taken_for(purpose).filter(move |entry| entry.reading.channel() == Some(channel))
    }

    /// The readings that count, of one purpose.
    pub fn taken_for(&self, purpose: Purpose) -> impl DoubleEndedIterator<Item = &Entry> {
        self.readings.for_purpose(purpose).filter(|entry| entry.in_use())
    }

    /// The readings of one channel that its circle is fitted to: its log readings, taken where
    /// the unit was set up. As-found readings are not: locks and dioptre are touched after them.
    pub fn fitted(&self, channel: Channel) -> impl DoubleEndedIterator<Item = &Entry> {
        let places = &self.readings.fitted(channel).places;
        places.iter().filter_map(|&place| self.readings.get(place))
    }

    /// Where a ring is: by the last reading of this round that counts and was taken where the unit was
    /// set up: the crosshair of a pod that has swung has gone round with it. `None`: nobody knows.
    #[must_use]
    pub fn place(&self, channel: Channel) -> Option<RingAt> {
        let mut here = self.in_use().rev().filter(|entry| entry.at_set_up_position());
        here.find_map(|entry| {
            let seq = entry.seq;
            let (ring_deg, direction, approach) = match (&entry.reading.seen, entry.value?) {
                (Seen::Direction(read), Value::Direction { channel: of, ring_deg, direction })
                    if of == channel =>
                {
                    (ring_deg, Some(direction), read.approach)
                }
                (Seen::Relative(read), Value::Relative { ring_deg, .. }) => {
                    (ring_deg[channel], None, read.approach[channel])
                }
                (Seen::Box(read), Value::Box { ring_deg, .. }) => {
                    (ring_deg[channel], None, read.approach[channel])
                }
                _ => return None,
            };
            Some(RingAt { seq, ring_deg, direction, approach })
        })
    }

    /// The way a ring was approached when logging.
    #[must_use]
    pub fn approach(&self, channel: Channel) -> ApproachUsed {
        match self.readings.approached(channel) {
            [0, 0] => ApproachUsed::NotNoted,
            [_, 0] => ApproachUsed::Clockwise,
            [0, _] => ApproachUsed::Counter,
            _ => ApproachUsed::Mixed,
        }
    }

    /// The closure error of a channel: its last log reading at the ring angle of its first, with
    /// other angles read in between.
    #[must_use]
    pub fn closure(&self, channel: Channel) -> Option<Closure> {
        let fitted = self.readings.fitted(channel);
        let mut logged = fitted
            .places
            .iter()
            .zip(&fitted.readings)
            .filter_map(|(place, read)| Some((*place, read.ring_deg?, read.direction)));
        let (first, first_deg, from) = logged.next()?;
        let is_there = |ring_deg: f64| turn_deg(first_deg, ring_deg).abs() <= SAME_ANGLE_DEG;
        let (last, _, to) = logged.clone().rev().find(|(_, ring_deg, _)| is_there(*ring_deg))?;
        let mut between = logged.take_while(|(place, ..)| *place < last);
        let elsewhere = between.any(|(_, ring_deg, _)| !is_there(ring_deg));
        let seq = |place: usize| self.readings.get(place).map(|entry| entry.seq);
        let (first, last) = (seq(first)?, seq(last)?);
        elsewhere.then_some(Closure { first, last, difference: to - from })
    }
}

/// What a typed reading means through a station's map.
pub(crate) fn value_of(reading: &Reading, station: Option<&Station>) -> Result<Value, Error> {
    let map_of = |channel: Channel, unit: ReadingUnit| match (station, unit) {
        (Some(station), _) => Ok(station.map[channel]),
        (None, ReadingUnit::Divisions) => Err(Error::NoStation),
        (None, _) => Ok(StationMap::PLAIN),
    };
    let rings = |ring_deg: &PerChannel<Option<crate::number::Typed>>| {
        ring_deg.as_ref().map(|ring| ring.as_ref().map(|typed| reduced_deg(typed.value())))
    };
    Ok(match &reading.seen {
        Seen::Direction(read) => {
            let map = map_of(read.channel, read.unit)?;
            let direction = map.direction_from_typed(read.unit, [read.x.value(), read.y.value()]);
            within_field(direction)?;
            let ring_deg = read.ring_deg.as_ref().map(|typed| reduced_deg(typed.value()));
            Value::Direction { channel: read.channel, ring_deg, direction }
        }
        Seen::Relative(read) => {
            let map = map_of(Channel::Right, read.unit)?;
            let step = map
                .of_differences()
                .direction_from_typed(read.unit, [read.x.value(), read.y.value()]);
            within_field(step)?;
            let misalignment = Misalignment::new(step.x_arcmin, step.y_arcmin);
            Value::Relative { ring_deg: rings(&read.ring_deg), misalignment }
        }
        Seen::Box(read) => Value::Box { ring_deg: rings(&read.ring_deg), inside: read.inside },
    })
}

pub(crate) fn within_field(direction: Direction) -> Result<(), Error> {
    let limit_arcmin = solver::direction::FIELD_LIMIT_ARCMIN;
    let value_arcmin = direction.x_arcmin.abs().max(direction.y_arcmin.abs());
    // Written so that NaN, which a huge scale can make, is refused too.
    if value_arcmin <= limit_arcmin && direction.is_finite() {
        Ok(())
    } else {
        Err(Error::BeyondField { value_arcmin, limit_arcmin })
    }
}
