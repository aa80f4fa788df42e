//! Sessions of many readings.

use std::fs::File;
use std::path::{Path, PathBuf};

use record::fact::{
    Approach, Body, DirectionReading, Header, Purpose, RoundOpened, RoundReason, Seq, SessionKind,
};
use record::file::write_all_lines;
use record::{Fact, ReadingUnit, Stamp, Station, Typed, Unit};
use solver::{Channel, Direction};

/// A session of so many readings, whose crosshairs lie some tenths of an arcminute off two circles.
pub(crate) fn session(folder: &Path, readings: usize, unit: Unit) -> PathBuf {
    let path = folder.join(format!("{readings} readings.samepoint"));
    write_all_lines(&facts(unit, wavering(readings)), File::create(&path).unwrap()).unwrap();
    path
}

/// When they were taken, milliseconds since 1970.
pub(crate) const TAKEN_MS: i64 = 1_795_597_200_000;

/// The fact that opens the round.
pub(crate) const ROUND: Seq = 4;

pub(crate) fn facts(unit: Unit, readings: Vec<Body>) -> Vec<Fact> {
    let header = Header {
        format: record::fact::LATEST_FORMAT,
        program: "test".to_owned(),
        session: record::new_session_name().unwrap(),
        kind: SessionKind::Real,
        continues: None,
    };
    let bodies = [
        Body::Header(header),
        Body::Station(Station::plain("Bench 2")),
        Body::Unit(unit),
        Body::RoundOpened(RoundOpened { why: RoundReason::First, note: String::new() }),
    ];
    let time = Stamp::from_unix_milliseconds(TAKEN_MS).unwrap();
    (1..)
        .zip(bodies.into_iter().chain(readings))
        .map(|(seq, body)| Fact { seq, time, hand: "KT".to_owned(), body })
        .collect()
}

/// So many readings, whose crosshairs lie some tenths of an arcminute off two circles.
pub(crate) fn wavering(readings: usize) -> Vec<Body> {
    let readings = (0..readings).map(|k| {
        let channel = if k.is_multiple_of(2) { Channel::Left } else { Channel::Right };
        let (centre, radius, phase) = match channel {
            Channel::Left => (Direction::new(10.0, 4.0), 30.0, 20.0_f64),
            Channel::Right => (Direction::new(-6.0, -3.0), 26.0, 140.0_f64),
        };
        let ring_deg = (k / 2 * 37 % 360) as f64;
        let off = Direction::new((k * 7 % 11) as f64 - 5.0, (k * 5 % 13) as f64 - 6.0) * 0.1;
        let at = centre + Direction::polar(radius, (phase - ring_deg).to_radians()) + off;
        let typed = |value: f64| Typed::parse(&format!("{value:.1}")).unwrap();
        let read = DirectionReading {
            channel,
            ring_deg: Some(typed(ring_deg)),
            x: typed(at.x_arcmin),
            y: typed(at.y_arcmin),
            unit: ReadingUnit::Arcmin,
            approach: Approach::NotNoted,
        };
        Body::Reading(record::fact::Reading::direction(ROUND, Purpose::Log, read))
    });
    readings.collect()
}
