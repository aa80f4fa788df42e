//! Only plain files are read: a pipe or a device may keep its reader waiting for ever, and opening
//! one may already do something.

use std::fs::{File, FileType, Metadata};
use std::io::{self, Read, Seek as _, SeekFrom};
use std::path::Path;

/// Refuses what is no plain file, before it is opened. Links are followed.
///
/// # Errors
/// As the system says, or what is there instead of a file.
pub fn look(path: &Path) -> io::Result<Metadata> {
    let metadata = std::fs::metadata(path)?;
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
    mut take: impl FnMut(&[u8]),
) -> io::Result<Metadata> {
    let metadata = look(path)?;
    let mut left = metadata.len().saturating_sub(at).min(most);
    if left == 0 {
        return Ok(metadata);
    }
    let mut file = File::open(path)?;
    file.seek(SeekFrom::Start(at))?;
    let mut room = [0; PIECE];
    while left > 0 {
        let wanted = usize::try_from(left).map_or(PIECE, |left| left.min(PIECE));
        match file.read(room.get_mut(..wanted).unwrap_or_default()) {
            Ok(0) => break,
            Ok(read) => {
                take(room.get(..read).unwrap_or_default());
                left = left.saturating_sub(read as u64);
            }
            Err(why) if why.kind() == io::ErrorKind::Interrupted => {}
            Err(why) => return Err(why),
        }
    }
    Ok(metadata)
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
