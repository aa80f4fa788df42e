//! What the facts of a check file come to, and what may be said next.

use std::collections::BTreeMap;

use jiff::civil::Date;
use solver::Direction;

use super::limits::{CheckDay, PointLimits};
use super::{BASELINE_DAYS, CheckAbout, CheckBody, CheckLimits, CheckPoint, CheckReading};
use crate::axis::Axis;
use crate::error::Error;
use crate::fact::{Fact, Seq};
use crate::journal::reading::{Logged, in_use, may_withdraw, withdraw};
use crate::journal::{JournalState, Meaning, Vocabulary};
use crate::validate::{finite, named, not_negative, positive, share};

/// What a check file comes to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Checks {
    /// Whose checks they are, and what was noted about the file.
    pub journal: JournalState<CheckAbout>,
    /// All readings, withdrawn ones too, in order.
    pub readings: Vec<CheckReading>,
    /// The decisions on limits, in order.
    pub limits: Vec<Fact<CheckLimits>>,
    /// Where the station was started anew, with the reason.
    pub anew: Vec<Fact<String>>,
}

impl Vocabulary for CheckBody {
    const FILE: &'static str = "check file";
    const TAG: &'static str = "checks of a station";
    type About = CheckAbout;
    type Means = Checks;

    fn check_about(about: &CheckAbout) -> Result<(), Error> {
        named("station", &about.station)?;
        named("standard", &about.standard)?;
        for accepted in &about.accepted {
            for value in accepted.direction_arcmin {
                finite("accepted.direction_arcmin", value)?;
            }
            not_negative("accepted.u_arcmin", accepted.u_arcmin)?;
            if let Some(deg) = accepted.point.ring_deg {
                finite("accepted.point.ring_deg", deg)?;
            }
        }
        Ok(())
    }

    fn check(&self) -> Result<(), Error> {
        match self {
            Self::Taken(taken) => taken.map.check("taken.map"),
            Self::Withdrawn(_) | Self::Limits(_) | Self::StartedAnew(_) => Ok(()),
        }
    }
}

impl Meaning for Checks {
    type Says = CheckBody;

    fn journal(&self) -> &JournalState<CheckAbout> {
        &self.journal
    }

    fn journal_mut(&mut self) -> &mut JournalState<CheckAbout> {
        &mut self.journal
    }

    /// Limits need [`BASELINE_DAYS`] days of each point, all since the station was last started anew, and
    /// days that differ at all.
    fn admits(&self, says: &CheckBody) -> Result<(), Error> {
        match says {
            CheckBody::Taken(taken) => {
                taken.map.check("map")?;
                taken.direction().map(|_| ())
            }
            CheckBody::Withdrawn(withdrawn) => may_withdraw(&self.readings, withdrawn),
            CheckBody::StartedAnew(reason) => named("the reason", reason),
            CheckBody::Limits(limits) => self.admits_limits(limits),
        }
    }

    fn take(&mut self, fact: Fact<CheckBody>) -> Result<(), Error> {
        let Fact { seq, time, hand, body } = fact;
        match body {
            CheckBody::Taken(body) => {
                let direction = body.direction()?;
                self.readings.push(Logged::of(Fact { seq, time, hand, body }, direction));
            }
            CheckBody::Withdrawn(withdrawn) => withdraw(&mut self.readings, seq, withdrawn)?,
            CheckBody::Limits(body) => self.limits.push(Fact { seq, time, hand, body }),
            CheckBody::StartedAnew(body) => self.anew.push(Fact { seq, time, hand, body }),
        }
        Ok(())
    }
}

impl Checks {
    fn admits_limits(&self, limits: &CheckLimits) -> Result<(), Error> {
        positive("factor", limits.factor)?;
        share("weight", limits.weight)?;
        share("scatter_share", limits.scatter_share)?;
        if limits.scatter_share >= 1.0 {
            let (field, value) = ("scatter_share".to_owned(), limits.scatter_share);
            return Err(Error::FieldValue { field, value, must_be: "less than 1" });
        }
        let began = self.began();
        for &seq in &limits.from {
            in_use(&self.readings, seq)?;
            if seq < began {
                return Err(Error::BeforeStartedAnew { seq });
            }
        }
        let points = self.points_of(&limits.from);
        if points.is_empty() {
            return Err(Error::TooFewCheckDays { point: None, days: 0, needed: BASELINE_DAYS });
        }
        for point in points {
            let days = self.days_from(point, &limits.from);
            if days.len() < BASELINE_DAYS {
                let point = Some(point.to_string());
                return Err(Error::TooFewCheckDays {
                    point,
                    days: days.len(),
                    needed: BASELINE_DAYS,
                });
            }
            for axis in Axis::BOTH {
                PointLimits::drawn(limits, &days, axis, None)?;
            }
        }
        Ok(())
    }

