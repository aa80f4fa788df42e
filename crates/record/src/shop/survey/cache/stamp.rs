//! By what a file is known again without reading all of it.

use std::fs::Metadata;
use std::io;
use std::path::Path;
use std::time::UNIX_EPOCH;

use serde::{Deserialize, Serialize};
use sha2::{Digest as _, Sha256};

use crate::file::{LONGEST_LINE, plain};
use crate::shop::{ListedFile, Listing};

/// A digest of half a SHA-256: it tells apart, it proves nothing.
pub(super) type Short = [u8; 16];

/// The short digest of some bytes.
pub(super) fn short(bytes: &[u8]) -> Short {
    half(Sha256::new_with_prefix(bytes))
}

fn half(digest: Sha256) -> Short {
    let digest = digest.finalize();
    core::array::from_fn(|index| digest.get(index).copied().unwrap_or_default())
}

/// What a file looked like: its length, its times as the file system says, and its last line, whose hash
/// hangs on every line before it.
///
/// A file that was written anew with its chain has another last line, whatever its times were set to. A
/// part in the middle that was changed to the same length without the chain leaves the last line as it
/// was; it is known by its times, of which the second cannot be set back where the system keeps it. What
/// a disk loses by itself leaves no trace here at all: only reading the file whole finds that.
#[derive(Clone, Debug, PartialEq, Eq, Deserialize, Serialize)]
pub(super) struct FileStamp {
    length: u64,
    /// Nanoseconds since 1970; 0 where the file system does not say.
    modified_ns: i128,
    /// The same of the last change of any kind, its name and times included; 0 where there is no such.
    changed_ns: i128,
    /// Where the last line begins.
    tail_at: u64,
    tail: Short,
}

/// So many bytes are read first where the last line begins is looked for.
const SHORT_TAIL: u64 = 4096;

/// No line that is read is longer: its BODY, what stands round it, LF.
const LONGEST_TAIL: u64 = LONGEST_LINE as u64 + 2;

impl FileStamp {
    /// Of a file as it is now.
    pub(super) fn of(path: &Path) -> io::Result<Self> {
        let length = plain::look(path)?.len();
        for most in [SHORT_TAIL, LONGEST_TAIL] {
            let from = length.saturating_sub(most);
            let (_, bytes) = plain::look_from(path, from, most)?;
            let before_end = bytes.len().saturating_sub(1);
            let line_end = bytes.iter().take(before_end).rposition(|byte| *byte == b'\n');
            if let Some(at) = line_end {
                return Self::with_tail(path, from + at as u64 + 1);
            }
            if from == 0 {
                break;
            }
        }
        Self::with_tail(path, length.saturating_sub(LONGEST_TAIL))
    }

    /// Whether a file still looks like this.
    pub(super) fn still_holds(&self, path: &Path) -> bool {
        Self::with_tail(path, self.tail_at).is_ok_and(|now| now == *self)
    }

    /// The same of one that was just listed.
    pub(super) fn still_holds_of(&self, listing: &Listing, listed: &ListedFile) -> bool {
        if !listed.plain {
            return self.still_holds(&listing.path_of(listed));
        }
        let (mut tail, at) = (Sha256::new(), self.tail_at);
        let take = |piece: &[u8]| tail.update(piece);
        let looked = listing.folder().look_through(listed.name(), at, LONGEST_TAIL, take);
        looked.is_ok_and(|metadata| Self::told(&metadata, at, tail) == *self)
    }

    fn with_tail(path: &Path, tail_at: u64) -> io::Result<Self> {
        let mut tail = Sha256::new();
        let take = |piece: &[u8]| tail.update(piece);
        let metadata = plain::look_through(path, tail_at, LONGEST_TAIL, take)?;
        Ok(Self::told(&metadata, tail_at, tail))
    }

    fn told(metadata: &Metadata, tail_at: u64, tail: Sha256) -> Self {
        let since = |time: io::Result<std::time::SystemTime>| {
            let since = time.ok().and_then(|time| time.duration_since(UNIX_EPOCH).ok());
            since.map_or(0, |since| i128::try_from(since.as_nanos()).unwrap_or_default())
        };
        Self {
            length: metadata.len(),
            modified_ns: since(metadata.modified()),
            changed_ns: changed_ns(metadata),
            tail_at,
            tail: half(tail),
        }
    }
}

#[cfg(unix)]
fn changed_ns(metadata: &Metadata) -> i128 {
    use std::os::unix::fs::MetadataExt as _;
    i128::from(metadata.ctime()) * 1_000_000_000 + i128::from(metadata.ctime_nsec())
}

#[cfg(not(unix))]
fn changed_ns(_: &Metadata) -> i128 {
    0
}
