//! A second invented shop, that a unit of the year was sent to: its two benches, a session on each, and a copy of
//! the session that came along with the unit.

use jiff::civil::{Date, date};
use record::{Calibration, Error, Lock, Purpose, Shop, Station, Typed};
use solver::{Channel, Direction, PerChannel};

use super::log::{Begin, Log};
use super::plan::{Done, left_at_deg};
use super::shelf;
use super::truth::Draw;

/// Bench 8's right graticule was knocked, arcminutes.
pub(crate) const KNOCKED_ARCMIN: (f64, f64) = (0.0, 1.6);

/// Who works there.
const HAND: &str = "LN";

/// The second shop as it is told and kept.
pub(crate) struct SecondShop {
    /// Each file below its folder.
    pub(crate) files: Vec<(String, Vec<u8>)>,
    /// The unit, and the file of the session that came along with it.
    pub(crate) unit: String,
    pub(crate) copy: String,
}

/// Of the unit that was sent there as it was left.
pub(crate) fn of(sent: &Done) -> Result<SecondShop, Error> {
    let mut files = Vec::new();
    for (name, day, seed) in
        [("Bench 7", date(2026, 6, 15), 911), ("Bench 8", date(2026, 6, 16), 912)]
    {
        let station = station(name, day)?;
        let log = measured(sent, station, day, seed)?;
        files.push((format!("sessions/{day} {}.samepoint", sent.job.unit.name), log.bytes()?));
    }
    files.push((format!("sessions/{}", sent.told.file), sent.told.bytes.clone()));
    Ok(SecondShop { files, unit: sent.job.unit.name.clone(), copy: sent.told.file.clone() })
}

/// Keeps what the shop has on its shelf.
pub(crate) fn keep(shop: &mut Shop) -> Result<(), Error> {
    for name in ["Bench 7", "Bench 8"] {
        shop.keep_station(station(name, date(2026, 6, 16))?)?;
    }
    shop.keep_window(shelf::strict_window()?)?;
    Ok(())
}

fn station(name: &str, day: Date) -> Result<Station, Error> {
    let like = shelf::station("Bench 5", day)?;
    let number = name.trim_start_matches("Bench ");
    let calibration = Calibration {
        certificate: format!("B{number}-2026-03"),
        done: Some(date(2026, 3, 9)),
        due: date(2027, 3, 9),
    };
    Ok(Station { name: name.to_owned(), calibration: Some(calibration), ..like })
}

/// Confirm readings alone, rings and locks as they came.
fn measured(sent: &Done, station: Station, day: Date, seed: u64) -> Result<Log, Error> {
    let knocked = if station.name == "Bench 8" { KNOCKED_ARCMIN } else { (0.0, 0.0) };
    let begun = Begin {
        day,
        hand: HAND,
        seed,
        job: String::new(),
        complaint: "sent to be compared; rings and locks are not to be touched",
        station,
        window: shelf::strict_window()?,
        housing: sent.job.housing.clone(),
        unit: sent.job.unit.clone(),
    };
    let mut log = Log::begin(begun, &sent.left_with, Vec::new())?;
    let right = &mut log.bench.circles.right.centre;
    *right = *right + Direction::new(knocked.0, knocked.1);
    let (rings, mut draw): (PerChannel<f64>, _) = (left_at_deg(sent), Draw::new(seed));
    for reseated in [false, false, true, true] {
        let seated = if reseated { 0.15 } else { 0.0 };
        let off = Direction::new(draw.normal(seated), draw.normal(seated));
        for channel in Channel::BOTH {
            log.read(Purpose::Confirm, channel, rings[channel], off, |reading, seen| {
                reading.lock = Some(Lock::After);
                reading.reseated = reseated && channel == Channel::Left;
                reading.dioptre = Typed::parse("0").ok();
                seen.ring_deg = None;
            })?;
        }
    }
    log.sign("read as it came, nothing touched")?;
    Ok(log)
}
