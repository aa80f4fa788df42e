//! A file that is there and cannot be read for what it should be: told so that it can be known again.

use core::fmt;
use std::io::Read as _;
use std::path::{Path, PathBuf};

use sha2::{Digest as _, Sha256};

use crate::error::Error;
use crate::fact::FileMark;
use crate::file::disk::Disk;
use crate::file::scan::LARGEST_FILE;
use crate::shown;

/// Such a file.
#[derive(Clone, Debug)]
pub struct Unread {
    /// Which.
    pub path: PathBuf,
    /// Why it cannot be read.
    pub why: Error,
    /// Its length and the SHA-256 of its bytes, 64 hex digits; `None` where not even they can be read.
    pub held: Option<(u64, String)>,
}

impl Unread {
    /// A file that was refused, as it lies there.
    #[must_use]
    pub fn of(path: PathBuf, why: Error, disk: &dyn Disk) -> Self {
        let held = held(&path, disk);
        Self { path, why, held }
    }

    /// Its name.
    #[must_use]
    pub fn name(&self) -> String {
        shown::path(self.path.file_name().map_or(&self.path, Path::new))
    }

    /// What is said for ever in a file that is begun while it lies there.
    #[must_use]
    pub fn beside(&self) -> FileMark {
        let what = match &self.why {
            Error::WrongFile { what, .. } => shown::one_line(what).into_owned(),
            Error::Damaged { damage, .. } => damage.to_string(),
            Error::NewerFormat { format, .. } => {
                format!("it is of format {format}, which a later program writes")
            }
            Error::Io { why, .. } => shown::system(why),
            other => other.to_string(),
        };
        let held = match &self.held {
            Some((bytes, sha256)) => {
                let bytes = crate::figures::counted(*bytes as usize, "byte", "bytes");
                format!("it has {bytes}, SHA-256 {sha256}")
            }
            None => "its bytes cannot be read".to_owned(),
        };
        let what = what.trim_end_matches('.');
        FileMark::BegunBeside {
            file: self.name(),
            why: format!("it could not be read: {what}; {held}"),
        }
    }
}

impl fmt::Display for Unread {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.why.fmt(f)
    }
}

/// Length and hash of a file that is no longer than any that is read.
fn held(path: &Path, disk: &dyn Disk) -> Option<(u64, String)> {
    let mut bytes = disk.open_read(path).ok()?.take(LARGEST_FILE + 1);
    let (mut hash, mut length, mut chunk) = (Sha256::new(), 0, vec![0; 1 << 16]);
    loop {
        let count = bytes.read(&mut chunk).ok()?;
        if count == 0 {
            break;
        }
        hash.update(chunk.get(..count)?);
        length += count as u64;
    }
    let digest = hash.finalize();
    let sha256 = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    (length <= LARGEST_FILE).then_some((length, sha256))
}
