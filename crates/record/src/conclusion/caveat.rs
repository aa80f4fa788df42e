//! What limits a verdict, in words.

use core::fmt;

use jiff::civil::Date;
use solver::Channel;
use solver::stats::quantile::chi_squared_above;

use super::counted::Counted;
use super::looking::{far_point, looking_tests};
use super::measured::{Measured, mean};
use super::on_circle::{OnCircle, OnCircleWay};
use super::{Conclusion, Method, Position};
use crate::fact::{LookingResult, LookingTest, Seq, SessionKind};
use crate::fold::{Entry, Round, Session, Value};
use crate::housing::Adjustment;
use crate::number::Typed;

/// Stated and seen scatter disagree below this probability.
const DISAGREE: f64 = 0.01;

/// Something that limits a verdict.
#[derive(Clone, Debug, PartialEq)]
#[non_exhaustive]
pub enum Caveat {
    /// Facts are lost, and the round, its station or its window were said before them.
    AfterLostFacts {
        /// The last fact lost.
        until: Seq,
    },
    /// No station was chosen.
    NoStation,
    /// The station's calibration had run out when it was read.
    OutOfCalibration {
        /// Its last day.
        due: Date,
    },
    /// The station has no calibration to show.
    CalibrationNotStated,
    /// The station failed its daily check.
    CheckFailed {
        /// When it was checked.
        day: Date,
    },
    /// The station was not checked on a day it was read.
    NotChecked {
        /// That day.
        day: Date,
    },
    /// It was read against its check standard on such a day, and nothing can judge that yet.
    CheckedNotJudged {
        /// That day.
        day: Date,
    },
    /// The unit was not reseated between readings of both channels where it was set up, so that nothing
    /// tells how far seatings scatter; or it was judged before that was looked at.
    SeatingNotIncluded,
    /// The same at another position, where it was reseated.
    SeatingNotIncludedAt(Position),
    /// Readings without a word about the lock.
    LockNotNoted {
        /// How many.
        count: usize,
    },
    /// Readings without a word about the dioptre.
    DioptreNotNoted {
        /// Whose.
        channel: Channel,
    },
    /// A dioptre that did not stand at zero.
    DioptreNotZero {
        /// Whose.
        channel: Channel,
        /// What it stood at, as typed.
        stood_at: String,
    },
    /// The ring angles noted with the confirm readings differ: the ring was not locked.
    RingMoved {
        /// Whose.
        channel: Channel,
        /// By how much, degrees.
        by_deg: f64,
    },
    /// The pods swing, and a stop was not read.
    StopNotRead(Position),
    /// A position read through one channel only.
    HalfRead {
        /// Which.
        position: Position,
        /// The channel that was not read there.
        missing: Channel,
    },
    /// Readings scatter more than the station states (χ², p < 0.01).
    ScatterDisagrees {
        /// Seen, each axis, arcminutes.
        seen_arcmin: f64,
        /// Stated, arcminutes.
        stated_arcmin: f64,
    },
    /// Confirm readings lie off their round's circle by more than is explained.
    OffCircle(OnCircle),
    /// Confirm readings lie along their circle from where the ring was set by more than is explained.
    OffSetting(OnCircle),
    /// Nobody looked through.
    NotLookedThrough,
    /// The point looked at was too near, or nobody said how far it was.
    LookedTooNear {
        /// How far it was, metres, when noted.
        distance_m: Option<f64>,
        /// How far it had to be, metres.
        least_m: f64,
    },
    /// Two images were seen.
    LookedDouble,
    /// The looking test was broken off.
    LookingStopped,
}

impl Caveat {
    /// Whether it marks the verdict until it is resolved: the station cannot be shown to read
    /// right.
    #[must_use]
    pub const fn marks(&self) -> bool {
        matches!(
            self,
            Self::NoStation
                | Self::OutOfCalibration { .. }
                | Self::CalibrationNotStated
                | Self::CheckFailed { .. }
                | Self::NotChecked { .. }
                | Self::CheckedNotJudged { .. }
        )
    }

    /// Whether a pass cannot stand beside it.
    #[must_use]
    pub const fn forbids_pass(&self) -> bool {
        matches!(
            self,
            Self::LookedDouble
                | Self::LookingStopped
                | Self::OffCircle(_)
                | Self::AfterLostFacts { .. }
        )
    }
}