    /// The fact with which the station was last started anew; 1 when it never was.
    #[must_use]
    pub fn began(&self) -> Seq {
        self.anew.last().map_or(1, |said| said.seq)
    }

    /// The readings that count and may be compared with each other: since the station was last
    /// started anew. What limits are usually drawn from.
    pub fn comparable(&self) -> impl Iterator<Item = &CheckReading> {
        let began = self.began();
        self.readings.iter().filter(move |held| held.seq > began && held.withdrawn.is_none())
    }

    /// The points read since the station was last started anew, in the order first read.
    #[must_use]
    pub fn points(&self) -> Vec<CheckPoint> {
        distinct(self.comparable())
    }

    /// The points that these readings are of, withdrawn or not.
    pub(super) fn points_of(&self, from: &[Seq]) -> Vec<CheckPoint> {
        distinct(self.among(from).into_iter())
    }

    /// The readings of a list, withdrawn or not, in the order taken.
    fn among(&self, from: &[Seq]) -> Vec<&CheckReading> {
        let mut wanted = from.to_vec();
        wanted.sort_unstable();
        // Years of readings make the list long: looked up, not walked.
        let is_wanted = |held: &&CheckReading| wanted.binary_search(&held.seq).is_ok();
        self.readings.iter().filter(is_wanted).collect()
    }

    /// The days of a point since the station was last started anew, in the calendar's order.
    #[must_use]
    pub fn days(&self, point: CheckPoint) -> Vec<CheckDay> {
        by_day(self.comparable().filter(|held| held.taken.point() == point))
    }

    /// The days of a point that these readings make, whatever became of them since.
    pub(super) fn days_from(&self, point: CheckPoint, from: &[Seq]) -> Vec<CheckDay> {
        by_day(self.among(from).into_iter().filter(|held| held.taken.point() == point))
    }

    /// Readings that the limits in force rest on and that were withdrawn since: the limits stand as
    /// they were decided, and should be drawn anew.
    #[must_use]
    pub fn withdrawn_from_limits(&self) -> Vec<Seq> {
        let Some(limits) = self.limits.last() else { return Vec::new() };
        let gone = |seq: &&Seq| in_use(&self.readings, **seq).is_err();
        limits.body.from.iter().filter(gone).copied().collect()
    }
}

fn distinct<'a>(readings: impl Iterator<Item = &'a CheckReading>) -> Vec<CheckPoint> {
    let mut points: Vec<CheckPoint> = Vec::new();
    for point in readings.map(|held| held.taken.point()) {
        if !points.contains(&point) {
            points.push(point);
        }
    }
    points
}

fn by_day<'a>(readings: impl Iterator<Item = &'a CheckReading>) -> Vec<CheckDay> {
    let mut days: BTreeMap<Date, Vec<&CheckReading>> = BTreeMap::new();
    for held in readings {
        days.entry(held.time.date()).or_default().push(held);
    }
    days.into_iter().filter_map(|(day, held)| day_of(day, &held)).collect()
}

fn day_of(day: Date, held: &[&CheckReading]) -> Option<CheckDay> {
    let last = held.last()?.time;
    let points: Vec<Direction> = held.iter().map(|one| one.direction).collect();
    let mean = crate::conclusion::measured::mean(&points);
    let spread = |axis: Axis| {
        let squares: f64 = points.iter().map(|p| (axis.of(*p) - axis.of(mean)).powi(2)).sum();
        (squares / (points.len() as f64 - 1.0)).sqrt()
    };
    Some(CheckDay {
        day,
        last,
        readings: held.iter().map(|one| one.seq).collect(),
        mean,
        deviation_arcmin: (points.len() > 1).then(|| Axis::BOTH.map(spread)),
    })
}
