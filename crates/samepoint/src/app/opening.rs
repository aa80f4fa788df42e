//! Shops and sessions: which is opened at the start, and opening another.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use include_dir::{Dir, include_dir};
use jiff::civil::Date;
use record::checks::{CheckFile, CheckHeader, Checks};
use record::shop::KeptChecks;
use record::{
    FileOptions, Meaning as _, Opener, RealDisk, SessionFile, Shop, Stamp, Station, Window,
};

use super::App;
use super::entry::Entry;
use super::front::Front;
use super::offers::Offers;
use super::places::Place;
use super::places::shop::Surveying;
use super::refusals::NO_SHOP;
use super::said::ToSalvage;
use super::session::OpenSession;
use super::signing::why_closed;
use super::waiting::Held;

/// The demo shop, inside the program.
static DEMO: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/../../demo-data");

/// The shop that is open, with what its sheets offer.
pub struct OpenShop {
    shop: Option<Shop>,
    offers: Offers,
    /// The day its check files were looked at for.
    looked_on: Option<Date>,
}

impl OpenShop {
    /// None yet.
    #[must_use]
    pub fn none() -> Self {
        Self { shop: None, offers: Offers::default(), looked_on: None }
    }

    /// The shop itself, once one is open.
    #[must_use]
    pub const fn shop(&self) -> Option<&Shop> {
        self.shop.as_ref()
    }

    /// What sheets offer.
    #[must_use]
    pub const fn offers(&self) -> &Offers {
        &self.offers
    }

    /// A file for a new session of a unit; it is not there yet.
    pub(super) fn new_session_path(&self, now: Stamp, unit: &str) -> Result<PathBuf, String> {
        let Some(shop) = &self.shop else {
            return Err(NO_SHOP.to_owned());
        };
        shop.new_session_path(now.date(), unit).map_err(|error| error.to_string())
    }

    /// Keeps a window in the shop and says which of its windows that is.
    pub(super) fn keep_window(&mut self, window: Window) -> Result<usize, String> {
        let Some(shop) = &mut self.shop else {
            return Err(NO_SHOP.to_owned());
        };
        shop.keep_window(window.clone()).map_err(|error| error.to_string())?;
        self.offers.windows.push(window);
        Ok(self.offers.windows.len() - 1)
    }

    /// A station as the shop keeps it.
    pub(super) fn station(&self, name: &str) -> Option<&Station> {
        let stations = &self.shop.as_ref()?.stations;
        stations.iter().map(|kept| &kept.value).find(|station| station.name == name)
    }

    /// The check file of a station, if it has one: of several, the one written to last.
    pub(super) fn check_path(&self, station: &str) -> Result<Option<PathBuf>, String> {
        let Some(shop) = &self.shop else { return Ok(None) };
        let (kept, _) = shop.checks(&RealDisk).map_err(|error| error.to_string())?;
        let of_station =
            |one: &KeptChecks| one.checks.about().is_some_and(|about| about.station == station);
        Ok(kept.into_iter().find(of_station).map(|one| one.path))
    }

    /// A file for a station's checks; it is not there yet.
    pub(super) fn new_check_path(&self, station: &str) -> Result<PathBuf, String> {
        let Some(shop) = &self.shop else {
            return Err(NO_SHOP.to_owned());
        };
        shop.new_check_path(station).map_err(|error| error.to_string())
    }

    /// Begins the check file of a station; and what it notes of files beside it that cannot be read.
    pub(super) fn begin_checks(
        &self,
        header: CheckHeader,
        hand: &str,
        options: FileOptions,
    ) -> Result<(CheckFile, Vec<String>), String> {
        let Some(shop) = &self.shop else {
            return Err(NO_SHOP.to_owned());
        };
        let path = self.new_check_path(&header.about.station)?;
        shop.begin_checks(&path, header, hand, options).map_err(|error| error.to_string())
    }

    /// The studies of the shop, the newest first: file and words.
    pub(super) fn studies(&self) -> Vec<(PathBuf, String)> {
        let Some(shop) = &self.shop else { return Vec::new() };
        let paths = shop.studies().unwrap_or_else(|why| {
            log::warn!("{why}");
            Vec::new()
        });
        paths.into_iter().rev().map(|path| (path.clone(), words_of(&path))).collect()
    }

    /// A file for a study of a station begun on a day; it is not there yet.
    pub(super) fn new_study_path(&self, day: Date, station: &str) -> Result<PathBuf, String> {
        let Some(shop) = &self.shop else {
            return Err(NO_SHOP.to_owned());
        };
        shop.new_study_path(day, station).map_err(|error| error.to_string())
    }

    /// Whether its check files were looked at on an earlier day.
    pub(super) fn is_of_another_day(&self, today: Date) -> bool {
        self.looked_on.is_some_and(|day| day != today)
    }

