//! One unit over the years: every session of it by date, what was done in each, and whether the unit came back as
//! it had been left.
//!
//! The drift between two visits is what the second found less what the first left, with its uncertainty and E_n:
//! [`two_sessions`](crate::two_sessions()) works it out.

use std::path::PathBuf;

use jiff::civil::Date;
use solver::Channel;
use solver::words::{counted_s, listed, sentence};

use super::{SessionSummary, Survey};
use crate::error::Error;
use crate::figures::{arcmin, degrees_short, direction, misalignment, percent};
use crate::file::{Disk, End, scan};
use crate::fold::{Session, fold};
use crate::remedies;
use crate::shown;
use crate::two_sessions::{VisitChange, two_sessions};
use crate::{as_found, conclude};

/// A unit's sessions, to be read whole.
#[derive(Clone, Debug)]
pub struct UnitFiles {
    unit: String,
    /// Each with its index in the survey, its file, and how that is called.
    files: Vec<(usize, PathBuf, String, SessionSummary)>,
    elsewhere: Vec<String>,
    unread: usize,
}

/// A unit over the years.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct UnitHistory {
    /// The unit.
    pub unit: String,
    /// Its sessions, the first first.
    pub visits: Vec<UnitVisit>,
    /// What must be known beside, a sentence each: sessions left out, parts that were in other units.
    pub notes: Vec<String>,
}

/// A session of a unit.
#[derive(Clone, Debug, PartialEq)]
pub struct UnitVisit {
    /// Its index in the survey.
    pub session: usize,
    /// Its summary.
    pub summary: SessionSummary,
    /// What was done, a sentence each: remedies, then the rings.
    pub done: Vec<String>,
    /// How the unit is built at its end, a sentence each.
    pub built: Vec<String>,
    /// How it was found, and how left, in sentences.
    pub found_and_left: Vec<String>,
    /// What became of it since the visit before.
    pub since: Option<SinceVisit>,
}

/// What became of a unit from one visit to the next.
#[derive(Clone, Debug, PartialEq)]
pub struct SinceVisit {
    /// Days from the last reading of the one to the first fact of the other; `None` where a day is not known.
    pub days: Option<i32>,
    /// What it was found with less what it was left with; or why that is not known.
    pub kept: Result<VisitChange, NotCompared>,
    /// It in sentences.
    pub words: Vec<String>,
}

/// Why what was found cannot be held against what was left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotCompared {
    /// The visit before has no confirm readings of both channels.
    #[error("the visit before did not confirm how it was left")]
    NotLeft,
    /// This one has no as-found readings of both channels.
    #[error("it was not read as found")]
    NotFound,
    /// Nothing tells how far readings scatter.
    #[error("how far readings scatter is not stated by its station")]
    NoScatter,
}

impl Survey {
    /// What is to be read for a unit's history; `None` where no session is of such a unit.
    #[must_use]
    pub fn unit_files(&self, unit: &str) -> Option<UnitFiles> {
        let all = self.sessions.iter().enumerate();
        let of_unit = all.filter(|(_, one)| !one.practice && one.unit == unit);
        let files: Vec<_> = of_unit
            .map(|(index, one)| {
                let folder = self.folders.get(one.folder).cloned().unwrap_or_default();
                let path = folder.join("sessions").join(&one.file);
                (index, path, self.place_of(one), one.clone())
            })
            .collect();
        if files.is_empty() {
            return None;
        }
        let elsewhere = self.parts_elsewhere(unit, &files);
        Some(UnitFiles { unit: unit.to_owned(), files, elsewhere, unread: self.skipped.len() })
    }

