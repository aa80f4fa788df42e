//! Unpacking an embedded shop.

use std::fs::{self, FileTimes};
use std::io::{self, Write};
use std::path::{Component, Path, PathBuf};
use std::thread;
use std::time::{Duration, SystemTime};

use tempfile::NamedTempFile;

use crate::error::Error;

/// Files synced at a time: a disk that syncs several at once is hardly slower than with one.
const AT_A_TIME: usize = 16;

/// Writes each file that is not there yet, whole or not at all; says which were written. Their times
/// of modification are in the order given, whichever was synced first.
pub(super) fn unpack<'a>(
    folder: &Path,
    files: impl IntoIterator<Item = (&'a str, &'a [u8])>,
) -> Result<Vec<PathBuf>, Error> {
    let mut missing = Vec::new();
    for (relative, bytes) in files {
        let relative = Path::new(relative);
        let stays_inside = relative.components().all(|part| matches!(part, Component::Normal(_)));
        let path = folder.join(relative);
        if !stays_inside {
            let why = io::Error::from(io::ErrorKind::InvalidInput);
            return Err(Error::io("unpack outside the shop", &path, why));
        }
        if !path.try_exists().map_err(|why| unpacking(&path, why))? {
            missing.push((path, bytes));
        }
    }
    let mut written = Vec::new();
    for some in missing.chunks(AT_A_TIME) {
        let began = SystemTime::now();
        let synced: Vec<io::Result<NamedTempFile>> = thread::scope(|scope| {
            let hands: Vec<_> = (0_u32..)
                .zip(some)
                .map(|(place, (path, bytes))| {
                    // Ten microseconds are told apart by every file system's clock but the coarsest,
                    // and there names decide.
                    let time = began + place * Duration::from_micros(10);
                    scope.spawn(move || write_aside(path, bytes, time))
                })
                .collect();
            let joined = hands.into_iter().map(thread::ScopedJoinHandle::join);
            joined
                .map(|file| file.unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
                .collect()
        });
        for ((path, _), file) in some.iter().zip(synced) {
            if put_in_place(path, file).map_err(|why| unpacking(path, why))? {
                written.push(path.clone());
            }
        }
    }
    Ok(written)
}

fn unpacking(path: &Path, why: io::Error) -> Error {
    Error::io("unpack", path, why)
}

/// Writes a file beside where it is to be, and syncs it.
fn write_aside(path: &Path, bytes: &[u8], time: SystemTime) -> io::Result<NamedTempFile> {
    let folder = path.parent().unwrap_or(Path::new("."));
    fs::create_dir_all(folder)?;
    let mut file = NamedTempFile::new_in(folder)?;
    file.write_all(bytes)?;
    file.as_file().set_times(FileTimes::new().set_modified(time))?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// `false` when something has come under that name meanwhile.
fn put_in_place(path: &Path, file: io::Result<NamedTempFile>) -> io::Result<bool> {
    match file?.persist_noclobber(path) {
        Ok(_) => Ok(true),
        Err(why) if why.error.kind() == io::ErrorKind::AlreadyExists => Ok(false),
        Err(why) => Err(why.error),
    }
}
