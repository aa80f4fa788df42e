//! A shop: a folder that holds stations, windows, housings, units and sessions, and may lie on a
//! shared drive.
//!
//! One broken file never keeps the rest from working: it is skipped and reported.
//!
//! - [`mod@survey`]: what all its sessions come to;
//! - [`item`]: reading and writing one file (a camera map's words: `camera_file`); [`unpack`]: the demo shop;
//! - [`of_housing`]: the sessions of a housing; [`locks`]: what tightening the locks did in them;
//!   [`shims`]: what shims did in them;
//! - [`parts`]: tubes, housings and eyepieces by name, and which of them go together best;
//! - [`returned`]: what a supervisor sent back;
//! - `begun`: beginning one; [`letterhead`]: whose it is; [`head_picture`]: the picture on its papers; [`wording`]: what it wants printed; [`left_open`]: what it does not say yet; [`editing`]: what
//!   an editor does to it; `replaced`: an old file kept beside the new one; `listed`: what a folder lists;
//! - [`rules`]: what it demands of its sessions; [`demanded`]: reading that;
//! - [`kept_checks`]: the check files of its stations; [`kept_studies`]: their studies;
//! - [`kept_calibrations`]: their calibrations, and whether a station's numbers are those it names;
//! - [`kept_lists`]: what a list from a spreadsheet is in it; [`kept_waiting`]: the units that wait; [`kept_pictures`]: pictures, each once.

mod begun;
mod demanded;
pub mod editing;
pub mod head_picture;
mod item;
mod kept_calibrations;
mod kept_checks;
mod kept_lists;
mod kept_pictures;
mod kept_studies;
mod kept_waiting;
pub mod left_open;
pub mod letterhead;
mod listed;
mod locks;
mod of_housing;
pub mod parts;
mod replaced;
mod returned;
pub mod rules;
mod shims;
pub mod survey;
#[cfg(test)]
mod tests;
mod unpack;
pub mod wording;

use std::ffi::{OsStr, OsString};
use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

pub use editing::{Edited, Editing};
pub use head_picture::{HeadPicture, LARGEST_HEAD_PICTURE};
pub use kept_calibrations::MapStanding;
pub use kept_checks::{KeptChecks, Zeros};
pub use kept_pictures::{KeptPicture, LARGEST_PICTURE, NEITHER_PNG_NOR_JPEG, PictureFound};
pub use left_open::LeftOpen;
pub use letterhead::Letterhead;
pub(crate) use listed::{ListedFile, Listing, files_in};
pub use locks::LockAdvice;
pub use returned::{ReturnedSession, sort_for};
pub use rules::{SealRule, ShopRules};
pub use wording::Wording;

use jiff::civil::Date;

use crate::error::Error;
use crate::fact::Camera;
use crate::file::names::{safe_part, safe_stem, same_somewhere};
use crate::hands::{Hand, Hands};
use crate::housing::Housing;
use crate::practice::PracticeUnit;
use crate::shown;
use crate::station::Station;
use crate::unit::Unit;
use crate::window::NamedWindow;

/// The extension of a session's file.
pub const SESSION_EXTENSION: &str = "samepoint";

/// The extension of a station's check file.
pub const CHECK_EXTENSION: &str = "samepoint-check";

/// The extension of a study's file.
pub const STUDY_EXTENSION: &str = "samepoint-study";

/// The extension of a station's calibration.
pub const CALIBRATION_EXTENSION: &str = "samepoint-calibration";

/// The folders of a shop.
pub const FOLDERS: [&str; 11] = [
    "stations",
    "windows",
    "housings",
    "units",
    "checks",
    "studies",
    "sessions",
    "practice",
    "pictures",
    "hands",
    "calibrations",
];

/// A shop as it was when it was loaded.
#[derive(Clone, Debug)]
pub struct Shop {
    /// Its folder.
    pub folder: PathBuf,
    /// Whose it is, where it says so.
    pub letterhead: Option<Letterhead>,
    /// Which picture stands beside that on its papers, where it says so.
    pub head_picture: Option<HeadPicture>,
    /// What it wants printed in its reports, where it says so.
    pub wording: Option<Wording>,
    /// Stations, by file name.
    pub stations: Vec<Kept<Station>>,
    /// Tolerance windows, by file name.
    pub windows: Vec<Kept<NamedWindow>>,
    /// Housing types, by file name.
    pub housings: Vec<Kept<Housing>>,
    /// Units, by file name.
    pub units: Vec<Kept<Unit>>,
    /// Camera maps, by file name.
    pub cameras: Vec<Kept<Camera>>,
    /// Its hands; nobody where it lists none.
    pub hands: Hands,
    /// What it demands of its sessions.
    pub rules: ShopRules,
    /// Files that could not be used, each with what is wrong and where.
    pub skipped: Vec<Error>,
}

