//! The machine's disk with folders in which writing fails, as on a full disk, a deleted folder or one
//! that does not sync, until a test says otherwise.

use std::collections::BTreeMap;
use std::io::{self, ErrorKind, Read};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

use record::RealDisk;
use record::file::{Disk, DiskFile, FileState, Locking};

/// What fails in a folder.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Fails {
    /// Appending, with this error; nothing is written.
    #[allow(dead_code, reason = "not every program that shares this needs it")]
    Writing(ErrorKind),
    /// Syncing, which is not supported.
    #[allow(dead_code, reason = "not every program that shares this needs it")]
    Syncing,
    /// Locking, which is not supported.
    #[allow(dead_code, reason = "not every program that shares this needs it")]
    Locking,
}

/// The disk; clones share what fails.
#[derive(Clone, Default)]
pub(crate) struct FailingDisk(Arc<Mutex<BTreeMap<PathBuf, Fails>>>);

impl FailingDisk {
    /// From now on this fails below a folder.
    #[allow(dead_code, reason = "not every program that shares this needs it")]
    pub(crate) fn fail(&self, folder: &Path, how: Fails) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).insert(folder.to_owned(), how);
    }

    /// All is well again below a folder.
    #[allow(dead_code, reason = "not every program that shares this needs it")]
    pub(crate) fn mend(&self, folder: &Path) {
        self.0.lock().unwrap_or_else(PoisonError::into_inner).remove(folder);
    }

    fn how(&self, path: &Path) -> Option<Fails> {
        let fails = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        fails.iter().find(|(folder, _)| path.starts_with(folder)).map(|(_, how)| *how)
    }

    fn wrapped(&self, path: &Path, file: Box<dyn DiskFile>) -> Box<dyn DiskFile> {
        Box::new(FailingFile { disk: self.clone(), path: path.to_owned(), file })
    }
}

impl Disk for FailingDisk {
    fn create_new(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        match self.how(path) {
            // A full disk still makes names.
            Some(Fails::Writing(kind)) if kind != ErrorKind::StorageFull => {
                Err(io::Error::from(kind))
            }
            _ => Ok(self.wrapped(path, RealDisk.create_new(path)?)),
        }
    }

    fn open_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        Ok(self.wrapped(path, RealDisk.open_append(path)?))
    }

    fn open_read(&self, path: &Path) -> io::Result<Box<dyn Read + Send>> {
        RealDisk.open_read(path)
    }

    fn state(&self, path: &Path) -> io::Result<FileState> {
        RealDisk.state(path)
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        RealDisk.rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        RealDisk.remove(path)
    }

    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        RealDisk.sync_folder(folder)
    }

    fn try_lock(&self, path: &Path, note: &str) -> io::Result<Locking> {
        if self.how(path) == Some(Fails::Locking) {
            return Err(io::Error::from(ErrorKind::Unsupported));
        }
        RealDisk.try_lock(path, note)
    }

    fn resolved(&self, path: &Path) -> PathBuf {
        RealDisk.resolved(path)
    }
}

struct FailingFile {
    disk: FailingDisk,
    path: PathBuf,
    file: Box<dyn DiskFile>,
}

impl Read for FailingFile {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        self.file.read(buffer)
    }
}

impl DiskFile for FailingFile {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        match self.disk.how(&self.path) {
            Some(Fails::Writing(kind)) => Err(io::Error::from(kind)),
            _ => self.file.append(bytes),
        }
    }

    fn sync(&mut self) -> io::Result<()> {
        match self.disk.how(&self.path) {
            Some(Fails::Syncing) => Err(io::Error::from(ErrorKind::Unsupported)),
            _ => self.file.sync(),
        }
    }

    fn try_lock(&mut self) -> io::Result<bool> {
        self.file.try_lock()
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        self.file.truncate(length)
    }

    fn state(&self) -> io::Result<FileState> {
        self.file.state()
    }
}
