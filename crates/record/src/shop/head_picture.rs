//! The picture at the head of a shop's papers: `letterhead-picture.ron` in its folder names it by its SHA-256, and it
//! lies in `pictures/` as it came. A file of its own: a program that knows no such picture still reads the letterhead.

use std::path::Path;

use super::{KeptPicture, PictureFound, Shop};
use crate::error::Error;
use crate::fact::is_sha256;
use crate::fact::texts::texts;
use crate::validate::Checked;

/// The file's name.
pub const HEAD_PICTURE_FILE: &str = "letterhead-picture.ron";

/// No such picture is larger, bytes.
pub const LARGEST_HEAD_PICTURE: u64 = 4 << 20;

/// Which picture it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HeadPicture {
    /// SHA-256 of its bytes, 64 hex digits; `None` where the papers are to have none any more.
    pub sha256: Option<String>,
}

texts!(HeadPicture { sha256; });

impl HeadPicture {
    /// It in a few words, as a hand tells one from another.
    #[must_use]
    pub fn told(&self) -> String {
        let sum = self.sha256.as_ref().map(|sum| sum.chars().take(12).collect::<String>());
        sum.map_or_else(|| "none".to_owned(), |sum| format!("SHA-256 {sum}…"))
    }
}

impl Checked for HeadPicture {
    fn check(&self) -> Result<(), Error> {
        match &self.sha256 {
            Some(sum) if !is_sha256(sum) => Err(Error::NotASha256 { field: "sha256".to_owned() }),
            _ => Ok(()),
        }
    }
}

impl Shop {
    /// Keeps the bytes of a picture for the head of the shop's papers in `pictures/`, named after their SHA-256.
    /// `from` is where they came from. Which picture the papers have is for [`edit`](Self::edit) to say.
    ///
    /// # Errors
    /// As [`keep_picture`](Self::keep_picture), of a smaller size.
    pub fn keep_head_picture(&self, bytes: &[u8], from: &Path) -> Result<KeptPicture, Error> {
        if bytes.len() as u64 > LARGEST_HEAD_PICTURE {
            let why = "it is larger than 4 MiB";
            return Err(Error::NoPicture { path: from.to_owned(), why });
        }
        self.keep_bytes_of(bytes, from)
    }

    /// What lies in the place of the picture that the shop's papers are to have; `None` where they are to have none.
    #[must_use]
    pub fn head_picture_found(&self) -> Option<PictureFound> {
        let sum = self.head_picture.as_ref()?.sha256.as_ref()?;
        Some(PictureFound::of(&self.folder, sum, None))
    }
}
