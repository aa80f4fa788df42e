//! What stands in the entry row of the frame that is seen now.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::Instant;

use egui::{Context, Event};
use solver::PerChannel;

use super::eyes::{LiveFrame, STALE};
use super::tracks::TrackTold;
use crate::app::App;
use crate::bench::camera::choosing::whose;
use crate::bench::camera::filling::Filled;
use crate::bench::camera::looking::{KeptPixels, PictureRead};
use crate::bench::entry::EntryField;
use crate::widgets::select_all;

/// What a frame says of the channel that the row is set to.
pub(crate) enum Says {
    /// This.
    Reads(Filled),
    /// Two crosshairs, and which is the channel's cannot be told: where they are.
    Either(Vec<Filled>),
    /// One of the two that were seen before, and which cannot be told.
    Doubted,
    /// Nothing.
    Nothing,
}

impl App {
    /// What a frame says.
    pub(crate) fn frame_says(&self, live: &LiveFrame) -> Says {
        let (Ok(found), Some(session)) = (&live.found, &self.session) else { return Says::Nothing };
        let Some(station) = session.state().station() else { return Says::Nothing };
        let channel = self.entry.channel;
        let of = |place: usize| {
            let map = &station.map[channel];
            let placed = found.get(place)?;
            Some(Filled::of(place, placed, channel, self.entry.unit, map))
        };
        let mine = match (self.camera.live.tracks.told(), found.len()) {
            (TrackTold::Doubted, _) => return Says::Doubted,
            (_, 0 | 1) => Some(0),
            (TrackTold::This(place), _) => Some(place),
            (TrackTold::Nothing, _) => {
                let seen: Vec<_> = found
                    .iter()
                    .map(|placed| {
                        let at = placed.there.divisions;
                        PerChannel::from_fn(|of| station.map[of].direction_from_divisions(at))
                    })
                    .collect();
                let place = session.picture().place.as_ref();
                let last = place.map(|read| read.as_ref().map(|reading| reading.direction));
                whose(channel, &seen, last)
            }
        };
        match mine {
            Some(place) => of(place).map_or(Says::Nothing, Says::Reads),
            None => Says::Either((0..found.len()).filter_map(of).collect()),
        }
    }

    /// Puts the newest reading in the row, where nothing else was typed there; takes one out that grew old, or that was
    /// read for another channel.
    pub(crate) fn follow_in_row(&mut self, ctx: &Context) {
        let live = &self.camera.live;
        let filled = self.camera.filled.as_ref();
        let followed = live.is_followed(&self.entry, filled);
        if followed && !filled.is_some_and(|filled| filled.is_for(&self.entry)) {
            self.empty_followed_row();
        }
        let live = &self.camera.live;
        let rests = live.rests_until.is_some_and(|until| Instant::now() < until);
        // What the hand does in this frame of the window it does to the row as it was drawn.
        let touched = ctx.input(|input| input.events.iter().any(is_hands));
        let sweeps = self.camera.sweep.is_some();
        if !live.is_running() || live.frozen || rests || touched || sweeps {
            return;
        }
        let current = live.current().filter(|_| self.row_is_free()).cloned();
        match current.as_ref().map(|current| (current, self.frame_says(current))) {
            Some((current, Says::Reads(filled))) => {
                self.camera.seen = Some(seen_of(current));
                self.told_by_camera(filled.channel);
                self.put_in_row(ctx, filled);
            }
            Some((current, Says::Either(_))) => {
                self.camera.seen = Some(seen_of(current));
                self.empty_old_row();
            }
            _ => self.empty_old_row(),
        }
    }

    /// Whether nothing stands in the row but what a frame put there.
    pub(crate) fn row_is_free(&self) -> bool {
        let untyped = self.entry.x.is_empty() && self.entry.y.is_empty();
        untyped || self.camera.live.is_followed(&self.entry, self.camera.filled.as_ref())
    }

    /// The frame that was frozen stands in the row, where nothing else was typed there.
    pub(crate) fn put_frozen_in_row(&mut self) {
        let current = self.camera.live.current().filter(|_| self.row_is_free()).cloned();
        let Some(current) = current else { return };
        if let Says::Reads(filled) = self.frame_says(&current) {
            self.camera.seen = Some(seen_of(&current));
            self.entry.focus = Some(EntryField::Y);
            self.fill_row(filled);
        }
    }

    fn put_in_row(&mut self, ctx: &Context, filled: Filled) {
        self.fill_row(filled);
        // What is typed next replaces it, as anywhere in the row.
        let focused = ctx.memory(egui::Memory::focused);
        for field in [EntryField::X, EntryField::Y] {
            if focused == Some(field.id()) {
                select_all(ctx, field.id());
            }
        }
    }

    fn fill_row(&mut self, filled: Filled) {
        let entry = &mut self.entry;
        [entry.x, entry.y] = filled.text.clone();
        if entry.refused.as_ref().is_some_and(|(field, _)| *field != EntryField::Step) {
            entry.refused = None;
        }
        self.camera.filled = Some(filled);
        self.camera.live.follows = Some(Instant::now());
    }

    /// Takes out what no frame confirms any more.
    fn empty_old_row(&mut self) {
        if self.camera.live.follows.is_some_and(|since| since.elapsed() > STALE) {
            self.empty_followed_row();
        }
    }

    /// Takes out what a frame put in the row; what the hand typed stays.
    pub(crate) fn empty_followed_row(&mut self) {
        let filled = self.camera.filled.as_ref();
        if self.camera.live.is_followed(&self.entry, filled) {
            self.entry.x.clear();
            self.entry.y.clear();
            self.let_go_of_picture();
        }
        self.camera.live.follows = None;
    }

    /// The frame that is seen now stays, and is what the hand takes another crosshair of.
    pub(crate) fn hold_frame(&mut self) {
        if let Some(current) = self.camera.live.current().cloned() {
            self.camera.seen = Some(seen_of(&current));
            self.camera.live.frozen = true;
            self.camera.live.follows = Some(Instant::now());
        }
    }

    /// A picture from a file comes into the row: the camera's stands still meanwhile.
    pub(crate) fn hold_camera_back(&mut self) {
        self.empty_followed_row();
        self.camera.live.frozen = self.camera.live.is_running();
    }
}

/// A frame as a picture that was read.
pub(crate) fn seen_of(live: &Arc<LiveFrame>) -> PictureRead {
    PictureRead {
        path: PathBuf::from(format!("frame-{}.png", live.frame.number)),
        pixels: KeptPixels::Frame(live.frame.clone()),
        background: live.background.clone(),
        camera: live.seeing.camera.clone(),
        crosshairs: live.found.as_ref().map_or_else(|_| Vec::new(), Clone::clone),
    }
}

/// Whether an event is a hand's, and not the pointer passing by.
const fn is_hands(event: &Event) -> bool {
    matches!(
        event,
        Event::Key { .. }
            | Event::Text(_)
            | Event::Paste(_)
            | Event::Ime(_)
            | Event::PointerButton { .. }
            | Event::Touch { .. }
            | Event::AccessKitActionRequest(_)
    )
}
