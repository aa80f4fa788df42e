//! A window, station or camera map that the shop has otherwise today, or that changed within the session.
//!
//! A session copies in what it was worked by. Whoever lays a wider window into it, or a station that reads
//! more kindly, under a name that the shop knows, is found here; so is a shop that changed its mind since.
//! It is said, with both limits, and changes no verdict: the session was judged by its own.

use core::fmt;

use super::Beside;
use crate::fact::{Camera, Fact, Seq, SessionKind};
use crate::figures::counted_s;
use crate::fold::Session;
use crate::station::{Station, StationMap};
use crate::unit::Unit;
use crate::window::NamedWindow;

/// Something that is otherwise.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Otherwise {
    /// Whether it is a window or a station, and its name.
    pub what: ReviewAspect,
    /// The fact that copied it in.
    pub seq: Seq,
    /// How it is otherwise.
    pub how: How,
}

/// What is otherwise, by name.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ReviewAspect {
    /// A tolerance window.
    Window(String),
    /// A station.
    Station(String),
    /// The unit.
    Unit(String),
    /// A camera map.
    Camera(String),
}

/// How something is otherwise: what it has, in words, and what the other has.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum How {
    /// The shop's of that name has something else.
    InShop {
        /// In the session.
        here: String,
        /// In the shop.
        there: String,
    },
    /// The shop has none of that name.
    NotInShop {
        /// In the session.
        here: String,
    },
    /// It was changed within the session.
    Changed {
        /// Before.
        before: String,
        /// Since.
        since: String,
    },
}

impl fmt::Display for ReviewAspect {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Window(name) => write!(f, "tolerance window “{name}”"),
            Self::Station(name) => write!(f, "station “{name}”"),
            Self::Unit(name) => write!(f, "unit “{name}”"),
            Self::Camera(name) => write!(f, "camera map “{name}”"),
        }
    }
}

impl fmt::Display for Otherwise {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { what, seq, how } = self;
        match how {
            How::InShop { here, there } => write!(
                f,
                "the {what} of this session (fact {seq}) is not the shop's of that name: here {here}; in \
                 the shop {there}"
            ),
            How::NotInShop { here } => {
                write!(f, "the shop has no {what}: here (fact {seq}) {here}")
            }
            How::Changed { before, since } => write!(
                f,
                "the {what} came in within the session (fact {seq}): before {before}; since {since}"
            ),
        }
    }
}

/// What changed within a session after its first reading: windows with other limits or another rule,
/// stations and cameras that read otherwise, and a unit or housing of another name.
#[must_use]
pub fn changed(session: &Session) -> Vec<Otherwise> {
    let mut readings = session.rounds.iter().flat_map(|round| &round.readings);
    let Some(first) = readings.next().map(|entry| entry.seq) else { return Vec::new() };
    let mut found = Vec::new();
    for (before, since) in pairs(&session.windows, first) {
        if !judges_as(&before.body, &since.body) {
            found.push(Otherwise {
                what: ReviewAspect::Window(since.body.name.clone()),
                seq: since.seq,
                how: How::Changed { before: limits(&before.body), since: limits(&since.body) },
            });
        }
    }
    for (before, since) in pairs(&session.units, first) {
        let [one, other] = [before, since].map(|said| &said.body);
        if one.name != other.name || one.housing != other.housing {
            let named = |unit: &Unit| format!("unit {}, housing {}", unit.name, unit.housing);
            found.push(Otherwise {
                what: ReviewAspect::Unit(other.name.clone()),
                seq: since.seq,
                how: How::Changed { before: named(one), since: named(other) },
            });
        }
    }
    for (before, since) in pairs(&session.cameras, first) {
        if before.body != since.body {
            let [one, other] = [&before.body, &since.body];
            found.push(Otherwise {
                what: ReviewAspect::Camera(other.name.clone()),
                seq: since.seq,
                how: How::Changed {
                    before: camera_words(one),
                    since: format!("{}{}", camera_words(other), new_marks(other, one, "new")),
                },
            });
        }
    }
    for (before, since) in pairs(&session.stations, first) {
        if !since.body.reads_as(&before.body) {
            let [before, after] = apart(&before.body, &since.body);
            found.push(Otherwise {
                what: ReviewAspect::Station(since.body.name.clone()),
                seq: since.seq,
                how: How::Changed { before, since: after },
            });
        }
    }
    found
}