    /// Where parts that the unit had by serial number sat besides.
    fn parts_elsewhere(
        &self,
        unit: &str,
        files: &[(usize, PathBuf, String, SessionSummary)],
    ) -> Vec<String> {
        let mut parts: Vec<(&str, &str)> = Vec::new();
        for (.., of) in files {
            for channel in Channel::BOTH {
                parts.push(("Tube", &of.tubes[channel]));
                parts.push(("Eyepiece", &of.eyepieces[channel]));
            }
        }
        parts.retain(|(_, serial)| !serial.is_empty());
        parts.sort_unstable();
        parts.dedup();
        let mut said = Vec::new();
        for (kind, serial) in parts {
            let sits = |one: &&SessionSummary| {
                let serials = if kind == "Tube" { &one.tubes } else { &one.eyepieces };
                !one.practice
                    && one.unit != unit
                    && Channel::BOTH.iter().any(|channel| serials[*channel] == serial)
            };
            let mut others: Vec<String> = self
                .sessions
                .iter()
                .filter(sits)
                .map(|one| {
                    let day = one.day.map_or_else(|| "no day".to_owned(), |day| day.to_string());
                    format!("{} ({day})", shown::one_line(&one.unit))
                })
                .collect();
            others.dedup();
            if !others.is_empty() {
                let serial = shown::one_line(serial);
                said.push(format!("{kind} {serial} was also in {}.", others.join(", ")));
            }
        }
        said
    }
}

impl UnitFiles {
    /// The unit.
    #[must_use]
    pub fn unit(&self) -> &str {
        &self.unit
    }

    /// Reads them.
    #[must_use]
    pub fn read(self, disk: &dyn Disk) -> UnitHistory {
        let mut history = UnitHistory { unit: self.unit, ..UnitHistory::default() };
        let mut read: Vec<(usize, SessionSummary, Session)> = Vec::new();
        for (index, path, place, summary) in self.files {
            if let Some(why) = left_out(&summary) {
                history.notes.push(format!("{place} is left out: {why}."));
                continue;
            }
            let opened = disk.open_read(&path).map_err(|why| Error::io("open", &path, why));
            match opened.and_then(|bytes| scan(&path, bytes)) {
                Ok(scanned) if scanned.end == End::Clean => {
                    read.push((index, summary, fold(&scanned.facts)));
                }
                Ok(_) => history
                    .notes
                    .push(format!("{place} is left out: its file is not whole any more.")),
                Err(why) => history.notes.push(format!("{place} is left out: {why}.")),
            }
        }
        read.sort_by_key(|(index, summary, _)| (when(summary).is_none(), when(summary), *index));
        let mut before: Option<(usize, Session)> = None;
        for (index, summary, session) in read {
            let mut visit = UnitVisit {
                session: index,
                done: done(&session),
                built: built(&session),
                found_and_left: found_and_left(&session),
                since: None,
                summary,
            };
            // A blind check reads the unit as it lies there: no visit of its own.
            if visit.summary.checks.is_none() {
                visit.since = before.as_ref().map(|(place, earlier)| {
                    let left = history.visits.get(*place).map(|visit| &visit.summary);
                    since([earlier, &session], [left, Some(&visit.summary)])
                });
                before = Some((history.visits.len(), session));
            }
            history.visits.push(visit);
        }
        let mut housings: Vec<&str> =
            history.visits.iter().map(|visit| visit.summary.housing.as_str()).collect();
        housings.retain(|name| !name.is_empty());
        housings.sort_unstable();
        housings.dedup();
        if housings.len() > 1 {
            let names = listed(housings.iter().map(|name| shown::one_line(name)), ", ");
            history.notes.push(format!(
                "Its sessions name several housings, {names}: these may be different units of one name."
            ));
        }
        history.notes.extend(self.elsewhere);
        if self.unread > 0 {
            history.notes.push(format!(
                "{} of the shop could not be read; one of them may be of this unit.",
                counted_s(self.unread, "session file")
            ));
        }
        history
    }
}

impl UnitHistory {
    /// How often it came and when last, in a sentence, seen from a day.
    #[must_use]
    pub fn words(&self, today: Date) -> String {
        let came: Vec<&UnitVisit> =
            self.visits.iter().filter(|visit| visit.summary.checks.is_none()).collect();
        let last = came.iter().rev().find_map(|visit| visit.summary.day);
        let last = last.map_or_else(String::new, |day| {
            format!(", last on {day}, {}", ago_words(days_between(day, today)))
        });
        format!("{}: {}{last}.", shown::one_line(&self.unit), counted_s(came.len(), "visit"))
    }
}

