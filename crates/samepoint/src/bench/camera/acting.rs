//! What a hand asks about pictures: read this one, take its other crosshair.

use std::path::{Path, PathBuf};

use paper::words::capital;
use record::station::Shows;
use solver::PerChannel;

use super::RowAsked;
use super::choosing::whose;
use super::filling::Filled;
use super::looking::{Background, PictureRead, PictureToRead};
use crate::app::App;
use crate::bench::entry::EntryField;
use crate::bench::session::OpenSession;
use crate::frames::frame::VideoFrame;
use crate::pictures::file;
use crate::sheets::Sheet;
use crate::shell::path_sheet::PathSheet;
use crate::shell::refusals::NO_SESSION;

impl App {
    /// Asks which picture is to be read.
    pub(crate) fn show_read_picture_sheet(&mut self) {
        if let Some(why) = self.no_picture_now() {
            return self.say(why);
        }
        self.bring(Sheet::ReadPicture(PathSheet::default()));
    }

    /// Pictures that were dropped on the bench.
    pub(crate) fn take_dropped(&mut self, ctx: &egui::Context) {
        let dropped: Vec<PathBuf> = ctx.input(|input| {
            let files = input.raw.dropped_files.iter();
            files.map(|file| file.path().to_owned()).collect()
        });
        match &dropped[..] {
            [] => {}
            [one] => self.read_picture(one),
            more => self.refuse_picture(&format!(
                "{} files were dropped: one picture is one reading, drop them one by one.",
                more.len()
            )),
        }
    }

    /// Has a picture read; what comes of it is heard later.
    pub(crate) fn read_picture(&mut self, path: &Path) {
        if let Some(why) = self.no_picture_now() {
            return self.refuse_picture(&why);
        }
        let Some(session) = &self.session else { return };
        let Some(station) = session.state().station() else { return };
        let name = record::shown::path(Path::new(path.file_name().unwrap_or_default()));
        let lies_in = record::Beside::folder_of(session.file().path());
        let look = PictureToRead {
            path: path.to_owned(),
            shop: lies_in.unwrap_or_else(|| self.shell.shop.offers().folder.clone()),
            station: station.name.clone(),
            in_force: session.state().camera().cloned(),
            background: self.camera.background.clone(),
        };
        self.hold_camera_back();
        let Some(session) = &self.session else { return };
        self.camera.asked = Some(RowAsked {
            name,
            session: session.file().path().to_owned(),
            typed: [self.entry.x.clone(), self.entry.y.clone()],
        });
        self.let_go_of_picture();
        self.camera.named = Some(path.to_owned());
        self.camera.told = vec!["The picture is being read.".to_owned()];
        let workers = self.shell.workers();
        self.camera.reading.start(&workers, move || look.seen());
    }

    /// The picture named last is what is seen with the lamp off: it is subtracted from those that follow.
    /// Once more: nothing is.
    pub(crate) fn take_background(&mut self) {
        let name_of =
            |path: &Path| record::shown::path(Path::new(path.file_name().unwrap_or_default()));
        if let Some(background) = self.camera.background.take() {
            self.camera.live.subtract(None);
            self.say(format!("{} is not subtracted any more.", name_of(&background.path)));
            return;
        }
        if let Some(frame) = self.camera.live.frame_to_subtract() {
            return self.subtract_frame(&frame);
        }
        let Some(path) = self.camera.named.clone() else {
            return self.say(
                "First read the picture with the lamp off, then make it the background of those that \
                 follow.",
            );
        };
        let name = name_of(&path);
        let bytes = match file::bytes_of(&path) {
            Ok(bytes) => bytes.into(),
            Err(why) => {
                return self.refuse_picture(&not_read(&name, &why));
            }
        };
        // It was no reading: what stood in the row of it goes.
        if let Some(filled) = &self.camera.filled
            && filled.text == [self.entry.x.clone(), self.entry.y.clone()]
        {
            self.entry.clear();
        }
        self.let_go_of_picture();
        self.entry.refused = None;
        let said = format!("{name} is subtracted from the pictures that follow; Alt+Z ends it.");
        self.camera.told = vec![said.clone()];
        let background = Background { path, bytes };
        self.camera.live.subtract(Some(background.clone()));
        self.camera.background = Some(background);
        self.say(said);
    }

    /// A frame of the camera that runs is what is seen with the lamp off.
    fn subtract_frame(&mut self, frame: &VideoFrame) {
        match frame.png() {
            Ok(bytes) => {
                let path = PathBuf::from(format!("frame-{}.png", frame.number));
                let background = Background { path, bytes: bytes.into() };
                self.camera.live.subtract(Some(background.clone()));
                self.camera.background = Some(background);
                self.say(format!(
                    "Frame {} is subtracted from those that follow; Alt+Z ends it.",
                    frame.number
                ));
            }
            Err(why) => self.say(format!("The frame cannot be subtracted: {why}.")),
        }
    }

    /// Hears what came of it.
    pub(crate) fn hear_camera(&mut self) {
        let Some(heard) = self.camera.reading.hear() else { return };
        let Some(asked) = self.camera.asked.take() else { return };
        let here = self.session.as_ref().is_some_and(|open| open.file().path() == asked.session);
        if !here {
            self.camera.told.clear();
            return;
        }
        let seen = match heard {
            Ok(Ok(seen)) => seen,
            Ok(Err(why)) => {
                return self.refuse_picture(&not_read(&asked.name, &why));
            }
            Err(broken) => return self.refuse_picture(&broken.to_string()),
        };
        if asked.typed != [self.entry.x.clone(), self.entry.y.clone()] {
            return self.refuse_picture(&format!(
                "{} was read, but you typed a number meanwhile, and that stays: read the picture again to \
                 take its number.",
                asked.name
            ));
        }
        if matches!(self.front, Sheet::ReadPicture(_)) {
            self.put_away();
        }
        self.fill_from(seen, &asked.name);
    }