impl fmt::Display for Caveat {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::AfterLostFacts { until } => write!(
                f,
                "facts up to {until} are lost, and what they said is not known: say station and window \
                 again, open a round and read anew"
            ),
            Self::NoStation => f.write_str("no station was chosen"),
            Self::OutOfCalibration { due } => {
                write!(f, "the station's calibration ran out on {due}")
            }
            Self::CalibrationNotStated => f.write_str("the station states no calibration"),
            Self::CheckFailed { day } => write!(f, "the station failed its check on {day}"),
            Self::NotChecked { day } => write!(f, "the station was not checked on {day}"),
            Self::CheckedNotJudged { day } => write!(
                f,
                "the station was checked on {day}, but no limits judge its check standard yet"
            ),
            Self::SeatingNotIncluded => f.write_str("seating repeatability not included"),
            Self::SeatingNotIncludedAt(position) => {
                write!(f, "seating repeatability not included {position}")
            }
            Self::LockNotNoted { count: 1 } => {
                f.write_str("nobody noted whether the lock was tightened for 1 reading")
            }
            Self::LockNotNoted { count } => {
                write!(f, "nobody noted whether the locks were tightened for {count} readings")
            }
            Self::DioptreNotNoted { channel } => {
                write!(f, "nobody noted that the {channel} dioptre was re-zeroed")
            }
            Self::DioptreNotZero { channel, stood_at } => {
                write!(f, "the {channel} dioptre stood at {stood_at}, not at zero")
            }
            Self::RingMoved { channel, by_deg } => {
                write!(f, "the ring angles noted for the {channel} channel differ by {by_deg:.1}°")
            }
            Self::StopNotRead(position) => write!(f, "not read {position}"),
            Self::HalfRead { position, missing } => {
                write!(f, "not judged {position}: the {missing} channel was not read there")
            }
            Self::ScatterDisagrees { seen_arcmin, stated_arcmin } => write!(
                f,
                "the readings scatter by {seen_arcmin:.2}′, the station states {stated_arcmin:.2}′"
            ),
            Self::OffCircle(held) => {
                let [off, explained] = held.apart();
                write!(
                    f,
                    "the {} readings {} lie {off} {} the circle of their round, where {explained} is explained: \
                     something else moved, or they are of another unit; log a new round and read again",
                    held.channel,
                    held.readings.word(),
                    if held.departure.off_arcmin > 0.0 { "outside" } else { "inside" },
                )
            }
            Self::OffSetting(held) => {
                let [off, explained] = held.apart();
                write!(
                    f,
                    "the {} readings {} lie {off} along their circle from where the ring was set, where \
                     {explained} is explained",
                    held.channel,
                    held.readings.word(),
                )
            }
            Self::NotLookedThrough => f.write_str("nobody looked through it at a far point"),
            Self::LookedTooNear { distance_m: Some(distance_m), least_m } => write!(
                f,
                "the looking test was at {} m, nearer than the {} m needed",
                solver::error::told(*distance_m),
                least_m.ceil()
            ),
            Self::LookedTooNear { distance_m: None, least_m } => write!(
                f,
                "nobody noted how far the point of the looking test was; {} m are needed",
                least_m.ceil()
            ),
            Self::LookedDouble => f.write_str("the looking test showed double"),
            Self::LookingStopped => f.write_str("the looking test was broken off"),
        }
    }
}