impl UnitVisit {
    /// Which it is, in a line: day, verdict, state, station, hand.
    #[must_use]
    pub fn title(&self) -> String {
        let day = when(&self.summary).map_or_else(|| "no day".to_owned(), |day| day.to_string());
        let blind = if self.summary.checks.is_some() { " · blind check" } else { "" };
        format!(
            "{day} · {}, {} · {} · {}{blind}",
            self.summary.verdict_words(),
            self.summary.state.word(),
            shown::one_line(&self.summary.station),
            shown::one_line(&self.summary.hand)
        )
    }

    /// Job, customer and complaint, in a line; empty where none was noted.
    #[must_use]
    pub fn job_words(&self) -> String {
        let SessionSummary { job, customer, complaint, .. } = &self.summary;
        let each = [("job", job), ("customer", customer), ("complaint", complaint)];
        let said = each.into_iter().filter(|(_, text)| !text.trim().is_empty());
        let said: Vec<String> =
            said.map(|(name, text)| format!("{name} {}", shown::one_line(text))).collect();
        sentence(&said.join(", "))
    }
}

/// `3 days ago`, `today`.
#[must_use]
pub fn ago_words(days: i32) -> String {
    match days {
        0 => "today".to_owned(),
        ..0 => format!("{} ahead of the clock", counted_s(days.unsigned_abs(), "day")),
        days => format!("{} ago", counted_s(days.unsigned_abs(), "day")),
    }
}

/// Whole days from one day to another.
pub(super) fn days_between(from: Date, to: Date) -> i32 {
    i32::try_from(to.duration_since(from).as_hours() / 24).unwrap_or(i32::MAX)
}

fn when(summary: &SessionSummary) -> Option<Date> {
    summary.day.or(summary.begun)
}

fn left_out(summary: &SessionSummary) -> Option<&'static str> {
    if summary.copy_of.is_some() {
        Some("another file of the same session counts")
    } else if summary.continued_in.is_some() {
        Some("it goes on in another file")
    } else if summary.end_missing.is_some() {
        Some("its end is missing")
    } else {
        None
    }
}

/// Remedies in order, then the rings: the setting chosen, and where they were read last.
fn done(session: &Session) -> Vec<String> {
    let mut said = Vec::new();
    for (_, taken) in session.rounds.iter().flat_map(|round| &round.remedies) {
        let note = shown::one_line(&taken.note);
        let note = if note.trim().is_empty() { String::new() } else { format!(" ({note})") };
        said.push(sentence(&format!("{}{note}", remedies::said(&taken.remedy))));
    }
    let last = session.rounds.last();
    let chosen = last.and_then(|last| last.settings.last()).map(|(_, setting)| setting);
    let chosen_deg = |channel: Channel| chosen?.ring_deg[channel];
    let read_deg = |channel: Channel| last?.place(channel)?.ring_deg;
    // A setting is what was meant; a reading is where the ring stood.
    for (what, at) in [
        ("Setting chosen", &chosen_deg as &dyn Fn(Channel) -> Option<f64>),
        ("Rings last read at", &read_deg),
    ] {
        let named =
            |channel: Channel| Some(format!("{} {}", channel.word(), degrees_short(at(channel)?)));
        let rings: Vec<String> = Channel::BOTH.into_iter().filter_map(named).collect();
        if !rings.is_empty() {
            said.push(format!("{what} {}.", rings.join(", ")));
        }
    }
    if said.is_empty() {
        said.push("Nothing but reading is on record.".to_owned());
    }
    said
}