    /// Fills the row with the crosshair that is the channel's, where that can be told.
    fn fill_from(&mut self, seen: PictureRead, name: &str) {
        let channel = self.entry.channel;
        let Some(session) = &self.session else { return };
        let Some(station) = session.state().station() else { return };
        let directions: Vec<_> = seen
            .crosshairs
            .iter()
            .map(|placed| {
                PerChannel::from_fn(|of| {
                    station.map[of].direction_from_divisions(placed.there.divisions)
                })
            })
            .collect();
        let place = session.picture().place.as_ref();
        let last = place.map(|read| read.as_ref().map(|reading| reading.direction));
        let whose = whose(channel, &directions, last);
        let unit = self.entry.unit;
        let of = |place: usize| {
            let placed = seen.crosshairs.get(place)?;
            Some(Filled::of(place, placed, channel, unit, &station.map[channel]))
        };
        if let Some(filled) = whose.and_then(of) {
            self.camera.seen = Some(seen);
            return self.fill(filled, name);
        }
        let places: Vec<String> = (0..seen.crosshairs.len())
            .filter_map(of)
            .map(|filled| filled.text.join(", "))
            .collect();
        self.camera.seen = Some(seen);
        self.refuse_picture(&format!(
            "{name} shows two crosshairs, at {}, and which is the {channel} channel’s cannot be told. Alt+X takes \
             one, then the other; or cap the other channel and take the picture again.",
            places.join(" and at ")
        ));
    }

    /// Fills the row with the other crosshair of the picture read last.
    pub(crate) fn take_other_crosshair(&mut self) {
        self.hold_frame();
        let (channel, unit) = (self.entry.channel, self.entry.unit);
        let (Some(seen), Some(session)) = (&self.camera.seen, &self.session) else {
            return self.say("No picture is waiting to be logged: read one first.");
        };
        let Some(station) = session.state().station() else { return };
        let next = match (&self.camera.filled, seen.crosshairs.len()) {
            (Some(_), 0 | 1) => return self.say("The picture shows one crosshair."),
            (Some(filled), all) => (filled.place + 1) % all,
            (None, _) => 0,
        };
        let Some(placed) = seen.crosshairs.get(next) else { return };
        let filled = Filled::of(next, placed, channel, unit, &station.map[channel]);
        let name = record::shown::path(Path::new(seen.path.file_name().unwrap_or_default()));
        self.fill(filled, &name);
    }

    fn fill(&mut self, filled: Filled, name: &str) {
        let under = self.camera.background.as_ref().map_or_else(String::new, |under| {
            let under = Path::new(under.path.file_name().unwrap_or_default());
            format!(" less {}", record::shown::path(under))
        });
        let logs = self.never_kept().unwrap_or("Enter logs it with its picture.");
        let words = format!("{} (95 %), read in {name}{under}. {logs}", filled.words);
        [self.entry.x, self.entry.y] = filled.text.clone();
        self.entry.refused = None;
        // It is whole and waits for the hand's Enter.
        self.entry.focus = Some(EntryField::Y);
        self.camera.filled = Some(filled);
        self.camera.told = vec![words.clone()];
        self.say(words);
    }

    /// Says why a picture gives no number, in the row, at the glass, and on the sheet that named it.
    fn refuse_picture(&mut self, why: &str) {
        let why = capital(why);
        self.camera.told = vec![why.clone()];
        if let Sheet::ReadPicture(sheet) = &mut self.front {
            sheet.refused = Some(why);
        } else {
            self.entry.refused = Some((EntryField::X, why));
        }
    }

    /// Why no picture can be read into the row now.
    pub(crate) fn no_picture_now(&self) -> Option<String> {
        self.nothing_read_now().or_else(|| {
            let practises = self.session.as_ref().is_some_and(OpenSession::is_practice);
            practises.then(|| {
                "This is an invented unit: a picture of a real station says nothing of it. Alt+F shows it through a \
                 camera."
                    .to_owned()
            })
        })
    }

    /// Why nothing a camera sees can be read into the row now.
    pub(crate) fn nothing_read_now(&self) -> Option<String> {
        let Some(session) = &self.session else { return Some(NO_SESSION.to_owned()) };
        if let Some(why) = self.closed() {
            return Some(why);
        }
        let why = match session.shows() {
            _ if !session.is_writable() => {
                "This session is read only: no picture can be logged in it."
            }
            _ if session.state().station().is_none() => {
                "No station is set up: which graticule the picture shows cannot be told."
            }
            Shows::Direction => return None,
            Shows::Relative | Shows::Box => {
                "This station does not show each channel by itself, and a picture does not say which \
                 crosshair is the left one’s."
            }
        };
        Some(why.to_owned())
    }

    /// What is said of pictures at the glass.
    #[must_use]
    pub fn told_of_picture(&self) -> &[String] {
        &self.camera.told
    }
}

/// That a picture is not read, and why.
fn not_read(name: &str, why: &dyn core::fmt::Display) -> String {
    format!("The picture {name} is not read: {why}.")
}
