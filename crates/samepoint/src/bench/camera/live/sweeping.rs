//! A sweep begun, gone on with, ended, taken back and brought back.

use paper::words::counted_s;
use record::Typed;
use record::fact::day::{DayKind, DayNote};
use record::fact::{Body, DirectionReading, Purpose, Reading, Seen, Seq};
use solver::Direction;

use super::following::{Says, seen_of};
use super::sweep::{LoggedPlace, MOST, Sweep};
use crate::app::App;
use crate::bench::camera::filling::Filled;
use crate::pictures::Placed;

/// A sweep begins with one crosshair once so many frames in a row showed no other.
const ALONE: u32 = 4;

impl App {
    /// Begins a sweep of the row's ring, or ends it.
    pub(crate) fn turn_sweep(&mut self) {
        if self.camera.sweep.is_some() {
            return self.end_sweep("");
        }
        if let Some(why) = self.no_sweep_now() {
            return self.say(why);
        }
        self.empty_followed_row();
        self.camera.live.frozen = false;
        let sweep = Sweep { channel: self.entry.channel, logged: Vec::new(), last: None };
        self.say(sweep.told());
        self.camera.sweep = Some(sweep);
    }

    /// Why no sweep can begin, or go on.
    fn no_sweep_now(&self) -> Option<String> {
        if self.practice_unit().is_some() {
            let why =
                "An invented unit’s ring is turned in steps: log each place by itself (Enter).";
            return Some(why.to_owned());
        }
        if let Some(why) = self.no_picture_now() {
            return Some(why);
        }
        if self.entry.purpose != Purpose::Log {
            return Some("A sweep turns a ring: it belongs to logging (Ctrl+3).".to_owned());
        }
        if !self.camera.live.is_running() {
            return Some("No camera runs: Alt+F starts it.".to_owned());
        }
        None
    }

    /// Ends a sweep that goes on; `why`: a sentence before what came of it.
    pub(crate) fn end_sweep(&mut self, why: &str) {
        let Some(sweep) = self.camera.sweep.take() else { return };
        let places = counted_s(sweep.logged.len(), "place");
        let back = if sweep.logged.is_empty() { "" } else { " Ctrl+Z takes them back together." };
        let space = if why.is_empty() { "" } else { " " };
        self.say(format!(
            "{why}{space}The sweep of the {} ring ended: {places} logged.{back}",
            sweep.channel
        ));
        // It is taken back by this, in whatever run of the program.
        if let (Some(&first), true) = (sweep.logged.first(), sweep.logged.len() > 1) {
            let note = DayNote::swept(sweep.channel, first, sweep.logged.len()).note();
            if let Err(why) = self.append(Body::Note(note)) {
                self.shell.warn(format!("The sweep is taken back place by place: {why}"));
            }
        }
    }

    /// Looks at a new frame: ends the sweep where it cannot go on, logs a place where the crosshair has moved.
    pub(crate) fn sweep_on(&mut self) {
        let Some(sweep) = &self.camera.sweep else { return };
        if let Some(why) = self.no_sweep_now() {
            return self.end_sweep(&why);
        }
        if sweep.channel != self.entry.channel {
            let other = self.entry.channel;
            return self.end_sweep(&format!("The row was turned to the {other} channel."));
        }
        let Some(current) = self.camera.live.current().cloned() else { return };
        let Says::Reads(filled) = self.frame_says(&current) else { return };
        // Of two the other may have been hidden in the first frame.
        let first = sweep.last.is_none() && self.camera.live.tracks.alone() > 0;
        if first && self.camera.live.tracks.alone() < ALONE {
            return;
        }
        let found = current.found.as_ref().ok().and_then(|found| found.get(filled.place));
        let Some((now, sigma_arcmin)) = found.and_then(|placed| self.place_of(placed)) else {
            return;
        };
        let shorter = current.frame.size[0].min(current.frame.size[1]) as f64;
        let moved = |last: &LoggedPlace| last.is_left_by(&now, sigma_arcmin, shorter);
        if !sweep.last.as_ref().is_none_or(moved) {
            return;
        }
        self.camera.seen = Some(seen_of(&current));
        match self.log_place(filled) {
            Ok(Some(seq)) => {
                if let Some(sweep) = &mut self.camera.sweep {
                    sweep.last = Some(now);
                    sweep.logged.push(seq);
                    let told = sweep.told();
                    if sweep.logged.len() >= MOST {
                        self.end_sweep("That is as many as one sweep may have.");
                    } else {
                        self.say(told);
                    }
                }
            }
            // The same picture again is not another reading.
            Ok(None) => {}
            Err(NotLogged(why)) => self.end_sweep(&format!("A place could not be logged: {why}")),
        }
        self.let_go_of_picture();
    }

