//! One file of the shop: RON for hands to read and write, `(format: 1, station: (…))`.

use std::fs;
use std::io::{self, Write as _};
use std::path::Path;

use ron::extensions::Extensions;
use serde::Serialize;
use serde::de::DeserializeOwned;

use super::head_picture::HeadPicture;
use super::letterhead::Letterhead;
use super::parts::stock::Stock;
use super::parts::wire::ShelfFile;
use super::rules::ShopRules;
use super::wording::Wording;
use super::{Kept, free_name};
use crate::camera_file::CameraFile;
use crate::error::Error;
use crate::fact::Camera;
use crate::fact::texts::{Texts, plainly};
use crate::file::bad_field::BadField;
use crate::file::plain;
use crate::file::v1;
use crate::file::v1::wire::Wire;
use crate::hands::Hand;
use crate::hands::wire::{HandFile, HeadPictureFile, LetterheadFile, RulesFile, WordingFile};
use crate::housing::Housing;
use crate::station::Station;
use crate::unit::Unit;
use crate::validate::Checked;
use crate::window::NamedWindow;

/// A file of the shop is small; one larger than this is something else.
pub(super) const LARGEST_FILE: u64 = 1 << 20;

/// Something a shop keeps in a file of its own.
pub(crate) trait ShopItem: Checked + Texts + Sized {
    /// Its words.
    type Words: Wire<Self> + Serialize + DeserializeOwned;
    /// The format its words say they are in.
    fn format(words: &Self::Words) -> u32;
    /// What its file is named after.
    fn name(&self) -> &str;
}

macro_rules! item {
    ($($kind:ident as $words:ident),*) => {$(
        impl ShopItem for $kind {
            type Words = v1::$words;
            fn format(words: &v1::$words) -> u32 {
                words.format
            }
            fn name(&self) -> &str {
                &self.name
            }
        }
    )*};
}
item!(Station as Station, NamedWindow as Window, Housing as Housing, Unit as Unit);

impl ShopItem for Camera {
    type Words = CameraFile;
    fn format(words: &CameraFile) -> u32 {
        words.format
    }
    fn name(&self) -> &str {
        &self.name
    }
}

impl ShopItem for Hand {
    type Words = HandFile;
    fn format(words: &HandFile) -> u32 {
        words.format
    }
    #[expect(clippy::misnamed_getters, reason = "a hand’s file is named after its initials")]
    fn name(&self) -> &str {
        &self.initials
    }
}

impl ShopItem for ShopRules {
    type Words = RulesFile;
    fn format(words: &RulesFile) -> u32 {
        words.format
    }
    fn name(&self) -> &str {
        "shop"
    }
}

impl ShopItem for Letterhead {
    type Words = LetterheadFile;
    fn format(words: &LetterheadFile) -> u32 {
        words.format
    }
    fn name(&self) -> &str {
        "letterhead"
    }
}

impl ShopItem for HeadPicture {
    type Words = HeadPictureFile;
    fn format(words: &HeadPictureFile) -> u32 {
        words.format
    }
    fn name(&self) -> &str {
        "letterhead-picture"
    }
}

impl ShopItem for Wording {
    type Words = WordingFile;
    fn format(words: &WordingFile) -> u32 {
        words.format
    }
    fn name(&self) -> &str {
        "wording"
    }
}

impl ShopItem for Stock {
    type Words = ShelfFile;
    fn format(words: &ShelfFile) -> u32 {
        words.format
    }
    fn name(&self) -> &str {
        "shelf"
    }
}

/// `Some(…)` need not be written by hand.
fn options() -> ron::Options {
    ron::Options::default().with_default_extension(Extensions::IMPLICIT_SOME)
}

/// Reads one file.
pub(crate) fn read<T: ShopItem>(path: &Path) -> Result<T, Error> {
    let reading = |why| Error::io("read", path, why);
    let value_error =
        |bad: BadField| Error::ShopValue { path: path.to_owned(), what: bad.to_string() };
    let text = plain::read_text(path, LARGEST_FILE).map_err(reading)?;
    let words: T::Words = options().from_str(&text).map_err(|why| Error::ShopFile {
        path: path.to_owned(),
        line: why.span.start.line,
        column: why.span.start.col,
        what: why.code.to_string(),
    })?;
    let format = T::format(&words);
    if format != v1::FORMAT {
        let known = v1::FORMAT;
        return Err(if format > known {
            Error::NewerFormat { path: path.to_owned(), format, known }
        } else {
            value_error(BadField::no_format(format))
        });
    }
    let mut value = words.read().map_err(value_error)?;
    plainly(&mut value);
    Ok(value)
}

/// What a value's file says, once the value is found right.
pub(super) fn words<T: ShopItem>(value: &T) -> Result<String, Error> {
    value.check()?;
    let pretty = ron::ser::PrettyConfig::default();
    let mut text = options()
        .to_string_pretty(&T::Words::write(value), pretty)
        .map_err(|why| Error::FactNotWritable { what: why.to_string() })?;
    text.push('\n');
    Ok(text)
}

/// A file beside where it is to be, synced. Others may read it as they may read any file made here: a shop may be
/// shared.
pub(super) fn write_aside(folder: &Path, text: &str) -> io::Result<tempfile::NamedTempFile> {
    let mut builder = tempfile::Builder::new();
    // The library's own beginning of a name.
    builder.prefix(".tmp");
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt as _;
        // The user's mask takes away what it takes from every file.
        builder.permissions(fs::Permissions::from_mode(0o666));
    }
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(text.as_bytes())?;
    file.as_file().sync_all()?;
    Ok(file)
}

/// Writes a new file, whole or not at all, and never over another.
pub(crate) fn keep<T: ShopItem>(folder: &Path, value: T) -> Result<Kept<T>, Error> {
    let text = words(&value)?;
    fs::create_dir_all(folder).map_err(|why| Error::io("make the folder", folder, why))?;
    let path = free_name(folder, value.name(), "ron");
    let writing = |why| Error::io("write", &path, why);
    let file = write_aside(folder, &text).map_err(writing)?;
    file.persist_noclobber(&path).map_err(|why| writing(why.error))?;
    Ok(Kept { path, value })
}