    /// Reads all check files anew.
    pub(super) fn refresh_checks(&mut self, today: Date) {
        let Some(shop) = &self.shop else { return };
        let mut told = Vec::new();
        let (kept, unread) = shop.checks(&RealDisk).unwrap_or_else(|why| {
            told.push(why.to_string());
            Default::default()
        });
        told.extend(unread.iter().map(ToString::to_string));
        self.offers.unread_checks = told;
        self.offers.unread_checks.extend(KeptChecks::beside(&kept));
        self.offers.checks.clear();
        for one in kept {
            let Some(about) = one.checks.about() else { continue };
            // Of two files of one station the first was written to last.
            if self.offers.checks_of(&about.station).is_none() {
                self.offers.checks.push((about.station.clone(), one.checks));
            }
        }
        self.offer_stations(today);
    }

    /// Takes what a station's checks come to now.
    pub(super) fn know_checks(&mut self, station: &str, checks: &Checks, today: Date) {
        if checks.about().is_none() {
            return;
        }
        self.offers.checks.retain(|(name, _)| name != station);
        self.offers.checks.push((station.to_owned(), checks.clone()));
        self.offer_stations(today);
    }

    /// Stations as a session of today copies them in.
    fn offer_stations(&mut self, today: Date) {
        let on = |(name, checks): &(String, Checks)| (name.clone(), checks.on(today));
        self.offers.checked = self.offers.checks.iter().map(on).collect();
        self.looked_on = Some(today);
        let Some(shop) = &self.shop else { return };
        let stations = shop.stations.iter().map(|kept| {
            let station = kept.value.clone();
            match self.offers.checked_on(&station.name, today) {
                Some(on) => on.as_checked(station),
                None => station,
            }
        });
        self.offers.stations = stations.collect();
    }

    /// Reads the list of units that wait anew: another bench may have added to it.
    pub(super) fn refresh_waiting(&mut self) {
        let Some(shop) = &self.shop else { return };
        (self.offers.waiting, self.offers.waiting_unread) = shop.units_waiting(&RealDisk);
    }

    pub(super) fn refresh_sessions(&mut self) {
        let Some(shop) = &self.shop else { return };
        match shop.sessions() {
            Ok(sessions) => {
                self.offers.sessions = sessions
                    .into_iter()
                    .map(|listed| (listed.path.clone(), words_of(&listed.path)))
                    .collect();
            }
            Err(error) => log::warn!("{error}"),
        }
    }
}

/// A session's file name as words.
#[must_use]
pub fn words_of(path: &Path) -> String {
    record::shown::path(path.file_stem().map_or(path, Path::new))
}

/// A name for a program version in headers.
#[must_use]
pub fn program() -> String {
    format!("samepoint {}", env!("CARGO_PKG_VERSION"))
}

impl App {
    /// The path asked for, else the last session, else the newest of the last shop, else the demo.
    pub(super) fn open_at_start(&mut self, path: Option<PathBuf>) {
        if let Some(path) = path {
            if let Err(why) = self.open_path(&path) {
                self.warnings.push(why);
                self.open_demo_shop();
            }
            return;
        }
        let last = self.preferences.recent.first().cloned().filter(|path| path.is_file());
        let shop = self.preferences.shop.clone().filter(|folder| folder.is_dir());
        match shop {
            Some(folder) if self.open_shop(&folder).is_ok() => {}
            _ => self.open_demo_shop(),
        }
        if let Some(last) = last
            && let Err(why) = self.open_session(&last)
        {
            self.warnings.push(why);
        }
        if self.session.is_none() {
            self.open_newest();
        }
    }

    fn open_demo_shop(&mut self) {
        let folder = self.services.folders.data.join("demo-shop");
        let mut files = Vec::new();
        collect(&DEMO, &mut files);
        // Written in order of their dates, so that the newest session is the newest file.
        files.sort_unstable();
        if let Err(why) = Shop::unpack(&folder, files) {
            self.warnings.push(format!("The demo shop could not be unpacked: {why}"));
        }
        if let Err(why) = self.open_shop(&folder) {
            self.warnings.push(why);
        }
    }

    fn open_newest(&mut self) {
        let newest = self.shop.offers.sessions.first().map(|(path, _)| path.clone());
        match newest.map(|path| self.open_session(&path)) {
            Some(Err(why)) => self.warnings.push(why),
            Some(Ok(())) => {}
            None => self.show_new_sheet(),
        }
    }

    /// Opens a session file or a shop folder.
    pub(super) fn open_path(&mut self, path: &Path) -> Result<(), String> {
        if path.is_dir() {
            self.open_shop(path)?;
            self.close_session();
            self.open_newest();
            return Ok(());
        }
        if let Some(folder) = shop_of(path)
            && folder != self.shop.offers.folder
            && let Err(why) = self.open_shop(&folder)
        {
            log::warn!("{why}");
        }
        if self.shop.shop.is_none() {
            self.open_demo_shop();
        }
        self.open_session(path)
    }