/// A value and the file it is kept in.
#[derive(Clone, Debug, PartialEq)]
pub struct Kept<T> {
    /// The file.
    pub path: PathBuf,
    /// The value.
    pub value: T,
}

/// A session of the shop, not opened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SessionListing {
    /// Its file.
    pub path: PathBuf,
    /// When it was last written, as the file system says.
    pub modified: Option<SystemTime>,
}

/// A path in a folder that nothing has yet: the stem as it is, or with a number behind it.
#[must_use]
pub fn free_path(folder: &Path, stem: &str, extension: &str) -> PathBuf {
    free_name(folder, stem, extension)
}

impl Shop {
    /// Loads a shop. Folders that are not there count as empty.
    ///
    /// # Errors
    /// [`Error::Io`] when the shop's own folder cannot be read. Broken files are in
    /// [`Shop::skipped`].
    pub fn load(folder: &Path) -> Result<Self, Error> {
        fs::read_dir(folder).map_err(|why| Error::io("open the shop", folder, why))?;
        let mut skipped = Vec::new();
        Ok(Self {
            folder: folder.to_owned(),
            letterhead: Self::letterhead_in(folder, &mut skipped),
            head_picture: Self::head_picture_in(folder, &mut skipped),
            wording: Self::wording_in(folder, &mut skipped),
            stations: load_all(&folder.join("stations"), &mut skipped),
            windows: load_all(&folder.join("windows"), &mut skipped),
            housings: load_all(&folder.join("housings"), &mut skipped),
            units: load_all(&folder.join("units"), &mut skipped),
            cameras: load_all(&folder.join("cameras"), &mut skipped),
            hands: load_hands(&folder.join("hands"), &mut skipped),
            rules: ShopRules::load(folder, &mut skipped),
            skipped,
        })
    }

    /// The camera maps of a shop alone, for whoever looks time and again. Files that cannot be read are passed over.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder cannot be opened.
    pub fn cameras_in(folder: &Path) -> Result<Vec<Kept<Camera>>, Error> {
        fs::read_dir(folder).map_err(|why| Error::io("open the shop", folder, why))?;
        Ok(load_all(&folder.join("cameras"), &mut Vec::new()))
    }

    /// The sessions in `sessions/`, the last written first.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder is there but cannot be read.
    pub fn sessions(&self) -> Result<Vec<SessionListing>, Error> {
        list_sessions(&self.folder.join("sessions"))
    }

    /// The files in a shop's `sessions/`, by name.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder is there but cannot be read.
    pub fn session_files(folder: &Path) -> Result<Vec<PathBuf>, Error> {
        files_in(&folder.join("sessions"), SESSION_EXTENSION)
    }

    /// The sessions in `practice/`, the last written first.
    ///
    /// # Errors
    /// As [`sessions`](Self::sessions).
    pub fn practice_sessions(&self) -> Result<Vec<SessionListing>, Error> {
        list_sessions(&self.folder.join("practice"))
    }

    /// A free name in `practice/` for an invented unit on a day. The folder is made if it is not there.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder cannot be made.
    pub fn new_practice_path(&self, day: Date, unit: &PracticeUnit) -> Result<PathBuf, Error> {
        let folder = self.folder.join("practice");
        fs::create_dir_all(&folder).map_err(|why| Error::io("make the folder", &folder, why))?;
        Ok(free_name(&folder, &format!("{day} {}", unit.exercise().name), SESSION_EXTENSION))
    }

    /// A free name in `sessions/` for a unit on a day, such as `2026-11-25 0147.samepoint`, then
    /// `2026-11-25 0147 (2).samepoint`. The folder is made if it is not there.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder cannot be made.
    pub fn new_session_path(&self, day: Date, unit: &str) -> Result<PathBuf, Error> {
        let folder = self.folder.join("sessions");
        fs::create_dir_all(&folder).map_err(|why| Error::io("make the folder", &folder, why))?;
        Ok(free_name(&folder, &format!("{day} {unit}"), SESSION_EXTENSION))
    }

