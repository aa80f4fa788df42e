//! The disk, as little of it as a session needs, behind a trait so that its faults can be made.

use std::fs::File;
use std::io::{self, Read, Write as _};
use std::path::{Path, PathBuf};

use crate::file::{plain, system};

pub use crate::file::system::{FileState, Locking};

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
    /// As the system says; `ResourceBusy` where somebody keeps us out already by having it open.
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

/// The disk of the machine.
#[derive(Clone, Copy, Debug, Default)]
pub struct RealDisk;

impl Disk for RealDisk {
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let file = system::open_to_append(true, path)?;
        Ok(Box::new(RealFile { file, empty: false }))
    }

    fn open_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let empty = plain::look(path)?.len() == 0;
        let file = system::open_to_append(false, path)?;
        Ok(Box::new(RealFile { file, empty }))
    }

    fn open_read(&self, path: &Path) -> io::Result<Box<dyn Read + Send>> {
        Ok(Box::new(plain::open(path)?))
    }

    fn state(&self, path: &Path) -> io::Result<FileState> {
        system::state_under(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        std::fs::rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        std::fs::remove_file(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        system::sync_folder(folder)
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
        system::try_lock(path, note)
    }

    fn resolved(&self, path: &Path) -> PathBuf {
        path.canonicalize().unwrap_or_else(|_| path.to_owned())
    }
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
        self.file.sync_all().map_err(system::lacking_sync)
    }

    fn try_lock(&mut self) -> io::Result<bool> {
        system::holds_writers_off(&self.file)
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        self.file.set_len(length)
    }

    fn state(&self) -> io::Result<FileState> {
        system::state_of(&self.file)
    }
}
