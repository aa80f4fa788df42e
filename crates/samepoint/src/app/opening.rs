//! Shops and sessions: which is opened at the start, and opening another.

use crate::shell::open_shop::shop_of;
use std::path::{Path, PathBuf};

use include_dir::{Dir, include_dir};
use record::{SessionFile, Shop};

use super::App;
use crate::bench::entry::EntryRow;
use crate::bench::session::OpenSession;
use crate::bench::signing::why_closed;
use crate::places::Place;
use crate::places::shelf::Shelving;
use crate::sheets::Sheet;
use crate::shell::held::Held;
use crate::shell::offers::Offers;
use crate::shell::to_salvage::ToSalvage;

/// The demo shop, inside the program.
static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../../demo-data");

/// Why a session or a shop is not opened.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NotOpened {
    /// The record cannot open it.
    #[error(transparent)]
    Record(#[from] record::Error),
    /// It is damaged, and what still verifies can be taken out of it.
    #[error("{why}. {offered}")]
    Damaged {
        /// Why it cannot be opened.
        why: record::Error,
        /// What is offered, in a sentence.
        offered: String,
    },
}

impl App {
    /// The path asked for, else the last session, else the newest of the last shop, else the demo.
    pub(crate) fn open_at_start(&mut self, path: Option<PathBuf>) {
        if let Some(path) = path {
            if let Err(why) = self.open_path(&path) {
                self.shell.warnings.push(why.to_string());
                self.open_demo_shop();
            }
            return;
        }
        let last = self.shell.preferences.recent.first().cloned().filter(|path| path.is_file());
        let shop = self.shell.preferences.shop.clone().filter(|folder| folder.is_dir());
        match shop {
            Some(folder) if self.open_shop(&folder).is_ok() => {}
            _ => self.open_demo_shop(),
        }
        // A session of another shop than the one that was open last is not gone on with unasked.
        let here = |path: &PathBuf| {
            shop_of(path).is_none_or(|folder| folder == self.shell.shop.offers.folder)
        };
        if let Some(last) = last.filter(here)
            && let Err(why) = self.open_session(&last)
        {
            self.shell.warnings.push(why.to_string());
        }
        if self.session.is_none() {
            self.open_newest();
        }
        self.ask_at_first_start();
    }

    fn open_demo_shop(&mut self) {
        let folder = self.shell.services.folders.data.join("demo-shop");
        let mut files = Vec::new();
        collect(&DEMO, &mut files);
        // Written in order of their dates, so that the newest session is the newest file.
        files.sort_unstable();
        if let Err(why) = Shop::unpack(&folder, files) {
            self.shell.warnings.push(format!("The demo shop could not be unpacked: {why}"));
        }
        if let Err(why) = self.open_shop(&folder) {
            self.shell.warnings.push(why.to_string());
        }
    }

    fn open_newest(&mut self) {
        let newest = self.shell.shop.offers.sessions.first().map(|(path, _)| path.clone());
        match newest.map(|path| self.open_session(&path)) {
            Some(Err(why)) => self.shell.warnings.push(why.to_string()),
            Some(Ok(())) => {}
            None => self.show_new_sheet(),
        }
    }

    /// Opens a session file or a shop folder.
    pub(crate) fn open_path(&mut self, path: &Path) -> Result<(), NotOpened> {
        if path.is_dir() {
            self.open_shop(path)?;
            self.close_session();
            self.open_newest();
            return Ok(());
        }
        if let Some(folder) = shop_of(path)
            && folder != self.shell.shop.offers.folder
            && let Err(why) = self.open_shop(&folder)
        {
            log::warn!("{why}");
        }
        if self.shell.shop.shop.is_none() {
            self.open_demo_shop();
        }
        self.open_session(path)
    }

    fn open_shop(&mut self, folder: &Path) -> Result<(), record::Error> {
        let shop = Shop::load(folder)?;
        self.close_checks();
        self.close_study();
        for skipped in &shop.skipped {
            self.shell.warnings.push(format!("Skipped in this shop: {skipped}"));
        }
        self.shell.shop.offers = Offers::of(&shop);
        self.shell.shop.shop = Some(shop);
        self.shell.shop.refresh_sessions();
        let today = self.shell.services.clock.now().date();
        self.shell.shop.refresh_kept(today);
        self.shell.shop.refresh_checks(today);
        self.shell.preferences.shop = Some(folder.to_owned());
        self.places.shop.turn_to_opened();
        self.places.shelf = Shelving::default();
        self.note_missed_of_opened(folder);
        Ok(())
    }

