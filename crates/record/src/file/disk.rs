//! The disk, as little of it as a session needs, behind a trait so that its faults can be made.

use std::fs::{File, OpenOptions, TryLockError};
use std::io::{self, Read, Write};
use std::path::Path;

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

    /// Length and identity of what lies under a name now.
    ///
    /// # Errors
    /// As the system says; `NotFound` when nothing does.
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
    /// or reads the note of who has it.
    ///
    /// # Errors
    /// As the system says; `Unsupported` where files cannot be locked.
    fn try_lock(&self, path: &Path, note: &str) -> io::Result<Locking>;
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
        Ok(Box::new(RealFile(file)))
    }

    fn open_append(&self, path: &Path) -> io::Result<Box<dyn DiskFile>> {
        let file = OpenOptions::new().read(true).append(true).open(path)?;
        Ok(Box::new(RealFile(file)))
    }

    fn open_read(&self, path: &Path) -> io::Result<Box<dyn Read + Send>> {
        let file = File::open(path)?;
        if file.metadata()?.is_dir() {
            return Err(io::Error::from(io::ErrorKind::IsADirectory));
        }
        Ok(Box::new(file))
    }

    fn state(&self, path: &Path) -> io::Result<FileState> {
        std::fs::metadata(path).map(|metadata| state_of(&metadata))
    }

    fn rename(&self, from: &Path, to: &Path) -> io::Result<()> {
        std::fs::rename(from, to)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        std::fs::remove_file(path)
    }

    #[cfg(unix)]
    fn sync_folder(&self, folder: &Path) -> io::Result<()> {
        File::open(folder)?.sync_all()
    }

    // Elsewhere a folder cannot be opened as a file, and new names last by themselves.
    #[cfg(not(unix))]
    fn sync_folder(&self, _folder: &Path) -> io::Result<()> {
        Ok(())
    }

    fn try_lock(&self, path: &Path, note: &str) -> io::Result<Locking> {
        let mut file =
            OpenOptions::new().read(true).write(true).create(true).truncate(false).open(path)?;
        match file.try_lock() {
            Ok(()) => {
                // The note only tells others; the lock holds without it.
                let _ = file.set_len(0).and_then(|()| file.write_all(note.as_bytes()));
                Ok(Locking::Held(Box::new(file)))
            }
            Err(TryLockError::WouldBlock) => {
                let mut held = String::new();
                let _ = file.take(LONGEST_NOTE).read_to_string(&mut held);
                Ok(Locking::Taken(held))
            }
            Err(TryLockError::Error(why)) => Err(as_unsupported(why)),
        }
    }
}

struct RealFile(File);

impl Read for RealFile {
    fn read(&mut self, buffer: &mut [u8]) -> io::Result<usize> {
        self.0.read(buffer)
    }
}

impl DiskFile for RealFile {
    fn append(&mut self, bytes: &[u8]) -> io::Result<()> {
        self.0.write_all(bytes)
    }

    fn sync(&mut self) -> io::Result<()> {
        self.0.sync_all().map_err(as_unsupported)
    }

    fn truncate(&mut self, length: u64) -> io::Result<()> {
        self.0.set_len(length)
    }

    fn state(&self) -> io::Result<FileState> {
        self.0.metadata().map(|metadata| state_of(&metadata))
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

/// Some file systems say "invalid" (`EINVAL`) or "no locks" (`ENOLCK`) for what they lack.
fn as_unsupported(why: io::Error) -> io::Error {
    const ENOLCK: i32 = 37;
    let lacking = why.kind() == io::ErrorKind::InvalidInput
        || (cfg!(target_os = "linux") && why.raw_os_error() == Some(ENOLCK));
    if lacking { io::Error::new(io::ErrorKind::Unsupported, why) } else { why }
}
