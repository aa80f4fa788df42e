//! Pictures kept in a shop, each once, by the SHA-256 of its bytes; and whether one is still there and the same.

use core::fmt;
use std::ffi::OsString;
use std::fs;
use std::io::{self, Read as _, Write as _};
use std::path::{Path, PathBuf};

use sha2::{Digest as _, Sha256};

use super::Shop;
use crate::error::Error;
use crate::fact::is_sha256;
use crate::file::plain;
use crate::shown;

/// No picture of a unit is larger, bytes.
pub const LARGEST_PICTURE: u64 = 64 << 20;

/// Said of what is neither.
pub const NEITHER_PNG_NOR_JPEG: &str = "it is neither PNG nor JPEG";

/// Said of one that is larger.
const TOO_LARGE: &str = "it is larger than 64 MiB";

/// A picture in the shop's `pictures/`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptPicture {
    /// SHA-256 of its bytes, 64 hex digits.
    pub hash: String,
    /// `png` or `jpg`; of one that a reading rests on `pnm` or `tif` too.
    pub extension: String,
    /// Where it is kept.
    pub path: PathBuf,
}

/// What lies in a shop's `pictures/` under the name of one that a session names.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PictureFound {
    /// The picture: its bytes have the SHA-256 that the session names.
    Whole,
    /// Nothing.
    Missing,
    /// Something else: its bytes have another SHA-256.
    Another,
    /// Something that cannot be read: why.
    Unread(String),
}

impl PictureFound {
    /// It in a word: `whole`, `missing`, `another`, `unread`.
    #[must_use]
    pub const fn word(&self) -> &'static str {
        match self {
            Self::Whole => "whole",
            Self::Missing => "missing",
            Self::Another => "another",
            Self::Unread(_) => "unread",
        }
    }

    /// Looks in a shop's folder; without an extension any file of that SHA-256 will do.
    #[must_use]
    pub fn of(shop: &Path, hash: &str, extension: Option<&str>) -> Self {
        // What is no such number names no file: nothing outside the folder is looked at.
        let plain = |text: &str| text.bytes().all(|byte| byte.is_ascii_alphanumeric());
        if !is_sha256(hash) || !extension.is_none_or(plain) {
            return Self::Missing;
        }
        let folder = shop.join("pictures");
        let Some(extension) = extension else {
            let mut found = Self::Missing;
            for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
                let path = entry.path();
                if path.file_stem().is_some_and(|stem| stem == hash) {
                    found = Self::at(&path, hash);
                    if found == Self::Whole {
                        break;
                    }
                }
            }
            return found;
        };
        Self::at(&folder.join(format!("{hash}.{extension}")), hash)
    }

    /// The bytes of a picture in a shop's folder, whatever its extension: those that have the SHA-256, and no
    /// others.
    ///
    /// # Errors
    /// What lies there instead.
    pub fn bytes(shop: &Path, hash: &str) -> Result<Vec<u8>, Self> {
        Self::file(shop, hash).map(|(_, bytes)| bytes)
    }

    /// The same with the name of its file in the folder.
    ///
    /// # Errors
    /// As [`bytes`](Self::bytes).
    pub fn file(shop: &Path, hash: &str) -> Result<(OsString, Vec<u8>), Self> {
        if !is_sha256(hash) {
            return Err(Self::Missing);
        }
        let mut found = Self::Missing;
        for entry in fs::read_dir(shop.join("pictures")).into_iter().flatten().flatten() {
            let path = entry.path();
            if path.file_stem().is_none_or(|stem| stem != hash) {
                continue;
            }
            let mut bytes = Vec::new();
            let read = plain::open(&path)
                .and_then(|file| file.take(LARGEST_PICTURE + 1).read_to_end(&mut bytes));
            found = match read {
                Ok(_) if hex_of(&bytes) == hash => return Ok((entry.file_name(), bytes)),
                Ok(_) => Self::Another,
                Err(why) => Self::Unread(shown::system(&why)),
            };
        }
        Err(found)
    }

    fn at(path: &Path, hash: &str) -> Self {
        let held = plain::open(path).and_then(|file| sha256_of(file.take(LARGEST_PICTURE + 1)));
        match held {
            Ok(held) if held == hash => Self::Whole,
            Ok(_) => Self::Another,
            Err(why) if why.kind() == io::ErrorKind::NotFound => Self::Missing,
            Err(why) => Self::Unread(shown::system(&why)),
        }
    }
}

impl fmt::Display for PictureFound {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Whole => f.write_str("is kept whole in the shop’s pictures"),
            Self::Missing => f.write_str("is missing from the shop’s pictures"),
            Self::Another => f.write_str(
                "is not what lies under its name in the shop’s pictures: that has another SHA-256, so it was \
                 replaced or damaged",
            ),
            Self::Unread(why) => write!(f, "cannot be read in the shop’s pictures: {why}"),
        }
    }
}

