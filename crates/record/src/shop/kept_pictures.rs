//! Pictures kept in a shop, each once, by the SHA-256 of its bytes.

use std::fs;
use std::io::{Read as _, Write as _};
use std::path::{Path, PathBuf};

use sha2::{Digest as _, Sha256};

use super::Shop;
use crate::error::Error;
use crate::file::plain;

/// No picture of a unit is larger, bytes.
pub const LARGEST_PICTURE: u64 = 64 << 20;

/// A picture in the shop's `pictures/`.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct KeptPicture {
    /// SHA-256 of its bytes, 64 hex digits.
    pub hash: String,
    /// `png` or `jpg`.
    pub extension: String,
    /// Where it is kept.
    pub path: PathBuf,
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
            return Err(no("it is larger than 64 MiB"));
        }
        let extension = extension_of(&bytes).ok_or_else(|| no("it is neither PNG nor JPEG"))?;
        let hash = hex_of(&bytes);
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
        new.write_all(&bytes).map_err(writing)?;
        new.as_file().sync_all().map_err(writing)?;
        new.persist_noclobber(&kept.path).map_err(|why| writing(why.error))?;
        Ok(kept)
    }

    /// Whether a picture is kept whole: its bytes have the SHA-256 it is named after.
    #[must_use]
    pub fn holds_picture(&self, hash: &str, extension: &str) -> bool {
        let path = self.folder.join("pictures").join(format!("{hash}.{extension}"));
        let mut bytes = Vec::new();
        let read = plain::open(&path)
            .and_then(|file| file.take(LARGEST_PICTURE + 1).read_to_end(&mut bytes));
        read.is_ok() && hex_of(&bytes) == hash
    }
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
