//! The disk, as little of it as a session needs, behind a trait so that its faults can be made.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Read, Seek as _, Write};
use std::path::{Path, PathBuf};

use crate::file::plain;

/// What a session asks of a disk.
pub trait Disk: Send + Sync {
    /// Makes a file that must not exist yet, to append to and read.
    ///
    /// # Errors
    /// As the system says; `AlreadyExists` when there is one.
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;

    /// Opens a file that exists, to read from its start and append to.
    ///
    /// # Errors
    /// As the system says.
    fn open_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>>;

    /// Opens a file to read.
    ///
    /// # Errors
    /// As the system says.
    fn open_read(&self, path: &Path) -> io::Result<Box<dyn Read + Send>>;

    /// Length and identity of the file that lies under a name now.
    ///
    /// # Errors
    /// As the system says; `NotFound` when nothing does, and what is there when it is no plain file.
    fn state(&self, path: &Path) -> io::Result<FileState>;

    /// Gives a file another name in the same folder.
    ///
    /// # Errors
    /// As the system says.
    fn rename(&self, from: &Path, to: &Path) -> io::Result<()>;

    /// Takes a file away.
    ///
    /// # Errors
    /// As the system says.
    fn remove(&self, path: &Path) -> io::Result<()>;

    /// Makes new names in a folder last.
    ///
    /// # Errors
    /// As the system says.
    fn sync_folder(&self, folder: &Path) -> io::Result<()>;

    /// Takes the lock that a file stands for, making the file if need be, and leaves a note in it;
    /// or reads the note of who has it. What does not look like a lock's note is never written over,
    /// and a link is not followed.
    ///
    /// # Errors
    /// As the system says; `Unsupported` where files cannot be locked.
    fn try_lock(&self, path: &Path, note: &str) -> io::Result<Locking>;

    /// Where a name leads, links followed, so that two names of one file have one lock; the name
    /// itself where that cannot be told.
    fn resolved(&self, path: &Path) -> PathBuf {
        path.to_owned()
    }
}

/// An open file.
pub trait DiskFile: Read + Send {
    /// Writes all bytes at the end.
    ///
    /// # Errors
    /// As the system says; some of the bytes may have been written.
    fn append(&mut self, bytes: &[u8]) -> io::Result<()>;

    /// Returns once everything written would survive a power cut.
    ///
    /// # Errors
    /// As the system says; `Unsupported` where that cannot be had.
    fn sync(&mut self) -> io::Result<()>;

    /// Keeps other writers of this very file out for as long as it is open, under whichever name
    /// they come; readers are let in. `false`: somebody keeps us out.
    ///
    /// # Errors
    /// As the system says; `Unsupported` where files cannot be locked.
    fn try_lock(&mut self) -> io::Result<bool>;

    /// Cuts the file.
    ///
    /// # Errors
    /// As the system says.
    fn truncate(&mut self, length: u64) -> io::Result<()>;

    /// Its own length and identity, whatever lies under its name now.
    ///
    /// # Errors
    /// As the system says.
    fn state(&self) -> io::Result<FileState>;
}

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

/// The disk of the machine.
#[derive(Clone, Copy, Debug, Default)]
pub struct RealDisk;

/// A note longer than this is not ours.
const LONGEST_NOTE: u64 = 4096;

