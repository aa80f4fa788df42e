//! Beginning a shop: a folder that comes whole, or not at all, and never among what is somebody's already.

use std::fs;
use std::io;
use std::path::{Path, PathBuf};

use super::head_picture::{HEAD_PICTURE_FILE, HeadPicture};
use super::letterhead::{LETTERHEAD_FILE, Letterhead};
use super::wording::{WORDING_FILE, Wording};
use super::{FOLDERS, Shop, item};
use crate::error::Error;
use crate::file::{Disk, names};
use crate::hands::Hand;
use crate::validate::Checked as _;

/// How many folders half made may lie about before one more is refused.
const TRIES: u32 = 100;

impl Shop {
    /// Begins a shop in a folder that is not there yet, or is there and empty, with its letterhead and its first
    /// hand, if one is named. The folder is made beside and put in its place whole; one that is there is filled
    /// where it is, the letterhead last, so that its owner and rights stay.
    ///
    /// # Errors
    /// What letterhead or hand lack; [`Error::ShopNotEmpty`]; [`Error::Io`].
    pub fn begin(
        folder: &Path,
        letterhead: Letterhead,
        hand: Option<Hand>,
        disk: &dyn Disk,
    ) -> Result<Self, Error> {
        letterhead.check()?;
        hand.as_ref().map_or(Ok(()), Hand::check)?;
        let folder =
            std::path::absolute(folder).map_err(|why| Error::io("make the folder", folder, why))?;
        names::taken_everywhere(&folder).map_err(|why| Error::io("begin", &folder, why))?;
        if folder.symlink_metadata().is_ok() {
            if !is_free(&folder)? {
                return Err(Error::ShopNotEmpty { path: folder });
            }
            fill(&folder, letterhead, hand)?;
            return Self::load(&folder);
        }
        let parent = folder.parent().unwrap_or(&folder).to_owned();
        fs::create_dir_all(&parent).map_err(|why| Error::io("make the folder", &parent, why))?;
        let aside = make_aside(&folder, &parent)?;
        let done = fill(&aside, letterhead, hand).and_then(|()| {
            let placed = disk.rename(&aside, &folder).and_then(|()| disk.sync_folder(&parent));
            match placed {
                // Some shares cannot say that a name lasts; it is there all the same.
                Err(why) if why.kind() == io::ErrorKind::Unsupported => Ok(()),
                placed => placed.map_err(|why| Error::io("put in place", &folder, why)),
            }
        });
        if let Err(why) = done {
            // Only what was made above is taken away again.
            if let Err(left) = fs::remove_dir_all(&aside)
                && left.kind() != io::ErrorKind::NotFound
            {
                return Err(Error::io("take away", &aside, left));
            }
            return Err(why);
        }
        Self::load(&folder)
    }

    /// The letterhead of the shop in a folder; `None` where it has none. A file that cannot be read is skipped
    /// and reported.
    pub(super) fn letterhead_in(folder: &Path, skipped: &mut Vec<Error>) -> Option<Letterhead> {
        let path = folder.join(LETTERHEAD_FILE);
        path.symlink_metadata().ok()?;
        item::read(&path).map_err(|why| skipped.push(why)).ok()
    }
}

impl Shop {
    /// What a shop wants printed in its reports; `None` where it says nothing. A file that cannot be read is
    /// skipped and reported.
    pub(super) fn wording_in(folder: &Path, skipped: &mut Vec<Error>) -> Option<Wording> {
        let path = folder.join(WORDING_FILE);
        path.symlink_metadata().ok()?;
        item::read(&path).map_err(|why| skipped.push(why)).ok()
    }
}

impl Shop {
    /// Which picture a shop has at the head of its papers; `None` where nobody ever said. A file that cannot be read
    /// is skipped and reported.
    pub(super) fn head_picture_in(folder: &Path, skipped: &mut Vec<Error>) -> Option<HeadPicture> {
        let path = folder.join(HEAD_PICTURE_FILE);
        path.symlink_metadata().ok()?;
        item::read(&path).map_err(|why| skipped.push(why)).ok()
    }
}

fn fill(folder: &Path, letterhead: Letterhead, hand: Option<Hand>) -> Result<(), Error> {
    Shop::lay_out(folder)?;
    if let Some(hand) = hand {
        item::keep(&folder.join("hands"), hand)?;
    }
    item::keep(folder, letterhead).map(drop)
}

/// Whether a folder is there and holds nothing, or only what a beginning left that went no further.
fn is_free(folder: &Path) -> Result<bool, Error> {
    if !folder.is_dir() {
        return Ok(false);
    }
    let reading = |why| Error::io("read the folder", folder, why);
    for entry in fs::read_dir(folder).map_err(reading)? {
        let entry = entry.map_err(reading)?;
        let ours = entry.file_name().to_str().is_some_and(|name| FOLDERS.contains(&name));
        let empty = || fs::read_dir(entry.path()).is_ok_and(|mut inner| inner.next().is_none());
        if !(ours && entry.file_type().map_err(reading)?.is_dir() && empty()) {
            return Ok(false);
        }
    }
    Ok(true)
}

/// A folder of our own beside the one that is to be.
fn make_aside(folder: &Path, parent: &Path) -> Result<PathBuf, Error> {
    let name = folder.file_name().unwrap_or_default().to_string_lossy().into_owned();
    for number in 1..=TRIES {
        let aside = parent.join(format!(".{name}.beginning-{number}"));
        match fs::create_dir(&aside) {
            Ok(()) => return Ok(aside),
            Err(why) if why.kind() == io::ErrorKind::AlreadyExists => {}
            Err(why) => return Err(Error::io("make the folder", &aside, why)),
        }
    }
    Err(Error::ShopNotEmpty { path: parent.to_owned() })
}
