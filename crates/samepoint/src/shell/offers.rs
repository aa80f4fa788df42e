//! What a shop offers to choose from: the values its sheets show.

use std::path::{Path, PathBuf};

use jiff::civil::Date;
use record::checks::{CheckedOn, Checks};
use record::units_waiting::UnitsWaiting;
use record::{
    Hand, Housing, LeftOpen, Letterhead, MapStanding, NamedWindow, Shop, Station, Unit, shown,
};

/// The shop as sheets see it.
#[derive(Clone, Debug, Default)]
pub struct Offers {
    /// The shop's own name.
    pub shop: String,
    /// Its folder.
    pub folder: PathBuf,
    /// Whose it is, where it says so.
    pub letterhead: Option<Letterhead>,
    /// Its hands.
    pub hands: Vec<Hand>,
    /// What it does not say yet.
    pub left_open: Vec<LeftOpen>,
    /// Its stations, each as its check standard found it today.
    pub stations: Vec<Station>,
    /// What the check file of a station comes to, by the station's name.
    pub checks: Vec<(String, Checks)>,
    /// Where the map of each station is from, by its name.
    pub standings: Vec<(String, MapStanding)>,
    /// How often they were read.
    pub checks_read: u64,
    /// What each of them comes to on the day it was looked at last.
    pub checked: Vec<(String, CheckedOn)>,
    /// Check files that could not be read, and why.
    pub unread_checks: Vec<String>,
    /// The units that wait.
    pub waiting: UnitsWaiting,
    /// What is wrong with their list.
    pub waiting_unread: Option<String>,
    /// Its housing types.
    pub housings: Vec<Housing>,
    /// Its tolerance windows.
    pub windows: Vec<NamedWindow>,
    /// Its camera maps, by name.
    pub cameras: Vec<String>,
    /// Its units.
    pub units: Vec<Unit>,
    /// Its sessions, newest first: path and words.
    pub sessions: Vec<(PathBuf, String)>,
}

impl Offers {
    /// What a loaded shop offers; its sessions are listed when they are asked for.
    #[must_use]
    pub fn of(shop: &Shop) -> Self {
        let of_folder = || {
            shop.folder.file_name().map_or_else(
                || shown::path(&shop.folder),
                |name| shown::path(Path::new(name)).replace('-', " "),
            )
        };
        let name = shop.letterhead.as_ref().map_or_else(of_folder, |known| known.name.clone());
        Self {
            shop: name,
            folder: shop.folder.clone(),
            letterhead: shop.letterhead.clone(),
            hands: shop.hands.known.iter().map(|kept| kept.value.clone()).collect(),
            left_open: Vec::new(),
            stations: shop.stations.iter().map(|kept| kept.value.clone()).collect(),
            housings: shop.housings.iter().map(|kept| kept.value.clone()).collect(),
            windows: shop.windows.iter().map(|kept| kept.value.clone()).collect(),
            cameras: shop.cameras.iter().map(|kept| kept.value.name.clone()).collect(),
            units: shop.units.iter().map(|kept| kept.value.clone()).collect(),
            sessions: Vec::new(),
            checks: Vec::new(),
            standings: Vec::new(),
            checks_read: 0,
            waiting: UnitsWaiting::default(),
            waiting_unread: None,
            checked: Vec::new(),
            unread_checks: Vec::new(),
        }
    }

    /// The unit of a name, as a hand may write it.
    #[must_use]
    pub fn unit(&self, name: &str) -> Option<&Unit> {
        self.units.iter().find(|unit| same_name(&unit.name, name))
    }

    /// What a station's check file comes to.
    #[must_use]
    pub fn checks_of(&self, station: &str) -> Option<&Checks> {
        self.checks.iter().find(|(name, _)| name == station).map(|(_, checks)| checks)
    }

    /// What a station's check file comes to on a day, if it was looked at on that day.
    #[must_use]
    pub fn checked_on(&self, station: &str, day: Date) -> Option<&CheckedOn> {
        let (_, on) = self.checked.iter().find(|(name, _)| name == station)?;
        (on.day == day).then_some(on)
    }

    /// The housing type of a name, as a hand may write it.
    #[must_use]
    pub fn housing(&self, name: &str) -> Option<&Housing> {
        self.housings.iter().find(|housing| same_name(&housing.name, name))
    }

    /// Serial numbers of all tubes in the shop's units, each once.
    #[must_use]
    pub fn tubes(&self) -> Vec<&str> {
        each_once(self.units.iter().flat_map(|unit| {
            [&unit.tubes.left.serial, &unit.tubes.right.serial].map(String::as_str)
        }))
    }

    /// Serial numbers of all eyepieces in the shop's units, each once.
    #[must_use]
    pub fn eyepieces(&self) -> Vec<&str> {
        each_once(self.units.iter().flat_map(|unit| {
            [&unit.eyepieces.left.serial, &unit.eyepieces.right.serial].map(String::as_str)
        }))
    }
}

/// Whether two names are one to a hand: case and the spaces round them do not count.
fn same_name(kept: &str, typed: &str) -> bool {
    !typed.trim().is_empty() && kept.trim().to_lowercase() == typed.trim().to_lowercase()
}

fn each_once<'a>(serials: impl Iterator<Item = &'a str>) -> Vec<&'a str> {
    let mut serials: Vec<&str> = serials.filter(|serial| !serial.is_empty()).collect();
    serials.sort_unstable();
    serials.dedup();
    serials
}
