//! Who and where: the unit with its parts and its job, and the station that read it.

use record::calibrations::source::{certificate_told, map_from};
use record::remedies::shim;
use record::{Session, Station, Unit};
use solver::Channel;

use super::figures::moment;
use super::plot::day;

/// A label and what it says.
pub(super) type LabelledText = (&'static str, String);

pub(super) fn unit_pairs(session: &Session) -> Vec<LabelledText> {
    let mut rows = Vec::new();
    if let Some(unit) = session.unit() {
        rows.push(("Unit", unit.name.clone()));
        rows.push(("Housing", unit.housing.clone()));
        rows.push(("Tubes", sides(unit, |unit, of| unit.tubes[of].serial.clone())));
        rows.push(("Eyepieces", sides(unit, |unit, of| unit.eyepieces[of].serial.clone())));
        rows.push(("Shims", sides(unit, shims)));
    }
    if let Some(setup) = session.setup.as_ref().map(|said| &said.body) {
        rows.push(("Job", setup.job.clone()));
        rows.push(("Customer", setup.customer.clone()));
        rows.push(("Complaint", setup.complaint.clone()));
        let ipd = setup.ipd_mm.as_ref().map(|ipd| format!("set to {} mm", ipd.shown()));
        rows.push(("Interpupillary distance", ipd.unwrap_or_default()));
    }
    rows
}

fn shims(unit: &Unit, of: Channel) -> String {
    unit.shims[of].iter().map(shim).collect::<Vec<_>>().join("; ")
}

fn sides(unit: &Unit, part: impl Fn(&Unit, Channel) -> String) -> String {
    let said = Channel::BOTH.into_iter().filter_map(|channel| {
        let says = part(unit, channel);
        (!says.is_empty()).then(|| format!("{} {says}", channel.word()))
    });
    said.collect::<Vec<_>>().join(", ")
}

pub(super) fn station_pairs(session: &Session) -> Vec<LabelledText> {
    let Some(station) = session.station() else {
        return vec![("Station", "none was named: readings were taken as arcminutes".to_owned())];
    };
    vec![
        ("Station", station.name.clone()),
        ("Calibration", calibration(session, station)),
        ("Checked", checked(session, station)),
        ("Reads to", reads_to(station)),
        ("Note", station.note.clone()),
    ]
}

fn calibration(session: &Session, station: &Station) -> String {
    let Some(calibration) = &station.calibration else { return "not stated".to_owned() };
    let done = calibration.done.map_or_else(String::new, |done| format!(", done {done}"));
    let state = day(session).map_or_else(String::new, |at| {
        let day = at.date();
        match station.in_calibration(day) {
            Some(true) => format!("; in calibration on {day}"),
            _ => format!("; OUT OF CALIBRATION on {day}"),
        }
    });
    let certificate = certificate_told(&calibration.certificate);
    format!(
        "certificate {certificate}{done}, due {}{state}; {}",
        calibration.due,
        map_from(station)
    )
}

fn checked(session: &Session, station: &Station) -> String {
    let read =
        day(session).is_some_and(|at| session.was_checked_unjudged(&station.name, at.date()));
    let Some(check) = &station.checked else {
        return if read {
            "its check standard was read that day, and no limits judge it yet".to_owned()
        } else {
            "no check noted".to_owned()
        };
    };
    let result = if check.passed { "read right" } else { "DID NOT READ RIGHT" };
    let when = match day(session) {
        Some(at) if at.date() != check.time.date() => ", not on the day of this work",
        _ => "",
    };
    let note = if check.note.is_empty() { String::new() } else { format!(": {}", check.note) };
    format!("{}, {result}{when}{note}", moment(check.time))
}

fn reads_to(station: &Station) -> String {
    match station.spread.sigma_arcmin {
        Some(sigma) => {
            format!("standard uncertainty of a reading {}", crate::words::number(sigma, 2) + "′")
        }
        None => "no uncertainty stated: it is seen in the readings".to_owned(),
    }
}