impl Disk for RealDisk {
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let file = OpenOptions::new().read(true).append(true).create_new(true).open(path)?;
        Ok(Box::new(RealFile { file, empty: false }))
    }

    fn open_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let empty = plain::look(path)?.len() == 0;
        let file = OpenOptions::new().read(true).append(true).open(path)?;
        Ok(Box::new(RealFile { file, empty }))
    }

    fn open_read(&self, path: &Path) -> io::Result<Box<dyn Read + Send>> {
        Ok(Box::new(plain::open(path)?))
    }

    fn state(&self, path: &Path) -> io::Result<FileState> {
        plain::look(path).map(|metadata| state_of(&metadata))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        std::fs::rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        std::fs::remove_file(path)
    }

    #[cfg(unix)]
    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        // A folder may be written to and not read: then its names cannot be made to last.
        let folder = File::open(folder).map_err(|why| match why.kind() {
            io::ErrorKind::PermissionDenied => io::Error::new(io::ErrorKind::Unsupported, why),
            _ => why,
        })?;
        folder.sync_all().map_err(lacking_sync)
    }

    // Elsewhere a folder cannot be opened as a file, and new names last by themselves.
    #[cfg(not(unix))]
    fn sync_folder(&self, _folder: &Path) -> io::Result<()> {
        Ok(())
    }

    fn try_lock(&self, path: &Path, note: &str) -> io::Result<Locking> {
        // Somebody may have put a link, a pipe or another file where the lock belongs.
        match std::fs::symlink_metadata(path) {
            Ok(there) if !there.is_file() => {
                return Err(io::Error::other("what lies there is no lock file; move it away"));
            }
            Err(why) if why.kind() != io::ErrorKind::NotFound => return Err(why),
            _ => {}
        }
        let mut file =
            OpenOptions::new().read(true).write(true).create(true).truncate(false).open(path)?;
        match file.try_lock() {
            Ok(()) => {
                // The note only tells others; the lock holds without it.
                if holds_a_note(&mut file).unwrap_or(false) {
                    let _ = file
                        .set_len(0)
                        .and_then(|()| file.rewind())
                        .and_then(|()| file.write_all(note.as_bytes()));
                }
                Ok(Locking::Held(Box::new(file)))
            }
            Err(TryLockError::WouldBlock) => {
                let mut held = String::new();
                let _ = file.take(LONGEST_NOTE).read_to_string(&mut held);
                Ok(Locking::Taken(held))
            }
            Err(TryLockError::Error(why)) => Err(lacking_locks(why)),
        }
    }

    fn resolved(&self, path: &Path) -> PathBuf {
        path.canonicalize().unwrap_or_else(|_| path.to_owned())
    }
}

/// Whether a lock file holds an earlier note or nothing, and so may be written anew.
fn holds_a_note(file: &mut File) -> io::Result<bool> {
    let mut there = Vec::new();
    file.take(LONGEST_NOTE + 1).read_to_end(&mut there)?;
    let ours = there.is_empty() || (there.starts_with(b"(") && there.ends_with(b")"));
    Ok(ours && there.len() as u64 <= LONGEST_NOTE)
}

struct RealFile {
    file: File,
    /// It said that it held nothing, and is taken at its word.
    empty: bool,
}

impl Read for RealFile {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        if self.empty { Ok(0) } else { self.file.read(buffer) }
    }
}

impl DiskFile for RealFile {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.file.write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.file.sync_all().map_err(lacking_sync)
    }

    // By hints that only those who ask for a lock see, where the system has such locks.
    #[cfg(unix)]
    fn try_lock(&mut self) -> io::Result<bool> {
        match self.file.try_lock() {
            Ok(()) => Ok(true),
            Err(TryLockError::WouldBlock) => Ok(false),
            Err(TryLockError::Error(why)) => Err(lacking_locks(why)),
        }
    }

    // Elsewhere a lock on the file itself would keep readers out: the lock file beside it and the
    // comparing of lengths must do.
    #[cfg(not(unix))]
    fn try_lock(&mut self) -> io::Result<bool> {
        Ok(true)
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        self.file.set_len(length)
    }

    fn state(&self) -> io::Result<FileState> {
        self.file.metadata().map(|metadata| state_of(&metadata))
    }
}

#[cfg(unix)]
fn state_of(metadata: &std::fs::Metadata) -> FileState {
    use std::os::unix::fs::MetadataExt;
    FileState { length: metadata.len(), identity: (metadata.dev(), metadata.ino()) }
}

// Without a stable file number the moment of creation stands in for it.
#[cfg(not(unix))]
fn state_of(metadata: &std::fs::Metadata) -> FileState {
    let created = metadata.created().ok();
    let since = created.and_then(|time| time.duration_since(std::time::UNIX_EPOCH).ok());
    let identity = since.map_or((0, 0), |d| (d.as_secs(), u64::from(d.subsec_nanos())));
    FileState { length: metadata.len(), identity }
}

/// What a file system says that cannot sync: that the call is invalid, unknown or not supported, or no
/// call for what this is.
fn lacking_sync(why: io::Error) -> io::Error {
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

// What the standard library tells by kind is all that is known there.
#[cfg(not(unix))]
mod number {
    pub(super) const ENOTTY: i32 = i32::MIN;
    pub(super) const ENOLCK: i32 = i32::MIN;
    pub(super) const UNSUPPORTED: [i32; 3] = [i32::MIN; 3];
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
