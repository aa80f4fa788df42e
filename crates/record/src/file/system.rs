//! What of a disk differs between systems: who else may write, which file a name leads to, whether names last.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Read as _, Seek as _, Write as _};
use std::path::Path;

pub(super) use this::{
    holds_writers_off, open_to_append, state_of, state_under, sync_folder, try_lock,
};

/// Length and identity of a file.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct FileState {
    /// Bytes.
    pub length: u64,
    /// The same for two names of one file, different for two files that exist at once.
    pub identity: (u64, u64),
}

/// What asking for a lock gave.
pub enum Locking {
    /// It is ours until this is dropped.
    Held(Box<dyn Send>),
    /// Somebody has it and left this note.
    Taken(String),
}

/// A note longer than this is not ours.
const LONGEST_NOTE: u64 = 4096;

#[cfg(unix)]
mod this {
    use super::*;
    use crate::file::plain;

    pub(in super::super) fn open_to_append(new: bool, path: &Path) -> io::Result<File> {
        OpenOptions::new().read(true).append(true).create_new(new).open(path)
    }

    /// By hints that only those who ask for a lock see.
    pub(in super::super) fn holds_writers_off(file: &File) -> io::Result<bool> {
        match file.try_lock() {
            Ok(()) => Ok(true),
            Err(TryLockError::WouldBlock) => Ok(false),
            Err(TryLockError::Error(why)) => Err(lacking_locks(why)),
        }
    }

    pub(in super::super) fn try_lock(path: &Path, note: &str) -> io::Result<Locking> {
        let mut file =
            OpenOptions::new().read(true).write(true).create(true).truncate(false).open(path)?;
        match file.try_lock() {
            Ok(()) => {
                leave_note(&mut file, note);
                Ok(Locking::Held(Box::new(file)))
            }
            Err(TryLockError::WouldBlock) => Ok(Locking::Taken(note_in(file))),
            Err(TryLockError::Error(why)) => Err(lacking_locks(why)),
        }
    }

    pub(in super::super) fn state_under(path: &Path) -> io::Result<FileState> {
        plain::look(path).map(|metadata| of_metadata(&metadata))
    }

    pub(in super::super) fn state_of(file: &File) -> io::Result<FileState> {
        file.metadata().map(|metadata| of_metadata(&metadata))
    }

    fn of_metadata(metadata: &std::fs::Metadata) -> FileState {
        use std::os::unix::fs::MetadataExt as _;
        FileState { length: metadata.len(), identity: (metadata.dev(), metadata.ino()) }
    }

    pub(in super::super) fn sync_folder(folder: &Path) -> io::Result<()> {
        // A folder may be written to and not read: then its names cannot be made to last.
        let folder = File::open(folder).map_err(|why| match why.kind() {
            io::ErrorKind::PermissionDenied => io::Error::new(io::ErrorKind::Unsupported, why),
            _ => why,
        })?;
        folder.sync_all().map_err(lacking_sync)
    }
}

/// Windows: files are opened with a word on what others may do meanwhile, which holds for every name of a file.
#[cfg(windows)]
mod this {
    use std::os::windows::fs::OpenOptionsExt as _;

    use super::*;
    use crate::file::plain;

    /// Others may read (`FILE_SHARE_READ`).
    const READ: u32 = 1;
    /// The file may be taken away or renamed (`FILE_SHARE_DELETE`).
    const DELETE: u32 = 4;
    /// Somebody has it open and does not let this happen (`ERROR_SHARING_VIOLATION`).
    const NOT_SHARED: i32 = 32;

    pub(in super::super) fn open_to_append(new: bool, path: &Path) -> io::Result<File> {
        let mut options = OpenOptions::new();
        options.read(true).append(true).create_new(new).share_mode(READ | DELETE);
        options.open(path).map_err(|why| match why.raw_os_error() {
            Some(NOT_SHARED) => io::Error::new(io::ErrorKind::ResourceBusy, why),
            _ => why,
        })
    }

    /// It could be opened so.
    pub(in super::super) fn holds_writers_off(_: &File) -> io::Result<bool> {
        Ok(true)
    }

    pub(in super::super) fn try_lock(path: &Path, note: &str) -> io::Result<Locking> {
        let mut options = OpenOptions::new();
        options.read(true).write(true).create(true).truncate(false).share_mode(READ);
        let mut file = match options.open(path) {
            Ok(file) => file,
            Err(why) if why.raw_os_error() == Some(NOT_SHARED) => {
                let note = File::open(path).map(note_in).unwrap_or_default();
                return Ok(Locking::Taken(note));
            }
            Err(why) => return Err(why),
        };
        // Whoever has it on a shared drive from another system holds its bytes.
        let held = file.try_lock().and_then(|()| {
            leave_note(&mut file, note);
            // From here on others may read the note. Letting go is tried twice by the library, and not every system
            // of this kind says of the second try what the library expects.
            let _ = file.unlock();
            file.try_lock_shared()
        });
        match held {
            Ok(()) => Ok(Locking::Held(Box::new(file))),
            Err(TryLockError::WouldBlock) => Ok(Locking::Taken(note_in(file))),
            Err(TryLockError::Error(why)) => Err(lacking_locks(why)),
        }
    }