    /// Opens a session, for writing where that is possible.
    pub(crate) fn open_session(&mut self, path: &Path) -> Result<(), NotOpened> {
        let here = self.session.as_ref().is_some_and(|session| session.file().path() == path);
        if here {
            self.go(Place::Bench);
            self.clear_front();
            return Ok(());
        }
        let file = match SessionFile::open(path, self.shell.file_options()) {
            Ok(file) => file,
            Err(why) => {
                let offer = ToSalvage::of(path, &why, &*self.shell.services.disk);
                let Some((offer, offered)) = offer else { return Err(why.into()) };
                self.to_salvage = Some(offer);
                return Err(NotOpened::Damaged { why, offered });
            }
        };
        self.take_up(file);
        Ok(())
    }

    /// Makes a file the open session.
    pub(crate) fn take_up(&mut self, file: SessionFile) {
        self.close_session();
        let notices: Vec<String> = file.notices().iter().map(ToString::to_string).collect();
        let path = file.path().to_owned();
        self.entry = EntryRow::new(self.shell.preferences.step_deg);
        self.confirming = crate::bench::confirm::Confirming::default();
        self.remedying = crate::bench::remedy::Remedying::default();
        let session = OpenSession::new(file, self.entry.unit);
        if let Some(station) = session.state().station() {
            self.entry.unit = station.usual_unit;
        }
        if !session.as_found_possible() || session.as_found_done() {
            self.entry.turn_to_purpose(record::fact::Purpose::Log);
        }
        for channel in solver::Channel::BOTH {
            if let Some(ring_deg) = session.last_logged_ring_deg(channel) {
                self.entry.step_on_from(channel, ring_deg);
            }
        }
        let facts = session.file().facts().len();
        self.practice_unit = crate::bench::practice_unit::OnBench::of(session.state(), facts);
        if let Some(Err(why)) = &self.practice_unit {
            self.shell.warnings.push(why.to_string());
        }
        let practises = self.practice_unit().is_some() && session.is_writable();
        if practises && why_closed(session.state()).is_none() {
            // The unit is in the glass: without it there is nothing to read.
            self.middle = crate::bench::views::View::Glass;
        }
        self.session = Some(session);
        self.place = Place::Bench;
        self.redraw();
        self.view = crate::plot::FieldView::default();
        self.clear_front();
        self.follow_unit();
        self.laid_by.retain(Sheet::outlives_session);
        self.shell.notice = None;
        self.say_when_read_last();
        self.tell_session();
        for notice in notices {
            self.shell.warnings.push(notice);
        }
        self.shell.preferences.remember(&path);
        self.save_preferences();
        crate::crash::remember_session(Some(&path));
        log::info!("opened {}", record::shown::path(&path));
    }

    /// Lets go of the open session; everything acknowledged is on disk already.
    pub(crate) fn close_session(&mut self) {
        // A sweep that goes on ends in the session it is of.
        self.end_camera();
        if let Some(mut session) = self.session.take() {
            if let Err(error) = session.finish() {
                self.shell.warnings.push(error.to_string());
            }
            let (path, signed) = (session.file().path().to_owned(), session.take_signed());
            self.note_signed(&path, signed);
        }
        // Facts that could not be written after all stay in the rescue file.
        self.keepers.forget(Held::Session);
        self.camera = crate::bench::camera::BenchCamera::default();
        self.practice_unit = None;
        self.selected = None;
        crate::crash::remember_session(None);
    }

    pub(crate) fn save_preferences(&mut self) {
        self.shell.preferences.step_deg = self.entry.step_deg;
        self.shell.save_preferences();
    }
}

fn collect<'a>(dir: &'a Dir<'a>, files: &mut Vec<(&'a str, &'a [u8])>) {
    for file in dir.files() {
        if let Some(path) = file.path().to_str() {
            files.push((path, file.contents()));
        }
    }
    for inner in dir.dirs() {
        collect(inner, files);
    }
}