/// Everything that limits a conclusion, what weighs most first.
pub(super) fn caveats(
    session: &Session,
    round: &Round,
    read: &[Counted<'_>],
    conclusion: &Conclusion,
) -> Vec<Caveat> {
    let mut found = Vec::new();
    found.extend(lost(session, round));
    let off = || conclusion.on_circles.iter().copied().filter(OnCircle::is_off);
    found.extend(off().filter(|held| held.way == OnCircleWay::Across).map(Caveat::OffCircle));
    looked(session, round, &mut found);
    let entries: Vec<&Entry> = read.iter().flat_map(Counted::entries).collect();
    of_station(session, &entries, &mut found);
    seating(&entries, conclusion, &mut found);
    let unnoted = entries.iter().filter(|entry| entry.reading.lock.is_none()).count();
    if unnoted > 0 {
        found.push(Caveat::LockNotNoted { count: unnoted });
    }
    let step_deg = session.housing().map_or(1.0, |housing| housing.ring_step_deg);
    for channel in Channel::BOTH {
        let of_channel =
            || entries.iter().copied().filter(|e| e.reading.channel() == Some(channel));
        dioptre(channel, of_channel(), &mut found);
        ring(channel, of_channel(), step_deg, &mut found);
    }
    for at in read.iter().filter(|at| !at.is_whole()) {
        let missing = if at.readings.left.is_empty() { Channel::Left } else { Channel::Right };
        found.push(Caveat::HalfRead { position: at.position, missing });
    }
    if session.housing().is_some_and(|housing| matches!(housing.adjustment, Adjustment::Hinge(_))) {
        for stop in [Position::Narrow, Position::Wide] {
            if !read.iter().any(|at| at.position == stop) {
                found.push(Caveat::StopNotRead(stop));
            }
        }
    }
    if let Some(sigma_arcmin) =
        conclusion.measured.and_then(|measured| measured.stated_sigma_arcmin)
    {
        found.extend(scatter(read, sigma_arcmin));
    }
    found.extend(off().filter(|held| held.way == OnCircleWay::Along).map(Caveat::OffSetting));
    found
}

/// A pass needs round, station and window to have been said since anything was lost. What nobody said may
/// be what is lost.
fn lost(session: &Session, round: &Round) -> Option<Caveat> {
    let until = session.lost_until?;
    let station = session.stations.last().map_or(0, |said| said.seq);
    let window = session.windows.last().map_or(0, |said| said.seq);
    (round.id.min(station).min(window) < until).then_some(Caveat::AfterLostFacts { until })
}

fn of_station(session: &Session, entries: &[&Entry], found: &mut Vec<Caveat>) {
    let Some(station) = session.station() else {
        found.push(Caveat::NoStation);
        return;
    };
    let mut days: Vec<Date> = entries.iter().map(|entry| entry.time.date()).collect();
    days.sort_unstable();
    days.dedup();
    match &station.calibration {
        None => found.push(Caveat::CalibrationNotStated),
        Some(calibration) => {
            if days.iter().any(|day| station.in_calibration(*day) == Some(false)) {
                found.push(Caveat::OutOfCalibration { due: calibration.due });
            }
        }
    }
    let kind = session.header.as_ref().map(|header| &header.kind);
    match &station.checked {
        // An invented unit's bench reads right by definition, on whichever day it is gone on with.
        _ if matches!(kind, Some(SessionKind::Practice(_))) => {}
        Some(check) if !check.passed => {
            found.push(Caveat::CheckFailed { day: check.time.date() });
        }
        _ => {
            let mut said = days.into_iter().filter_map(|day| check_of(session, &station.name, day));
            // What weighs most of them, once.
            let first = said.next();
            let weight = |caveat: &Caveat| match caveat {
                Caveat::CheckFailed { .. } => 0,
                Caveat::NotChecked { .. } => 1,
                _ => 2,
            };
            found.extend(first.into_iter().chain(said).min_by_key(weight));
        }
    }
}

/// What the check of a station of this name comes to on a day on which it was read; `None` where it read
/// right. Every time the station was copied in tells of a day; the last of a day counts.
fn check_of(session: &Session, name: &str, day: Date) -> Option<Caveat> {
    let stations = session.stations.iter().map(|said| &said.body);
    let checks = stations.filter(|station| station.name == name);
    let mut checks = checks.filter_map(|station| station.checked.as_ref());
    match checks.rfind(|check| check.time.date() == day).map(|check| check.passed) {
        Some(true) => None,
        Some(false) => Some(Caveat::CheckFailed { day }),
        None if session.was_checked_unjudged(name, day) => Some(Caveat::CheckedNotJudged { day }),
        None => Some(Caveat::NotChecked { day }),
    }
}

/// The first way of judging took any reading after reseating for enough, and so its signatures keep
/// the caveats they had.
fn seating(entries: &[&Entry], conclusion: &Conclusion, found: &mut Vec<Caveat>) {
    if conclusion.method == Method::First {
        if !entries.iter().any(|entry| entry.reading.reseated) {
            found.push(Caveat::SeatingNotIncluded);
        }
        return;
    }
    let included = |at: &Measured| at.judgement.is_some_and(|judged| judged.seatings > 1);
    if !conclusion.measured.as_ref().is_some_and(included) {
        found.push(Caveat::SeatingNotIncluded);
        return;
    }
    let others = conclusion.elsewhere.iter().filter(|at| !included(at));
    found.extend(others.map(|at| Caveat::SeatingNotIncludedAt(at.position)));
}

fn dioptre<'a>(
    channel: Channel,
    entries: impl Iterator<Item = &'a Entry>,
    found: &mut Vec<Caveat>,
) {
    let (mut unnoted, mut off) = (false, None);
    for entry in entries {
        match &entry.reading.dioptre {
            None => unnoted = true,
            Some(dioptre) if dioptre.value() != 0.0 => off = Some(dioptre),
            Some(_) => {}
        }
    }
    if let Some(dioptre) = off {
        let stood_at = dioptre.shown();
        found.push(Caveat::DioptreNotZero { channel, stood_at });
    } else if unnoted {
        found.push(Caveat::DioptreNotNoted { channel });
    }
}

