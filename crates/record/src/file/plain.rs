//! Only plain files are read: a pipe or a device may keep its reader waiting for ever, and opening
//! one may already do something.

use std::ffi::OsStr;
use std::fs::{File, FileType, Metadata};
use std::io::{self, Read};
use std::path::{Path, PathBuf};

/// Refuses what is no plain file, before it is opened. Links are followed.
///
/// # Errors
/// As the system says, or what is there instead of a file.
pub fn look(path: &Path) -> io::Result<Metadata> {
    plain(std::fs::metadata(path)?)
}

fn plain(metadata: Metadata) -> io::Result<Metadata> {
    match other_than_a_file(metadata.file_type()) {
        None => Ok(metadata),
        Some(what) if metadata.is_dir() => Err(io::Error::new(io::ErrorKind::IsADirectory, what)),
        Some(what) => Err(io::Error::other(what)),
    }
}

/// Opens a plain file to read.
///
/// A file that says it holds nothing is read as empty: among the system's own there are some that
/// say so and never end.
///
/// # Errors
/// As [`look`], and as the system says.
pub fn open(path: &Path) -> io::Result<io::Take<File>> {
    let metadata = look(path)?;
    let most = if metadata.len() == 0 { 0 } else { u64::MAX };
    Ok(File::open(path)?.take(most))
}

/// What a plain file is said to be, and what it holds from `at` on, `most` bytes at most. One that says it
/// holds nothing is not read.
///
/// # Errors
/// As [`open`].
pub fn look_from(path: &Path, at: u64, most: u64) -> io::Result<(Metadata, Vec<u8>)> {
    let mut bytes = Vec::new();
    let metadata = look_through(path, at, most, |piece| bytes.extend_from_slice(piece))?;
    Ok((metadata, bytes))
}

/// So much is read at a time, bytes.
const PIECE: usize = 4096;

/// The same, handed over piece by piece: who looks through many files holds none of them.
///
/// # Errors
/// As [`open`].
pub fn look_through(
    path: &Path,
    at: u64,
    most: u64,
    take: impl FnMut(&[u8]),
) -> io::Result<Metadata> {
    let metadata = look(path)?;
    let left = metadata.len().saturating_sub(at).min(most);
    if left > 0 {
        pass_on(&File::open(path)?, at, left, take)?;
    }
    Ok(metadata)
}

/// A folder many of whose files are looked at. Where the system can hold it, each is looked for in it and not along
/// the whole path again, and all are of one folder, whatever is called so meanwhile.
pub struct HeldFolder {
    path: PathBuf,
    #[cfg(unix)]
    held: Option<std::os::fd::OwnedFd>,
}

impl HeldFolder {
    /// One that may not be there, or be no folder: then none of its files is.
    #[must_use]
    pub fn new(path: &Path) -> Self {
        Self {
            path: path.to_owned(),
            #[cfg(unix)]
            held: {
                use rustix::fs::{Mode, OFlags, open};
                let how = OFlags::RDONLY | OFlags::CLOEXEC | OFlags::DIRECTORY;
                rustix::io::retry_on_intr(|| open(path, how, Mode::empty())).ok()
            },
        }
    }

    /// Where it lay.
    #[must_use]
    pub fn path(&self) -> &Path {
        &self.path
    }

    /// As [`look_through`], of a file that the folder has just told to be a plain one. It is opened at once and asked
    /// afterwards what it is, so that it is found once and not twice; on a share, what is told of an open file is
    /// newer, too.
    ///
    /// # Errors
    /// As [`open`].
    pub fn look_through(
        &self,
        name: &OsStr,
        at: u64,
        most: u64,
        take: impl FnMut(&[u8]),
    ) -> io::Result<Metadata> {
        let file = self.open_at_once(name)?;
        let metadata = plain(file.metadata()?)?;
        pass_on(&file, at, metadata.len().saturating_sub(at).min(most), take)?;
        Ok(metadata)
    }

    /// Should it be a pipe by now, nobody waits for its other end.
    #[cfg(unix)]
    fn open_at_once(&self, name: &OsStr) -> io::Result<File> {
        use rustix::fs::{Mode, OFlags, openat};
        let held = self.held.as_ref().ok_or(io::ErrorKind::NotFound)?;
        let how = OFlags::RDONLY | OFlags::CLOEXEC | OFlags::NONBLOCK | OFlags::NOCTTY;
        let opened = rustix::io::retry_on_intr(|| openat(held, name, how, Mode::empty()))?;
        Ok(opened.into())
    }

