//! A station in words: how it reads, and what is the matter with it.

use paper::words::{arcmin, capital, number, step_decimals};
use record::calibrations::source::{certificate_told, map_from};
use record::checks::CheckedOn;
use record::station::{Shows, flip_words};
use record::{ReadingUnit, Session, Stamp, Station, StationMap};
use solver::Channel;

/// What a session without a station of the shop reads with.
pub(crate) const NO_STATION: &str = "arcminutes from boresight";

/// The station and its state in one line, and whether that needs a look.
#[must_use]
pub(crate) fn in_one_line(station: &Station, judging: Judging, now: Stamp) -> (String, bool) {
    let look = !troubles(station, judging, now).is_empty();
    let check = check(station, judging, now);
    (format!("{} · {} · {check}", station.name, calibration(station, now)), look)
}

/// Whether anything judges what was read of a station's check standard today.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) enum Judging {
    /// Limits do, a hand did, or nothing was read.
    #[default]
    Usual,
    /// It was read, all of it, and nothing judges it yet.
    NotYet,
}

impl Judging {
    /// By what the shop's check file of the station comes to.
    #[must_use]
    pub(crate) fn by(today: Option<&CheckedOn>) -> Self {
        let unjudged = today.is_some_and(|today| today.unjudged.is_some());
        if unjudged { Self::NotYet } else { Self::Usual }
    }

    /// The same by what a session was told.
    #[must_use]
    pub(crate) fn in_session(session: &Session, station: &Station, now: Stamp) -> Self {
        let unjudged = session.was_checked_unjudged(&station.name, now.date());
        if unjudged { Self::NotYet } else { Self::Usual }
    }
}

fn calibration(station: &Station, now: Stamp) -> String {
    match (&station.calibration, station.in_calibration(now.date())) {
        (Some(calibration), Some(true)) => format!("calibrated to {}", calibration.due),
        (Some(calibration), _) => format!("calibration ran out on {}", calibration.due),
        (None, _) => "not calibrated".to_owned(),
    }
}

fn check(station: &Station, judging: Judging, now: Stamp) -> String {
    match &station.checked {
        Some(check) if check.time.date() == now.date() => {
            let time = check.time.time_of_day();
            let time = time.get(..5).unwrap_or(&time);
            if check.passed {
                format!("checked {time} today")
            } else {
                format!("read the check standard wrong at {time} today")
            }
        }
        _ if judging == Judging::NotYet => "checked today, not judged yet".to_owned(),
        _ => "not checked today".to_owned(),
    }
}

/// What is the matter with a station, the worst of it in two or three words; empty where nothing is.
#[must_use]
pub(crate) fn reason(station: &Station, judging: Judging, now: Stamp) -> &'static str {
    if station.name == NO_STATION {
        return "no station";
    }
    let failed = station
        .checked
        .as_ref()
        .is_some_and(|check| !check.passed && check.time.date() == now.date());
    match (&station.calibration, station.in_calibration(now.date())) {
        _ if failed => "check failed today",
        (Some(_), Some(false) | None) => "calibration ran out",
        (None, _) => "not calibrated",
        _ if station.checked_on(now.date()) => "",
        _ if judging == Judging::NotYet => "check not judged",
        _ => "not checked today",
    }
}

/// What is the matter with a station, each as a sentence. None of it keeps anybody from logging.
#[must_use]
pub(crate) fn troubles(station: &Station, judging: Judging, now: Stamp) -> Vec<String> {
    if station.name == NO_STATION {
        return vec!["No station is named: nothing is known of its calibration.".to_owned()];
    }
    let mut troubles = Vec::new();
    let calibrated = match (&station.calibration, station.in_calibration(now.date())) {
        (_, Some(true)) => None,
        (Some(calibration), _) => {
            Some(format!("The calibration of {} ran out on {}.", station.name, calibration.due))
        }
        (None, _) => Some(format!("No calibration of {} is on record.", station.name)),
    };
    troubles.extend(calibrated);
    if !station.checked_on(now.date()) {
        let failed = station
            .checked
            .as_ref()
            .is_some_and(|check| !check.passed && check.time.date() == now.date());
        troubles.push(if failed {
            format!("{} read its check standard wrong today.", station.name)
        } else if judging == Judging::NotYet {
            format!(
                "{} was checked today, but nothing can judge that yet: no limits are drawn.",
                station.name
            )
        } else {
            format!("{} was not checked against its standard today.", station.name)
        });
    }
    troubles
}

/// How it reads: map, spread, graticule, calibration, check, one sentence each.
#[must_use]
pub(crate) fn told(station: &Station, judging: Judging, now: Stamp) -> Vec<String> {
    let mut told: Vec<String> = Channel::BOTH
        .iter()
        .filter(|&&channel| channel == Channel::Left || station.map.left != station.map.right)
        .map(|&channel| {
            let whose = if station.map.left == station.map.right {
                "Both graticules".to_owned()
            } else {
                format!("{} graticule", capital(channel.word()))
            };
            format!("{whose}: {}.", map(&station.map[channel]))
        })
        .collect();
    match station.shows {
        Shows::Direction => {}
        Shows::Relative => told.push(solver::relative::BORESIGHT_UNKNOWN.to_owned()),
        Shows::Box => told.push(
            "It shows only whether the crosshairs lie in a box: no number comes of it.".to_owned(),
        ),
    }
    told.push(match station.spread.sigma_arcmin {
        Some(sigma) => format!(
            "Standard uncertainty: {} a reading, {}° a ring angle.",
            arcmin(sigma),
            number(station.spread.ring_sigma_deg, 1)
        ),
        None => "No uncertainty is stated: it is estimated from the readings.".to_owned(),
    });
    if let Some(graticule) = &station.graticule {
        let [[x0, x1], [y0, y1]] = [graticule.x_divisions, graticule.y_divisions];
        let step = graticule.read_to_divisions.map_or_else(String::new, |step| {
            format!(", read to {}", number(step, step_decimals(step)))
        });
        told.push(format!(
            "Range: {} to {} across, {} to {} up, in divisions{step}.",
            number(x0, 0),
            number(x1, 0),
            number(y0, 0),
            number(y1, 0)
        ));
    }
    let certificate = station
        .calibration
        .as_ref()
        .filter(|calibration| !calibration.certificate.is_empty())
        .map_or_else(String::new, |calibration| {
            format!(" ({})", certificate_told(&calibration.certificate))
        });
    told.push(format!(
        "{}{certificate}; {}.",
        capital(&calibration(station, now)),
        check(station, judging, now)
    ));
    told.push(format!("{}.", capital(&map_from(station))));
    if station.usual_unit != ReadingUnit::Arcmin {
        told.push(format!("Usually read in {}.", station.usual_unit.word()));
    }
    if !station.note.is_empty() {
        told.push(station.note.clone());
    }
    told
}

fn map(map: &StationMap) -> String {
    let [x, y] = map.arcmin_per_division;
    let scale = if x == y {
        format!("one division is {}", arcmin(x))
    } else {
        format!("one division is {} across, {} up", arcmin(x), arcmin(y))
    };
    let [x0, y0] = map.boresight_divisions;
    let flips = flip_words(map.flip_x, map.flip_y);
    let turned = if map.rotation_deg == 0.0 {
        String::new()
    } else {
        format!(", turned {}° counter-clockwise", number(map.rotation_deg, 1))
    };
    format!("{scale}{flips}{turned}, boresight reads {}, {}", number(x0, 1), number(y0, 1))
}