/// Ring angles noted at a locked ring are one angle, to the ring's own step.
fn ring<'a>(
    channel: Channel,
    entries: impl Iterator<Item = &'a Entry>,
    step_deg: f64,
    found: &mut Vec<Caveat>,
) {
    let mut angles = entries.filter_map(|entry| match entry.value {
        Some(Value::Direction { ring_deg, .. }) => ring_deg,
        _ => None,
    });
    let Some(first_deg) = angles.next() else { return };
    let (mut low_deg, mut high_deg) = (0.0_f64, 0.0_f64);
    for angle_deg in angles {
        let off_deg = solver::angle::turn_deg(first_deg, angle_deg);
        low_deg = low_deg.min(off_deg);
        high_deg = high_deg.max(off_deg);
    }
    let by_deg = high_deg - low_deg;
    if by_deg > step_deg {
        found.push(Caveat::RingMoved { channel, by_deg });
    }
}

/// χ² of the readings about their means against what the station states: reseating and hands may
/// add to it.
fn scatter(read: &[Counted<'_>], sigma_arcmin: f64) -> Option<Caveat> {
    let (mut squares, mut freedom) = (0.0, 0_usize);
    for at in read {
        for channel in Channel::BOTH {
            let points: Vec<_> = at.readings[channel].iter().map(|(_, point)| *point).collect();
            let centre = mean(&points);
            squares += points.iter().map(|p| (*p - centre).dot(*p - centre)).sum::<f64>();
            freedom += 2 * points.len().saturating_sub(1);
        }
    }
    if freedom == 0 {
        return None;
    }
    let chi_squared = squares / (sigma_arcmin * sigma_arcmin);
    let above = chi_squared_above(chi_squared, freedom as f64).ok()?;
    (above < DISAGREE).then(|| Caveat::ScatterDisagrees {
        seen_arcmin: (squares / freedom as f64).sqrt(),
        stated_arcmin: sigma_arcmin,
    })
}

fn looked(session: &Session, round: &Round, found: &mut Vec<Caveat>) {
    let mut last: Option<&LookingTest> = None;
    let (mut double, mut stopped) = (false, false);
    for test in looking_tests(session, round) {
        double |= test.body.result == LookingResult::Double;
        stopped |= test.body.result == LookingResult::Stopped;
        last = Some(&test.body);
    }
    if double {
        found.push(Caveat::LookedDouble);
    }
    if stopped {
        found.push(Caveat::LookingStopped);
    }
    let Some(last) = last else {
        found.push(Caveat::NotLookedThrough);
        return;
    };
    let distance_m = last.distance_m.as_ref().map(Typed::value);
    if let Some(needed) = far_point(session)
        && distance_m.is_none_or(|distance_m| distance_m < needed.distance_m)
    {
        found.push(Caveat::LookedTooNear { distance_m, least_m: needed.distance_m });
    }
}