fn built(session: &Session) -> Vec<String> {
    let Some(unit) = session.unit() else { return Vec::new() };
    Channel::BOTH
        .into_iter()
        .map(|channel| {
            let serial = |serial: &str| {
                if serial.is_empty() {
                    "not noted".to_owned()
                } else {
                    shown::one_line(serial).into_owned()
                }
            };
            let tube = &unit.tubes[channel];
            let turned = if tube.turned_deg == 0.0 {
                String::new()
            } else {
                format!(" turned by {}", degrees_short(tube.turned_deg))
            };
            let shims: Vec<String> = unit.shims[channel].iter().map(remedies::shim).collect();
            let shims = if shims.is_empty() {
                "no shims".to_owned()
            } else {
                format!("shims {}", shims.join("; "))
            };
            let (tube, eyepiece) = (serial(&tube.serial), serial(&unit.eyepieces[channel].serial));
            sentence(&format!(
                "{} tube {tube}{turned}, eyepiece {eyepiece}, {shims}",
                channel.word()
            ))
        })
        .collect()
}

fn found_and_left(session: &Session) -> Vec<String> {
    let mut said = Vec::new();
    let used = |share: Option<f64>| {
        share.map_or_else(String::new, |share| format!(", window use {}", percent(share)))
    };
    match as_found(session).and_then(|found| found.together) {
        Some(found) => said.push(format!(
            "As found {}, {} from boresight{}.",
            misalignment(found.misalignment),
            arcmin(found.boresight_arcmin),
            used(found.window_use.map(|used| used.worst()))
        )),
        None => said.push("Not read as found.".to_owned()),
    }
    match conclude(session).ok().and_then(|conclusion| conclusion.measured) {
        Some(left) => said.push(format!(
            "As left {}, {} from boresight{}.",
            misalignment(left.misalignment),
            arcmin(left.boresight_arcmin),
            used(Some(left.window_use.worst()))
        )),
        None => said.push("Not confirmed as left.".to_owned()),
    }
    said
}

fn since([before, now]: [&Session; 2], [left, came]: [Option<&SessionSummary>; 2]) -> SinceVisit {
    let compared = two_sessions(before, now);
    let kept = compared.kept.ok_or_else(|| {
        let measured = conclude(before).ok().and_then(|conclusion| conclusion.measured);
        if measured.is_none() {
            NotCompared::NotLeft
        } else if as_found(now).and_then(|found| found.together).is_none() {
            NotCompared::NotFound
        } else {
            NotCompared::NoScatter
        }
    });
    let began = came.and_then(|came| came.begun.or(came.day));
    let days = left.and_then(when).zip(began).map(|(left, came)| days_between(left, came));
    let mut words = Vec::new();
    match kept {
        Ok(change) => {
            for (what, found) in [
                ("misalignment", change.misalignment),
                ("middle of both crosshairs", change.shared),
            ] {
                words.push(crate::apart::difference(
                    &format!("{what}, as found less as left before,"),
                    found,
                ));
            }
            let moved = change.misalignment.agrees() == Some(false)
                || change.shared.agrees() == Some(false);
            let [x, y] = change.misalignment.difference;
            words.push(if moved {
                "It moved between the visits by more than the uncertainties of both explain."
                    .to_owned()
            } else if change.misalignment.agrees().is_none() || change.shared.agrees().is_none() {
                "Whether it moved cannot be told.".to_owned()
            } else {
                format!(
                    "That it moved is not shown: {} is within the uncertainties of both.",
                    direction(solver::Direction::new(x, y))
                )
            });
        }
        Err(why) => words.push(format!("Whether it moved since is not known: {why}.")),
    }
    if [left, came].iter().flatten().any(|summary| summary.recall.is_some()) {
        words.push("One of both was read while its station’s zero was off.".to_owned());
    }
    if left.is_some_and(|left| left.follows == Some(false)) {
        words
            .push("What was signed the visit before does not follow from its readings.".to_owned());
    }
    words.extend(compared.rebuilt.iter().map(|part| format!("Came back built otherwise: {part}.")));
    SinceVisit { days, kept, words }
}
