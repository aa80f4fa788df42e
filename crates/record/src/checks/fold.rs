//! What the facts of a check file come to, and what may be said next.

use std::collections::BTreeMap;

use jiff::civil::Date;
use solver::Direction;

use super::limits::{CheckDay, PointLimits};
use super::{
    BASELINE_DAYS, CheckBody, CheckFact, CheckHeader, CheckLimits, CheckPoint, CheckTaken,
};
use crate::axis::Axis;
use crate::check::{finite, named, not_negative, positive, share};
use crate::error::Error;
use crate::fact::texts::plain;
use crate::fact::{Fact, Seq, Withdrawn};
use crate::fold::Withdrawal;
use crate::stamp::Stamp;

/// What a check file comes to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Checks {
    /// Whose checks they are.
    pub header: Option<CheckHeader>,
    /// All readings, withdrawn ones too, in order.
    pub readings: Vec<CheckReading>,
    /// The decisions on limits, in order.
    pub limits: Vec<Fact<CheckLimits>>,
    /// Where the station was started anew, with the reason.
    pub anew: Vec<Fact<String>>,
    /// What the program itself noted about the file, in its words.
    pub marks: Vec<(Seq, String)>,
    /// Facts that could not be taken at their word, and why.
    pub ignored: Vec<(Seq, String)>,
}

/// A reading of the standard.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckReading {
    /// Its identity.
    pub seq: Seq,
    /// When.
    pub time: Stamp,
    /// Whose hand.
    pub hand: String,
    /// As typed.
    pub taken: CheckTaken,
    /// Where it points.
    pub direction: Direction,
    /// Set when it was withdrawn.
    pub withdrawn: Option<Withdrawal>,
}

/// What the facts come to. Total: a fact that cannot be taken at its word is left aside.
#[must_use]
pub fn fold(facts: &[CheckFact]) -> Checks {
    let mut checks = Checks::default();
    for fact in facts {
        if let Err(why) = checks.take(&plain(fact)) {
            checks.ignored.push((fact.seq, why.to_string()));
        }
    }
    checks
}

impl Checks {
    fn take(&mut self, fact: &CheckFact) -> Result<(), Error> {
        if let CheckBody::Header(header) = &fact.body {
            if fact.seq != 1 {
                return Err(Error::HeaderOutOfPlace);
            }
            self.header = Some(header.clone());
            return Ok(());
        }
        if let CheckBody::Noted(note) = &fact.body {
            self.marks.push((fact.seq, note.text.clone()));
            return Ok(());
        }
        self.admits(&fact.body)?;
        match &fact.body {
            CheckBody::Header(_) | CheckBody::Noted(_) => {}
            CheckBody::Taken(taken) => self.readings.push(CheckReading {
                seq: fact.seq,
                time: fact.time,
                hand: fact.hand.clone(),
                direction: taken.direction()?,
                taken: taken.clone(),
                withdrawn: None,
            }),
            CheckBody::Withdrawn(Withdrawn { reading, reason }) => {
                let held = self.readings.iter_mut().find(|held| held.seq == *reading);
                let held = held.ok_or(Error::NotAReadingInUse { seq: *reading })?;
                held.withdrawn = Some(Withdrawal { by: fact.seq, reason: reason.clone() });
            }
            CheckBody::Limits(limits) => self.limits.push(said(fact, limits)),
            CheckBody::StartedAnew(reason) => self.anew.push(said(fact, reason)),
        }
        Ok(())
    }

    /// Whether a fact may be added now.
    ///
    /// # Errors
    /// Why not, and what to do. Limits need [`BASELINE_DAYS`] days of each point, all since the station
    /// was last started anew, and days that differ at all.
    pub fn admits(&self, body: &CheckBody) -> Result<(), Error> {
        match body {
            CheckBody::Header(_) => Err(Error::HeaderOutOfPlace),
            CheckBody::Noted(_) => Err(Error::ProgramsOwnNote),
            CheckBody::Taken(taken) => {
                taken.map.check("map")?;
                taken.direction().map(|_| ())
            }
            CheckBody::Withdrawn(withdrawn) => {
                self.in_use(withdrawn.reading)?;
                named("the reason", &withdrawn.reason)
            }
            CheckBody::StartedAnew(reason) => named("the reason", reason),
            CheckBody::Limits(limits) => self.admits_limits(limits),
        }
    }

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
            self.in_use(seq)?;
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

    fn in_use(&self, seq: Seq) -> Result<&CheckReading, Error> {
        // Readings stand in the order of their numbers.
        let at = self.readings.binary_search_by_key(&seq, |held| held.seq).ok();
        let found = at.and_then(|at| self.readings.get(at)).filter(|held| held.withdrawn.is_none());
        found.ok_or(Error::NotAReadingInUse { seq })
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
        let gone = |seq: &&Seq| self.in_use(**seq).is_err();
        limits.body.from.iter().filter(gone).copied().collect()
    }
}

fn said<T: Clone>(fact: &CheckFact, body: &T) -> Fact<T> {
    Fact { seq: fact.seq, time: fact.time, hand: fact.hand.clone(), body: body.clone() }
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

/// What is wrong with a header.
pub(super) fn check_header(header: &CheckHeader) -> Result<(), Error> {
    named("station", &header.station)?;
    named("standard", &header.standard)?;
    for accepted in &header.accepted {
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