    fn open_shop(&mut self, folder: &Path) -> Result<(), String> {
        let shop = Shop::load(folder).map_err(|error| error.to_string())?;
        self.close_checks();
        self.close_study();
        for skipped in &shop.skipped {
            self.warnings.push(format!("Skipped in this shop: {skipped}"));
        }
        self.shop.offers = Offers::of(&shop);
        self.shop.shop = Some(shop);
        self.shop.refresh_sessions();
        self.shop.refresh_checks(self.services.clock.now().date());
        self.preferences.shop = Some(folder.to_owned());
        self.places.shop = Surveying::default();
        self.look_for_returns();
        self.note_missed(folder);
        Ok(())
    }

    pub(super) fn file_options(&self) -> FileOptions {
        let hand = &self.preferences.hand;
        FileOptions {
            disk: Arc::clone(&self.services.disk),
            opener: Opener {
                now: self.services.clock.now(),
                ..Opener::here(if hand.is_empty() { "somebody" } else { hand })
            },
            wake: self.wake.clone(),
        }
    }

    /// Opens a session, for writing where that is possible.
    pub(super) fn open_session(&mut self, path: &Path) -> Result<(), String> {
        let here = self.session.as_ref().is_some_and(|session| session.file().path() == path);
        if here {
            self.go(Place::Bench);
            self.clear_front();
            return Ok(());
        }
        let file = match SessionFile::open(path, self.file_options()) {
            Ok(file) => file,
            Err(why) => {
                let offer = ToSalvage::of(path, &why, &*self.services.disk);
                let words = offer.as_ref().map(|(_, words)| format!(". {words}"));
                self.to_salvage = offer.map(|(offer, _)| offer);
                return Err(format!("{why}{}", words.unwrap_or_default()));
            }
        };
        self.take_up(file);
        Ok(())
    }

    /// Makes a file the open session.
    pub(super) fn take_up(&mut self, file: SessionFile) {
        self.close_session();
        let notices: Vec<String> = file.notices().iter().map(ToString::to_string).collect();
        let path = file.path().to_owned();
        self.entry = Entry::new(self.preferences.step_deg);
        self.confirming = super::confirming::Confirming::default();
        self.remedying = super::remedying::Remedying::default();
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
        self.places.practice.on_bench =
            super::places::practice::on_bench::OnBench::of(session.state(), facts);
        if let Some(Err(why)) = &self.places.practice.on_bench {
            self.warnings.push(why.clone());
        }
        let practises = self.places.practice.unit().is_some() && session.is_writable();
        if practises && why_closed(session.state()).is_none() {
            // The unit is in the glass: without it there is nothing to read.
            self.middle = super::views::View::Glass;
        }
        self.session = Some(session);
        self.place = Place::Bench;
        self.redraw();
        self.view = crate::plot::FieldView::default();
        self.clear_front();
        self.follow_unit();
        self.laid_by.retain(Front::outlives_session);
        self.notice = None;
        self.say_when_read_last();
        self.tell_session();
        for notice in notices {
            self.warnings.push(notice);
        }
        self.preferences.remember(&path);
        self.save_preferences();
        crate::crash::remember_session(Some(&path));
        log::info!("opened {}", record::shown::path(&path));
    }

    /// Lets go of the open session; everything acknowledged is on disk already.
    pub(super) fn close_session(&mut self) {
        if let Some(mut session) = self.session.take() {
            if let Err(error) = session.finish() {
                self.warnings.push(error.to_string());
            }
            let (path, signed) = (session.file().path().to_owned(), session.take_signed());
            self.note_signed(&path, signed);
        }
        // Facts that could not be written after all stay in the rescue file.
        self.keepers.forget(Held::Session);
        self.places.practice.on_bench = None;
        self.selected = None;
        crate::crash::remember_session(None);
    }

    pub(super) fn save_preferences(&mut self) {
        self.preferences.step_deg = self.entry.step_deg;
        if self.preferences == self.written_preferences {
            return;
        }
        match self.preferences.save(&self.services.folders.config) {
            Ok(()) => self.written_preferences = self.preferences.clone(),
            Err(error) => {
                self.say(format!(
                    "Preferences not saved: {error}. Folder: {}",
                    record::shown::path(&self.services.folders.config)
                ));
                // Said once, not once a frame.
                self.written_preferences = self.preferences.clone();
            }
        }
    }
}

/// The shop a session lies in, if it lies in one.
pub(super) fn shop_of(session: &Path) -> Option<PathBuf> {
    let sessions = session.parent()?;
    let name = sessions.file_name()?;
    (name == "sessions" || name == "practice").then(|| sessions.parent().map(Path::to_owned))?
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
