//! The shop that is open, with what its sheets offer.

use super::offers::Offers;
use super::refusals::Refusal;
use jiff::civil::Date;
use record::checks::{CheckFile, CheckHeader, Checks};
use record::shop::KeptChecks;
use record::{FileOptions, Meaning as _, RealDisk, Shop, Stamp, Station};
use std::path::{Path, PathBuf};

/// The shop that is open, with what its sheets offer.
pub(crate) struct OpenShop {
    pub(crate) shop: Option<Shop>,
    pub(crate) offers: Offers,
    /// The day its check files were looked at for.
    looked_on: Option<Date>,
}

impl OpenShop {
    /// None yet.
    #[must_use]
    pub(crate) fn none() -> Self {
        Self { shop: None, offers: Offers::default(), looked_on: None }
    }

    /// The shop itself, once one is open.
    #[must_use]
    pub(crate) const fn shop(&self) -> Option<&Shop> {
        self.shop.as_ref()
    }

    /// What sheets offer.
    #[must_use]
    pub(crate) const fn offers(&self) -> &Offers {
        &self.offers
    }

    /// A file for a new session of a unit; it is not there yet.
    pub(crate) fn new_session_path(&self, now: Stamp, unit: &str) -> Result<PathBuf, Refusal> {
        let shop = self.shop.as_ref().ok_or(Refusal::NoShop)?;
        Ok(shop.new_session_path(now.date(), unit)?)
    }

    /// A station as the shop keeps it.
    pub(crate) fn station(&self, name: &str) -> Option<&Station> {
        let stations = &self.shop.as_ref()?.stations;
        stations.iter().map(|kept| &kept.value).find(|station| station.name == name)
    }

    /// The check file of a station, if it has one: of several, the one written to last.
    pub(crate) fn check_path(&self, station: &str) -> Result<Option<PathBuf>, Refusal> {
        let Some(shop) = &self.shop else { return Ok(None) };
        let (kept, _) = shop.checks(&RealDisk)?;
        let of_station =
            |one: &KeptChecks| one.checks.about().is_some_and(|about| about.station == station);
        Ok(kept.into_iter().find(of_station).map(|one| one.path))
    }

    /// A file for a station's checks; it is not there yet.
    pub(crate) fn new_check_path(&self, station: &str) -> Result<PathBuf, Refusal> {
        let shop = self.shop.as_ref().ok_or(Refusal::NoShop)?;
        Ok(shop.new_check_path(station)?)
    }

    /// Begins the check file of a station; and what it notes of files beside it that cannot be read.
    pub(crate) fn begin_checks(
        &self,
        header: CheckHeader,
        hand: &str,
        options: FileOptions,
    ) -> Result<(CheckFile, Vec<String>), Refusal> {
        let shop = self.shop.as_ref().ok_or(Refusal::NoShop)?;
        let path = self.new_check_path(&header.about.station)?;
        Ok(shop.begin_checks(&path, header, hand, options)?)
    }

    /// The studies of the shop, the newest first: file and words.
    pub(crate) fn studies(&self) -> Vec<(PathBuf, String)> {
        let Some(shop) = &self.shop else { return Vec::new() };
        let paths = shop.studies().unwrap_or_else(|why| {
            log::warn!("{why}");
            Vec::new()
        });
        paths.into_iter().rev().map(|path| (path.clone(), words_of(&path))).collect()
    }

    /// A file for a study of a station begun on a day; it is not there yet.
    pub(crate) fn new_study_path(&self, day: Date, station: &str) -> Result<PathBuf, Refusal> {
        let shop = self.shop.as_ref().ok_or(Refusal::NoShop)?;
        Ok(shop.new_study_path(day, station)?)
    }

    /// Whether its check files were looked at on an earlier day.
    pub(crate) fn is_of_another_day(&self, today: Date) -> bool {
        self.looked_on.is_some_and(|day| day != today)
    }

    /// Reads all check files anew.
    pub(crate) fn refresh_checks(&mut self, today: Date) {
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
        self.look_at_maps();
    }

    /// Looks where the maps of the stations are from.
    fn look_at_maps(&mut self) {
        let Some(shop) = &self.shop else { return };
        let stations = shop.stations.iter().map(|kept| &kept.value);
        let standing =
            |station: &Station| (station.name.clone(), shop.map_standing(station, &RealDisk));
        self.offers.standings = stations.map(standing).collect();
    }

    /// Takes what the shop keeps now, and what it does not say yet.
    pub(crate) fn refresh_kept(&mut self, today: Date) {
        let Some(shop) = &self.shop else { return };
        let now = Offers::of(shop);
        let offers = &mut self.offers;
        (offers.shop, offers.letterhead, offers.hands) = (now.shop, now.letterhead, now.hands);
        (offers.windows, offers.housings, offers.units) = (now.windows, now.housings, now.units);
        offers.cameras = now.cameras;
        offers.left_open = shop.left_open(today);
        self.offer_stations(today);
        self.look_at_maps();
    }

    /// Takes what a station's checks come to now.
    pub(crate) fn know_checks(&mut self, station: &str, checks: &Checks, today: Date) {
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
        self.offers.checks_read += 1;
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
    pub(crate) fn refresh_waiting(&mut self) {
        let Some(shop) = &self.shop else { return };
        (self.offers.waiting, self.offers.waiting_unread) = shop.units_waiting(&RealDisk);
    }

    pub(crate) fn refresh_sessions(&mut self) {
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
pub(crate) fn words_of(path: &Path) -> String {
    record::shown::path(path.file_stem().map_or(path, Path::new))
}

/// A name for a program version in headers.
#[must_use]
pub(crate) fn program() -> String {
    format!("samepoint {}", env!("CARGO_PKG_VERSION"))
}

/// The shop a session lies in, if it lies in one.
pub(crate) fn shop_of(session: &Path) -> Option<PathBuf> {
    let sessions = session.parent()?;
    let name = sessions.file_name()?;
    (name == "sessions" || name == "practice").then(|| sessions.parent().map(Path::to_owned))?
}