    #[cfg(not(unix))]
    fn open_at_once(&self, name: &OsStr) -> io::Result<File> {
        File::open(self.path.join(name))
    }
}

fn pass_on(file: &File, mut at: u64, mut left: u64, mut take: impl FnMut(&[u8])) -> io::Result<()> {
    let mut room = [0; PIECE];
    while left > 0 {
        let wanted = usize::try_from(left).map_or(PIECE, |left| left.min(PIECE));
        match read_at(file, room.get_mut(..wanted).unwrap_or_default(), at) {
            Ok(0) => break,
            Ok(read) => {
                take(room.get(..read).unwrap_or_default());
                at = at.saturating_add(read as u64);
                left = left.saturating_sub(read as u64);
            }
            Err(why) if why.kind() == io::ErrorKind::Interrupted => {}
            Err(why) => return Err(why),
        }
    }
    Ok(())
}

#[cfg(unix)]
fn read_at(file: &File, room: &mut [u8], at: u64) -> io::Result<usize> {
    std::os::unix::fs::FileExt::read_at(file, room, at)
}

#[cfg(windows)]
fn read_at(file: &File, room: &mut [u8], at: u64) -> io::Result<usize> {
    std::os::windows::fs::FileExt::seek_read(file, room, at)
}

/// The text of a small plain file.
///
/// # Errors
/// As [`open`]; `FileTooLarge` past `most` bytes, `InvalidData` when it is not UTF-8.
pub fn read_text(path: &Path, most: u64) -> io::Result<String> {
    let mut bytes = Vec::new();
    open(path)?.take(most.saturating_add(1)).read_to_end(&mut bytes)?;
    if bytes.len() as u64 > most {
        let why = format!("it is larger than {most} bytes, the most such a file may hold");
        return Err(io::Error::new(io::ErrorKind::FileTooLarge, why));
    }
    String::from_utf8(bytes)
        .map_err(|_| io::Error::new(io::ErrorKind::InvalidData, "it is not text in UTF-8"))
}

fn other_than_a_file(kind: FileType) -> Option<&'static str> {
    if kind.is_file() {
        return None;
    }
    if kind.is_dir() {
        return Some("this is a folder; choose a file");
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::FileTypeExt as _;
        if kind.is_fifo() {
            return Some("this is a pipe; save what comes out of it in a file first");
        }
        if kind.is_socket() {
            return Some("this is a socket; choose a file");
        }
        if kind.is_char_device() || kind.is_block_device() {
            return Some("this is a device; choose a file");
        }
    }
    Some("this is no plain file; choose another")
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

    use super::*;

    /// Both ways of looking read the same bytes, wherever they begin and however many are wanted.
    #[test]
    fn what_is_opened_at_once_reads_as_what_is_looked_at_first() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("one");
        let bytes: Vec<u8> = (0..3 * PIECE + 17).map(|at| (at % 251) as u8).collect();
        std::fs::write(&path, &bytes).unwrap();
        let held = HeldFolder::new(folder.path());
        let all = bytes.len() as u64;
        for at in [0, 1, PIECE as u64, all - 1, all, all + 5] {
            for most in [0, 1, PIECE as u64 + 1, u64::MAX] {
                let (mut first, mut second): (Vec<u8>, Vec<u8>) = Default::default();
                let one = look_through(&path, at, most, |piece| first.extend(piece)).unwrap();
                let take = |piece: &[u8]| second.extend(piece);
                let two = held.look_through(OsStr::new("one"), at, most, take).unwrap();
                assert_eq!(first, second, "{most} from {at}");
                let wanted = all.saturating_sub(at).min(most);
                assert_eq!(first.len() as u64, wanted, "{most} from {at}");
                assert_eq!((one.len(), one.modified().unwrap()), (all, two.modified().unwrap()));
            }
        }
    }

    /// A name that was listed as a file's and is a pipe's or a folder's by now keeps nobody waiting.
    #[cfg(unix)]
    #[test]
    fn what_is_no_file_any_more_is_refused_at_once() {
        let folder = tempfile::tempdir().unwrap();
        let pipe = folder.path().join("pipe");
        assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
        let held = HeldFolder::new(folder.path());
        for (name, why) in [("pipe", "pipe"), (".", "folder")] {
            let refused = held.look_through(OsStr::new(name), 0, 9, |_| {}).unwrap_err();
            assert!(refused.to_string().contains(why), "{refused}");
        }
        let no_folder = HeldFolder::new(&folder.path().join("pipe"));
        no_folder.look_through(OsStr::new("one"), 0, 9, |_| {}).unwrap_err();
    }
}