    /// Whether a session's file is named after a unit, as [`new_session_path`](Self::new_session_path)
    /// names it, on whatever day, a number or a word behind it.
    #[must_use]
    pub fn is_named_for(path: &Path, unit: &str) -> bool {
        let stem = path.file_stem().map(OsStr::to_string_lossy).unwrap_or_default();
        // The day is ten letters, whatever the unit is called.
        let Some(named) = stem.get(10..).and_then(|rest| rest.strip_prefix(' ')) else {
            return false;
        };
        let unit = safe_part(unit);
        named
            .strip_prefix(unit.as_str())
            .is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
    }

    /// Keeps a new station in `stations/` and says in which file. One that is there is never
    /// replaced.
    ///
    /// # Errors
    /// The value's own [`check`](crate::validate::Checked), or [`Error::Io`].
    pub fn keep_station(&mut self, station: Station) -> Result<PathBuf, Error> {
        let kept = item::keep(&self.folder.join("stations"), station)?;
        let path = kept.path.clone();
        self.stations.push(kept);
        Ok(path)
    }

    /// Keeps a new tolerance window in `windows/`.
    ///
    /// # Errors
    /// As [`keep_station`](Self::keep_station).
    pub fn keep_window(&mut self, window: NamedWindow) -> Result<PathBuf, Error> {
        let kept = item::keep(&self.folder.join("windows"), window)?;
        let path = kept.path.clone();
        self.windows.push(kept);
        Ok(path)
    }

    /// Keeps a new housing type in `housings/`.
    ///
    /// # Errors
    /// As [`keep_station`](Self::keep_station).
    pub fn keep_housing(&mut self, housing: Housing) -> Result<PathBuf, Error> {
        let kept = item::keep(&self.folder.join("housings"), housing)?;
        let path = kept.path.clone();
        self.housings.push(kept);
        Ok(path)
    }

    /// Keeps a new unit in `units/`.
    ///
    /// # Errors
    /// As [`keep_station`](Self::keep_station).
    pub fn keep_unit(&mut self, unit: Unit) -> Result<PathBuf, Error> {
        let kept = item::keep(&self.folder.join("units"), unit)?;
        let path = kept.path.clone();
        self.units.push(kept);
        Ok(path)
    }

    /// Keeps what lies on the shelf in `shelf.ron`.
    ///
    /// # Errors
    /// As [`keep_station`](Self::keep_station); [`Error::AlreadyThere`] where there is such a file.
    pub fn keep_stock(&self, stock: parts::Stock) -> Result<PathBuf, Error> {
        let path = self.folder.join(parts::SHELF_FILE);
        if path.symlink_metadata().is_ok() {
            return Err(Error::AlreadyThere { path });
        }
        Ok(item::keep(&self.folder, stock)?.path)
    }

    /// What lies on the shelf; `None` where no `shelf.ron` says so.
    ///
    /// # Errors
    /// As [`read_housing`](Self::read_housing).
    pub fn stock(&self) -> Result<Option<parts::Stock>, Error> {
        let path = self.folder.join(parts::SHELF_FILE);
        if path.symlink_metadata().is_err() {
            return Ok(None);
        }
        item::read(&path).map(Some)
    }

    /// Keeps a new hand in `hands/`, in a file called after its initials.
    ///
    /// # Errors
    /// As [`keep_station`](Self::keep_station); [`Error::AlreadyThere`] where these initials are listed.
    pub fn keep_hand(&mut self, hand: Hand) -> Result<PathBuf, Error> {
        let path = self.folder.join("hands").join(format!("{}.ron", safe_stem(&hand.initials)));
        if path.exists() {
            return Err(Error::AlreadyThere { path });
        }
        let kept = item::keep(&self.folder.join("hands"), hand)?;
        let path = kept.path.clone();
        self.hands.known.push(kept);
        Ok(path)
    }

    /// Keeps a new camera map in `cameras/`.
    ///
    /// # Errors
    /// As [`keep_station`](Self::keep_station).
    pub fn keep_camera(&self, camera: Camera) -> Result<PathBuf, Error> {
        Ok(item::keep(&self.folder.join("cameras"), camera)?.path)
    }

    /// Lays out an empty shop, or adds the folders that are missing.
    ///
    /// # Errors
    /// [`Error::Io`] when a folder cannot be made.
    pub fn lay_out(folder: &Path) -> Result<(), Error> {
        for name in FOLDERS {
            let made = folder.join(name);
            fs::create_dir_all(&made).map_err(|why| Error::io("make the folder", &made, why))?;
        }
        Ok(())
    }