    pub(in super::super) fn state_under(path: &Path) -> io::Result<FileState> {
        plain::look(path)?;
        state_of(&File::open(path)?)
    }

    pub(in super::super) fn state_of(file: &File) -> io::Result<FileState> {
        let about = winapi_util::file::information(file)?;
        let identity = (about.volume_serial_number(), about.file_index());
        Ok(FileState { length: about.file_size(), identity })
    }

    // A folder cannot be opened as a file, and new names last by themselves.
    pub(in super::super) fn sync_folder(_: &Path) -> io::Result<()> {
        Ok(())
    }
}

/// The note only tells others; a lock holds without it.
fn leave_note(file: &mut File, note: &str) {
    if holds_a_note(file).unwrap_or(false) {
        let _ = file
            .set_len(0)
            .and_then(|()| file.rewind())
            .and_then(|()| file.write_all(note.as_bytes()));
    }
}

fn note_in(file: File) -> String {
    let mut note = String::new();
    let _ = file.take(LONGEST_NOTE).read_to_string(&mut note);
    note
}

/// Whether a lock file holds an earlier note or nothing, and so may be written anew.
fn holds_a_note(file: &mut File) -> io::Result<bool> {
    let mut there = Vec::new();
    file.take(LONGEST_NOTE + 1).read_to_end(&mut there)?;
    let ours = there.is_empty() || (there.starts_with(b"(") && there.ends_with(b")"));
    Ok(ours && there.len() as u64 <= LONGEST_NOTE)
}

/// What a file system says that cannot sync: that the call is invalid, unknown or not supported, or no
/// call for what this is.
pub(super) fn lacking_sync(why: io::Error) -> io::Error {
    lacking(why, number::ENOTTY)
}

/// What a file system says that cannot lock: the same, or that it has no locks.
fn lacking_locks(why: io::Error) -> io::Error {
    lacking(why, number::ENOLCK)
}

fn lacking(why: io::Error, also: i32) -> io::Error {
    let said = why.raw_os_error();
    let lacks = matches!(why.kind(), io::ErrorKind::InvalidInput | io::ErrorKind::Unsupported)
        || said.is_some_and(|said| said == also || number::UNSUPPORTED.contains(&said));
    if lacks { io::Error::new(io::ErrorKind::Unsupported, why) } else { why }
}

/// The system's numbers for what it lacks: `ENOSYS`, `EOPNOTSUPP`, `ENOTSUP` where that is another.
#[cfg(any(target_os = "linux", target_os = "android"))]
mod number {
    pub(super) const ENOTTY: i32 = 25;
    pub(super) const ENOLCK: i32 = 37;
    pub(super) const UNSUPPORTED: [i32; 3] = [38, 95, 95];
}

#[cfg(all(unix, not(any(target_os = "linux", target_os = "android"))))]
mod number {
    pub(super) const ENOTTY: i32 = 25;
    pub(super) const ENOLCK: i32 = 77;
    pub(super) const UNSUPPORTED: [i32; 3] = [78, 102, 45];
}

/// `ERROR_INVALID_FUNCTION`, `ERROR_NOT_SUPPORTED`, `ERROR_CALL_NOT_IMPLEMENTED`.
#[cfg(windows)]
mod number {
    pub(super) const ENOTTY: i32 = i32::MIN;
    pub(super) const ENOLCK: i32 = i32::MIN;
    pub(super) const UNSUPPORTED: [i32; 3] = [1, 50, 120];
}

#[cfg(all(test, target_os = "linux"))]
mod tests {
    use super::*;

    /// Numbers from Linux's `errno-base.h` and `errno.h` (asm-generic): EINVAL 22, ENOTTY 25, ENOLCK 37,
    /// ENOSYS 38, EOPNOTSUPP 95; EIO 5, ENOSPC 28 and EDQUOT 122 are faults, not lacks.
    #[test]
    fn what_a_disk_lacks_is_told_from_what_fails() {
        let kind = |lacking: fn(io::Error) -> io::Error, number| {
            lacking(io::Error::from_raw_os_error(number)).kind() == io::ErrorKind::Unsupported
        };
        for (number, sync, locks) in [
            (22, true, true),
            (25, true, false),
            (37, false, true),
            (38, true, true),
            (95, true, true),
            (5, false, false),
            (28, false, false),
            (122, false, false),
        ] {
            assert_eq!(kind(lacking_sync, number), sync, "{number}");
            assert_eq!(kind(lacking_locks, number), locks, "{number}");
        }
    }
}
