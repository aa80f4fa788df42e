//! Unpacking an embedded shop.

use std::fs;
use std::io::{self, Write};
use std::path::{Component, Path, PathBuf};

use crate::error::Error;

/// Writes each file that is not there yet, whole or not at all; says which were written.
pub(super) fn unpack<'a>(
    folder: &Path,
    files: impl IntoIterator<Item = (&'a str, &'a [u8])>,
) -> Result<Vec<PathBuf>, Error> {
    let mut written = Vec::new();
    for (relative, bytes) in files {
        let relative = Path::new(relative);
        let stays_inside = relative.components().all(|part| matches!(part, Component::Normal(_)));
        let path = folder.join(relative);
        if !stays_inside {
            let why = io::Error::from(io::ErrorKind::InvalidInput);
            return Err(Error::io("unpack outside the shop", &path, why));
        }
        if write_new(&path, bytes).map_err(|why| Error::io("unpack", &path, why))? {
            written.push(path);
        }
    }
    Ok(written)
}

/// `false` when there is something under that name already.
fn write_new(path: &Path, bytes: &[u8]) -> io::Result<bool> {
    if path.try_exists()? {
        return Ok(false);
    }
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder)?;
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().sync_all()?;
    match file.persist_noclobber(path) {
        Ok(_) => Ok(true),
        Err(why) if why.error.kind() == io::ErrorKind::AlreadyExists => Ok(false),
        Err(why) => Err(why.error),
    }
}