/// What a session was worked by that its shop has otherwise now.
#[must_use]
pub fn in_shop(session: &Session, beside: &Beside) -> Vec<Otherwise> {
    // An invented unit has an invented bench.
    let kind = session.header.as_ref().map(|header| &header.kind);
    if matches!(kind, Some(SessionKind::Practice(_))) {
        return Vec::new();
    }
    let mut found = Vec::new();
    let windows = || beside.windows.iter().map(|kept| &kept.value);
    let stations = || beside.stations.iter().map(|kept| &kept.value);
    if let Some(said) = session.windows.last() {
        let here = &said.body;
        let of_name = || windows().filter(|window| window.name == here.name);
        if !of_name().any(|window| judges_as(window, here)) {
            let what = ReviewAspect::Window(here.name.clone());
            let how = match of_name().next() {
                Some(there) => How::InShop { here: limits(here), there: limits(there) },
                None => How::NotInShop { here: limits(here) },
            };
            found.push(Otherwise { what, seq: said.seq, how });
        }
    }
    if let Some(said) = session.stations.last() {
        let here = &said.body;
        let of_name = || stations().filter(|station| station.name == here.name);
        if !of_name().any(|station| here.reads_as(station)) {
            let what = ReviewAspect::Station(here.name.clone());
            let how = match of_name().next() {
                Some(there) => {
                    let [here, there] = apart(here, there);
                    How::InShop { here, there }
                }
                None => How::NotInShop { here: spread(here) },
            };
            found.push(Otherwise { what, seq: said.seq, how });
        }
    }
    if let Some(said) = session.cameras.last() {
        let here = &said.body;
        let of_name = || {
            let cameras = beside.cameras.iter().map(|kept| &kept.value);
            cameras.filter(|camera| camera.name == here.name)
        };
        if !of_name().any(|camera| camera == here) {
            let what = ReviewAspect::Camera(here.name.clone());
            let here_words = camera_words(here);
            let how = match of_name().next() {
                Some(there) => How::InShop {
                    here: format!("{here_words}{}", new_marks(here, there, "not the shop’s")),
                    there: camera_words(there),
                },
                None => How::NotInShop { here: here_words },
            };
            found.push(Otherwise { what, seq: said.seq, how });
        }
    }
    found
}

/// A camera map in words.
fn camera_words(camera: &Camera) -> String {
    let [width, height] = camera.size_px;
    format!(
        "of station {}, {width} × {height} px, {} lines, {}",
        camera.station,
        camera.lines.word(),
        counted_s(camera.marks.len(), "mark")
    )
}

/// How many marks of a map another has not, in words.
fn new_marks(here: &Camera, other: &Camera, words: &str) -> String {
    let new = here.marks.iter().filter(|mark| !other.marks.contains(mark)).count();
    if new == 0 { String::new() } else { format!(", {new} of them {words}") }
}

/// Each value said after a fact, with the one in force before it.
fn pairs<T>(said: &[Fact<T>], after: Seq) -> impl Iterator<Item = (&Fact<T>, &Fact<T>)> {
    said.iter().zip(said.iter().skip(1)).filter(move |(_, since)| since.seq > after)
}

/// Whether two windows judge alike: the same limits, rule, and share for the looking test.
fn judges_as(one: &NamedWindow, other: &NamedWindow) -> bool {
    one.limits == other.limits
        && one.rule == other.rule
        && one.far_point_share == other.far_point_share
}

/// A window's limits and rule in words.
fn limits(window: &NamedWindow) -> String {
    let limits = &window.limits;
    let boresight = match limits.boresight_arcmin() {
        Some(boresight_arcmin) => format!("boresight {boresight_arcmin}′"),
        None => "no boresight limit".to_owned(),
    };
    format!(
        "convergence {}′, divergence {}′, dipvergence {}′, {boresight}, {} rule",
        limits.convergence_arcmin(),
        limits.divergence_arcmin(),
        limits.dipvergence_arcmin(),
        window.rule.word()
    )
}

/// How well a station reads, in words.
fn spread(station: &Station) -> String {
    match station.spread.sigma_arcmin {
        Some(sigma_arcmin) => format!("a reading's standard uncertainty {sigma_arcmin}′"),
        None => "a reading's standard uncertainty not stated".to_owned(),
    }
}

/// What two stations have otherwise, in words, each its own.
fn apart(one: &Station, other: &Station) -> [String; 2] {
    let mut said: [Vec<String>; 2] = Default::default();
    let mut part = |differs: bool, words: &dyn Fn(&Station) -> String| {
        if differs {
            for (said, station) in said.iter_mut().zip([one, other]) {
                said.push(words(station));
            }
        }
    };
    part(one.spread.sigma_arcmin != other.spread.sigma_arcmin, &spread);
    part(one.spread.ring_sigma_deg != other.spread.ring_sigma_deg, &|station| {
        format!("a ring angle's standard uncertainty {}°", station.spread.ring_sigma_deg)
    });
    for channel in solver::Channel::BOTH {
        part(one.map[channel] != other.map[channel], &|station| {
            format!("{channel} map {}", map(&station.map[channel]))
        });
        let own = |station: &Station| station.reference.own_u_arcmin[channel];
        part(own(one) != own(other), &|station| {
            let [x, y] = own(station);
            format!("{channel} reference uncertainty {x}′, {y}′")
        });
    }
    part(one.reference.common_u_arcmin != other.reference.common_u_arcmin, &|station| {
        let [x, y] = station.reference.common_u_arcmin;
        format!("common reference uncertainty {x}′, {y}′")
    });
    part(one.shows != other.shows, &|station| format!("shows {}", shows(station)));
    said.map(|said| said.join(", "))
}

fn map(map: &StationMap) -> String {
    let [x_scale, y_scale] = map.arcmin_per_division;
    let [x_zero, y_zero] = map.boresight_divisions;
    let flips = match (map.flip_x, map.flip_y) {
        (false, false) => "not flipped",
        (true, false) => "x flipped",
        (false, true) => "y flipped",
        (true, true) => "x and y flipped",
    };
    let turned_deg = map.rotation_deg;
    format!(
        "{x_scale}′, {y_scale}′ a division, zero at {x_zero}, {y_zero}, {flips}, turned {turned_deg}°"
    )
}

const fn shows(station: &Station) -> &'static str {
    match station.shows {
        crate::station::Shows::Direction => "each channel",
        crate::station::Shows::Relative => "only the difference",
        crate::station::Shows::Box => "only a box",
    }
}