    /// A crosshair's direction, and what the station says a reading scatters by, arcminutes.
    fn place_of(&self, placed: &Placed) -> Option<(LoggedPlace, f64)> {
        let station = self.session.as_ref()?.state().station()?;
        let ([x, y], covariance_arcmin2) = placed.arcmin(&station.map[self.entry.channel]);
        let place =
            LoggedPlace { at: Direction::new(x, y), covariance_arcmin2, px: placed.crosshair.px };
        Some((place, station.spread.sigma_arcmin.unwrap_or(0.0)))
    }

    /// Logs a place without ring angle, with its frame; `None` where the frame is one that a reading has.
    fn log_place(&mut self, filled: Filled) -> Result<Option<Seq>, NotLogged> {
        let round = self.session.as_ref().and_then(|session| session.state().round());
        let round = round.ok_or_else(|| NotLogged("no round is open".to_owned()))?.id;
        let [x, y] = filled.text.each_ref().map(|text| Typed::by_hand(text));
        let not = |why: record::Error| NotLogged(why.to_string());
        let read = DirectionReading {
            channel: filled.channel,
            ring_deg: None,
            x: x.map_err(not)?,
            y: y.map_err(not)?,
            unit: filled.unit,
            approach: self.entry.approach,
        };
        let reading = Reading::seen(round, Purpose::Log, Seen::Direction(read));
        self.camera.filled = Some(filled);
        match self.log_with_picture(&reading) {
            Ok(seq) => Ok(Some(seq)),
            Err(why) if why.is_used() => Ok(None),
            Err(why) => Err(NotLogged(why.to_string())),
        }
    }

    /// The sweep that a fact is of, where it can be taken back or brought back as one.
    pub(crate) fn swept_with(&self, seq: Seq) -> Option<Swept> {
        self.is_of_sweep(seq)?;
        let facts = self.session.as_ref()?.file().facts();
        facts.iter().rev().filter(|fact| fact.seq >= seq).find_map(|fact| {
            let Body::Note(note) = &fact.body else { return None };
            let ended = DayNote::of(note).filter(|day| day.kind == DayKind::Swept)?;
            let swept = Swept { first: ended.about?, ended: fact.seq };
            (swept.first..=swept.ended).contains(&seq).then_some(swept)
        })
    }

    /// Takes a whole sweep back.
    pub(crate) fn undo_sweep(&mut self, swept: Swept) {
        let undone = self.go_through(swept, Body::Undo, record::Session::undo);
        let readings = counted_s(undone, "reading");
        self.say(format!(
            "Undone: the sweep, {readings}. It stays in the file; redo brings it back."
        ));
    }

    /// Brings a whole sweep back.
    pub(crate) fn redo_sweep(&mut self, swept: Swept) {
        let redone = self.go_through(swept, Body::Redo, record::Session::redo);
        self.say(format!("Brought back: the sweep, {}.", counted_s(redone, "reading")));
    }

    /// As long as what is next is of the sweep; how many readings were gone through.
    fn go_through(
        &mut self,
        swept: Swept,
        body: fn(Seq) -> Body,
        next: fn(&record::Session) -> Option<Seq>,
    ) -> usize {
        let mut readings = 0;
        while let Some(seq) = self.session.as_ref().and_then(|session| next(session.state())) {
            let within = (swept.first..=swept.ended).contains(&seq);
            // What a hand noted meanwhile is taken back by itself.
            let Some(is_reading) = self.is_of_sweep(seq).filter(|_| within) else { break };
            if self.append(body(seq)).is_err() {
                break;
            }
            readings += usize::from(is_reading);
        }
        readings
    }

    /// Whether a fact is a reading, and not what a sweep logs beside; `None` for what none logs.
    fn is_of_sweep(&self, seq: Seq) -> Option<bool> {
        let facts = self.session.as_ref()?.file().facts();
        match &facts.iter().rev().find(|fact| fact.seq == seq)?.body {
            // One that a hand logged meanwhile has its ring angle.
            Body::Reading(reading) => {
                let is_angled = reading.channel().is_some_and(|of| reading.ring_deg(of).is_some());
                (!is_angled).then_some(true)
            }
            Body::Frame(_) => Some(false),
            Body::Note(note) => (DayKind::of(note) == Some(DayKind::Swept)).then_some(false),
            _ => None,
        }
    }
}

/// The facts of a sweep: its first reading, and the note that it ended.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Swept {
    first: Seq,
    ended: Seq,
}

/// Why a place was not logged, as the file or the row says it.
#[derive(Debug, thiserror::Error)]
#[error("{0}")]
struct NotLogged(String);
