//! The benches' check standards: twelve days of a baseline, then once a week.

use jiff::ToSpan as _;
use jiff::civil::{Date, date};
use record::checks::{
    Accepted, CheckAbout, CheckBody, CheckFact, CheckHeader, CheckLimits, CheckPoint, CheckTaken,
    fold,
};
use record::file::write_all_lines;
use record::{
    Approach, Channel, Error, Fact, JournalBody, Meaning as _, ReadingUnit, Seq, StationMap, Typed,
};
use solver::Direction;

use super::log::session_name;
use super::truth::{self, Draw};
use crate::sessions::stamp;

/// Where the standard points.
const STANDARD_ARCMIN: [f64; 2] = [12.0, -7.0];

/// Standard deviation of a reading of the standard and of a day, each axis, arcminutes.
const READING_ARCMIN: f64 = 0.15;
const DAY_ARCMIN: f64 = 0.1;

/// The check files: name and bytes.
pub(crate) fn files() -> Result<Vec<(String, Vec<u8>)>, Error> {
    ["Bench 4", "Bench 5"]
        .iter()
        .map(|station| Ok((format!("{station}.samepoint-check"), file(station)?)))
        .collect()
}

/// When the standard was read: twelve working days in a row, then every Monday.
pub(crate) fn days() -> Vec<Date> {
    let mut days = Vec::new();
    let mut day = date(2025, 12, 1);
    while days.len() < 12 {
        if i16::from(day.weekday().to_monday_one_offset()) <= 5 {
            days.push(day);
        }
        day = day.tomorrow().unwrap_or(day);
    }
    let mut monday = date(2025, 12, 22);
    while monday <= date(2026, 11, 16) {
        days.push(monday);
        monday = monday.checked_add(7.days()).unwrap_or(Date::MAX);
    }
    days
}

/// Bench 4's limits were only drawn in November, from the first twelve days; Bench 5's at once.
fn file(station: &str) -> Result<Vec<u8>, Error> {
    let seed = if station == "Bench 4" { 941 } else { 951 };
    let mut draw = Draw::new(seed);
    let mut facts: Vec<CheckFact> = Vec::new();
    let at = |day: Date, second: u32| stamp(&day.to_string(), 8 * 3600 + second);
    let accepted = Channel::BOTH.map(|channel| Accepted {
        point: CheckPoint { channel, ring_deg: None },
        direction_arcmin: STANDARD_ARCMIN,
        u_arcmin: 0.1,
    });
    let days = days();
    let header = CheckHeader {
        format: record::journal::FIRST_FORMAT,
        program: "samepoint 0.1.0".into(),
        name: session_name(seed),
        continues: None,
        about: CheckAbout {
            station: station.to_owned(),
            standard: "fixed mirror M-3".into(),
            accepted: accepted.to_vec(),
        },
    };
    let first = days.first().copied().unwrap_or(date(2025, 12, 1));
    let body = JournalBody::Header(header);
    facts.push(Fact { seq: 1, time: at(first, 0)?, hand: "SH".to_owned(), body });
    let mut say = |day: Date, second: u32, hand: &str, body: CheckBody| -> Result<Seq, Error> {
        fold(&facts).admits(&body)?;
        let seq = facts.len() as Seq + 1;
        let (time, hand, body) = (at(day, second)?, hand.to_owned(), body.into());
        facts.push(Fact { seq, time, hand, body });
        Ok(seq)
    };
    let mut baseline = Vec::new();
    let limits =
        |from: &[Seq], reason: &str| CheckBody::Limits(CheckLimits::usual(from.to_vec(), reason));
    for (index, day) in days.iter().enumerate() {
        let hand = draw.pick(&["KT", "RB", "JO"]).to_owned();
        for channel in Channel::BOTH {
            let off = Direction::new(draw.normal(DAY_ARCMIN), draw.normal(DAY_ARCMIN));
            for time in 0..2 {
                let [x, y] = STANDARD_ARCMIN;
                let read = Direction::new(x, y)
                    + truth::zero(station, *day)
                    + off
                    + Direction::new(draw.normal(READING_ARCMIN), draw.normal(READING_ARCMIN));
                let typed = |value: f64| Typed::parse(&format!("{value:.2}"));
                let taken = CheckTaken {
                    channel,
                    ring_deg: None,
                    x: typed(read.x_arcmin)?,
                    y: typed(read.y_arcmin)?,
                    unit: ReadingUnit::Arcmin,
                    map: StationMap::PLAIN,
                    approach: Approach::NotNoted,
                };
                let second = 60 + 40 * time + if channel == Channel::Left { 0 } else { 20 };
                let seq = say(*day, second, &hand, CheckBody::Taken(taken))?;
                if index < 12 {
                    baseline.push(seq);
                }
            }
        }
        if index == 11 && station != "Bench 4" {
            say(*day, 600, "SH", limits(&baseline, "the first twelve days"))?;
        }
    }
    if station == "Bench 4" {
        let reason = "never drawn before; from the first twelve days";
        say(date(2026, 11, 17), 600, "SH", limits(&baseline, reason))?;
    }
    let mut bytes = Vec::new();
    write_all_lines(&facts, &mut bytes)?;
    Ok(bytes)
}