impl Shop {
    /// Keeps a copy of a picture in `pictures/`, named after its SHA-256; one that is there already is
    /// not written again.
    ///
    /// # Errors
    /// [`Error::Io`] for what is no plain file or cannot be read or written, [`Error::NoPicture`] for what
    /// is neither PNG nor JPEG or larger than [`LARGEST_PICTURE`], and where what lies there under its
    /// name is something else.
    pub fn keep_picture(&self, from: &Path) -> Result<KeptPicture, Error> {
        let reading = |why| Error::io("read", from, why);
        let mut bytes = Vec::new();
        let file = plain::open(from).map_err(reading)?;
        file.take(LARGEST_PICTURE + 1).read_to_end(&mut bytes).map_err(reading)?;
        let no = |why| Error::NoPicture { path: from.to_owned(), why };
        if bytes.len() as u64 > LARGEST_PICTURE {
            return Err(no(TOO_LARGE));
        }
        self.keep_bytes_of(&bytes, from)
    }

    /// The same of bytes that were read already.
    pub(super) fn keep_bytes_of(&self, bytes: &[u8], from: &Path) -> Result<KeptPicture, Error> {
        let no = |why| Error::NoPicture { path: from.to_owned(), why };
        let extension = extension_of(bytes).ok_or_else(|| no(NEITHER_PNG_NOR_JPEG))?;
        self.keep_bytes(bytes, extension)
    }

    /// Keeps the picture that a reading rests on in `pictures/`, as it came, named after its SHA-256; one that
    /// is there already is not written again. `from` is where it came from.
    ///
    /// # Errors
    /// As [`keep_picture`](Self::keep_picture); PNM and TIFF pass too.
    pub fn keep_frame(&self, bytes: &[u8], from: &Path) -> Result<KeptPicture, Error> {
        let no = |why| Error::NoPicture { path: from.to_owned(), why };
        if bytes.len() as u64 > LARGEST_PICTURE {
            return Err(no(TOO_LARGE));
        }
        let extension = extension_of(bytes).or_else(|| frame_extension_of(bytes));
        self.keep_bytes(bytes, extension.ok_or_else(|| no("it is no PNG, JPEG, PNM or TIFF"))?)
    }

    fn keep_bytes(&self, bytes: &[u8], extension: &str) -> Result<KeptPicture, Error> {
        let hash = hex_of(bytes);
        let folder = self.folder.join("pictures");
        let path = folder.join(format!("{hash}.{extension}"));
        let kept = KeptPicture { hash, extension: extension.to_owned(), path };
        if kept.path.symlink_metadata().is_ok() {
            if self.holds_picture(&kept.hash, extension) {
                return Ok(kept);
            }
            let why = "it lies there under the name of another picture";
            return Err(Error::NoPicture { path: kept.path, why });
        }
        let writing = |why| Error::io("write", &kept.path, why);
        fs::create_dir_all(&folder).map_err(writing)?;
        let mut new = tempfile::NamedTempFile::new_in(&folder).map_err(writing)?;
        new.write_all(bytes).map_err(writing)?;
        new.as_file().sync_all().map_err(writing)?;
        new.persist_noclobber(&kept.path).map_err(|why| writing(why.error))?;
        Ok(kept)
    }

    /// Whether a picture is kept whole: its bytes have the SHA-256 it is named after.
    #[must_use]
    pub fn holds_picture(&self, hash: &str, extension: &str) -> bool {
        PictureFound::of(&self.folder, hash, Some(extension)) == PictureFound::Whole
    }
}

/// The SHA-256 of all that is read, 64 hex digits.
fn sha256_of(mut from: impl io::Read) -> io::Result<String> {
    let (mut hash, mut chunk) = (Sha256::new(), vec![0; 1 << 16]);
    loop {
        match from.read(&mut chunk) {
            Ok(0) => break,
            Ok(count) => hash.update(chunk.get(..count).unwrap_or_default()),
            Err(why) if why.kind() == io::ErrorKind::Interrupted => {}
            Err(why) => return Err(why),
        }
    }
    Ok(hash.finalize().iter().map(|byte| format!("{byte:02x}")).collect())
}

fn hex_of(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// What a file says it is: PNG's signature (ISO/IEC 15948, 5.2), JPEG's start of image (ITU-T T.81, B.1).
fn extension_of(bytes: &[u8]) -> Option<&'static str> {
    if bytes.starts_with(b"\x89PNG\r\n\x1a\n") {
        Some("png")
    } else if bytes.starts_with(b"\xff\xd8\xff") {
        Some("jpg")
    } else {
        None
    }
}

/// The same of what only a station's camera gives: PNM's magic number, TIFF's byte order and version (TIFF 6.0,
/// section 2).
fn frame_extension_of(bytes: &[u8]) -> Option<&'static str> {
    match bytes {
        [b'P', b'1'..=b'6', ..] => Some("pnm"),
        [b'I', b'I', b'*', 0, ..] | [b'M', b'M', 0, b'*', ..] => Some("tif"),
        _ => None,
    }
}