    /// Unpacks an embedded shop, given as relative paths and bytes. What is there already is
    /// left as it is.
    ///
    /// # Errors
    /// [`Error::Io`] when something cannot be written; what was written before stays.
    pub fn unpack<'a>(
        folder: &Path,
        files: impl IntoIterator<Item = (&'a str, &'a [u8])>,
    ) -> Result<Vec<PathBuf>, Error> {
        Self::lay_out(folder)?;
        unpack::unpack(folder, files)
    }

    /// Reads one housing file, wherever it lies.
    ///
    /// # Errors
    /// [`Error::Io`], [`Error::ShopFile`] or [`Error::ShopValue`].
    pub fn read_housing(path: &Path) -> Result<Housing, Error> {
        item::read(path)
    }

    /// Reads one station file, wherever it lies.
    ///
    /// # Errors
    /// As [`read_housing`](Self::read_housing).
    pub fn read_station(path: &Path) -> Result<Station, Error> {
        item::read(path)
    }

    /// Reads one camera map's file, wherever it lies.
    ///
    /// # Errors
    /// As [`read_housing`](Self::read_housing).
    pub fn read_camera(path: &Path) -> Result<Camera, Error> {
        item::read(path)
    }

    /// Reads one window file, wherever it lies.
    ///
    /// # Errors
    /// As [`read_housing`](Self::read_housing).
    pub fn read_window(path: &Path) -> Result<NamedWindow, Error> {
        item::read(path)
    }
}

/// A folder of hands that cannot be looked into is a list that cannot be used.
fn load_hands(folder: &Path, skipped: &mut Vec<Error>) -> Hands {
    let read = match files_in(folder, "ron") {
        Ok(paths) => paths
            .into_iter()
            .map(|path| match item::read(&path) {
                Ok(value) => Ok(Kept { path, value }),
                Err(why) => {
                    let name = path.file_name().unwrap_or_default();
                    Err((name.to_string_lossy().into_owned(), why))
                }
            })
            .collect(),
        Err(why) => vec![Err(("hands".to_owned(), why))],
    };
    let (hands, mut left_out) = Hands::of(read);
    skipped.append(&mut left_out);
    hands
}

fn load_all<T: item::ShopItem>(folder: &Path, skipped: &mut Vec<Error>) -> Vec<Kept<T>> {
    let paths = match files_in(folder, "ron") {
        Ok(paths) => paths,
        Err(error) => {
            skipped.push(error);
            return Vec::new();
        }
    };
    let mut loaded = Vec::new();
    for path in paths {
        match item::read(&path) {
            Ok(value) => loaded.push(Kept { path, value }),
            Err(error) => skipped.push(error),
        }
    }
    loaded
}

fn list_sessions(folder: &Path) -> Result<Vec<SessionListing>, Error> {
    let mut sessions: Vec<SessionListing> = files_in(folder, SESSION_EXTENSION)?
        .into_iter()
        .filter_map(|path| {
            let metadata = fs::metadata(&path).ok().filter(fs::Metadata::is_file)?;
            Some(SessionListing { path, modified: metadata.modified().ok() })
        })
        .collect();
    sessions.sort_by(|a, b| b.modified.cmp(&a.modified).then_with(|| b.path.cmp(&a.path)));
    Ok(sessions)
}

/// Said of a file that is read as far as it goes.
pub(crate) fn not_all_read(path: &Path) -> String {
    format!("{}: not all of it can be read", shown::path(path))
}

/// A name in a folder that no file has yet, nor one that differs in large and small letters alone.
pub(crate) fn free_name(folder: &Path, stem: &str, extension: &str) -> PathBuf {
    let stem = safe_stem(stem);
    let there = fs::read_dir(folder).into_iter().flatten().flatten();
    let taken: Vec<OsString> = there.map(|entry| entry.file_name()).collect();
    let mut name = format!("{stem}.{extension}");
    let mut number = 2_u64;
    // A folder that cannot be looked into may be asked for a name all the same; a link that leads nowhere has one.
    while taken.iter().any(|taken| same_somewhere(taken, name.as_ref()))
        || folder.join(&name).symlink_metadata().is_ok()
    {
        name = format!("{stem} ({number}).{extension}");
        number += 1;
    }
    folder.join(name)
}
