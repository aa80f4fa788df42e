//! Changing what a shop keeps: the new file takes the place of the old one whole, and the old one lies in
//! `earlier/` beside it under the time until which it held.

use std::fs;
use std::io;
use std::path::Path;

use super::item::{self, ShopItem};
use super::{Kept, free_name};
use crate::error::Error;
use crate::file::lock::{self, LockAnswer};
use crate::file::{Disk, Opener, names, plain};
use crate::stamp::Stamp;

/// The folder beside a file that its old versions lie in.
const EARLIER: &str = "earlier";

/// Puts a value in the place of one that was read from a file.
///
/// # Errors
/// The value's own check; [`Error::ChangedMeanwhile`] where the file no longer says what was read from it, or
/// another is changing it just now; [`Error::Io`]. Nothing was changed then.
pub(super) fn replace<T: ShopItem + PartialEq>(
    kept: &Kept<T>,
    value: T,
    opener: &Opener,
    disk: &dyn Disk,
) -> Result<Kept<T>, Error> {
    let words = item::words(&value)?;
    let path = &kept.path;
    let changed = || Error::ChangedMeanwhile { path: path.clone() };
    let _held = match lock::take(disk, path, opener) {
        LockAnswer::Held(held) => Some(held),
        LockAnswer::Unsupported => None,
        LockAnswer::Taken(_) => return Err(changed()),
        LockAnswer::Refused(why) => return Err(Error::io("lock", path, why)),
    };
    if item::read::<T>(path)? != kept.value {
        return Err(changed());
    }
    let folder = path.parent().unwrap_or(Path::new("."));
    let before =
        plain::read_text(path, item::LARGEST_FILE).map_err(|why| Error::io("read", path, why))?;
    let earlier = folder.join(EARLIER);
    fs::create_dir_all(&earlier).map_err(|why| Error::io("make the folder", &earlier, why))?;
    let old = free_name(&earlier, &old_stem(opener.now, path), "ron");
    item::write_aside(&earlier, &before)
        .and_then(|file| file.persist_noclobber(&old).map_err(|why| why.error))
        .and_then(|_| lasts(disk, &earlier))
        .map_err(|why| Error::io("write", &old, why))?;
    item::write_aside(folder, &words)
        .and_then(|file| file.persist(path).map_err(|why| why.error))
        .and_then(|_| lasts(disk, folder))
        .map_err(|why| Error::io("write", path, why))?;
    Ok(Kept { path: path.clone(), value })
}

/// Old versions of what is kept in a file, the last to hold first, each with the time until which it held as its
/// name says it.
pub(super) fn earlier<T: ShopItem>(path: &Path) -> Result<Vec<(String, T)>, Error> {
    let stem = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
    let folder = path.parent().unwrap_or(Path::new(".")).join(EARLIER);
    let mut found = Vec::new();
    for path in super::files_in(&folder, "ron")? {
        let name = path.file_stem().unwrap_or_default().to_string_lossy().into_owned();
        let Some((until, rest)) = name.split_once(' ') else { continue };
        // A second change within a second has a number behind it.
        let same =
            rest == stem || rest.strip_prefix(&stem).is_some_and(|rest| rest.starts_with(" ("));
        if same
            && let Ok(value) = item::read::<T>(&path)
            && names::safe_stem(value.name()) == stem
        {
            found.push((until.replace('T', " "), value));
        }
    }
    found.reverse();
    Ok(found)
}

/// Day and time first, so that names sort by them.
fn old_stem(now: Stamp, path: &Path) -> String {
    let time = now.time_of_day();
    let time = time.get(..8).unwrap_or(&time).replace(':', "-");
    let stem = path.file_stem().unwrap_or_default().to_string_lossy();
    format!("{}T{time} {stem}", now.date())
}

/// Some shares cannot say that a name lasts; it is there all the same.
fn lasts(disk: &dyn Disk, folder: &Path) -> io::Result<()> {
    match disk.sync_folder(folder) {
        Err(why) if why.kind() != io::ErrorKind::Unsupported => Err(why),
        _ => Ok(()),
    }
}
