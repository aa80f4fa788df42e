//! A folder that was to be seen beside a shop and cannot be: where, why, and what to do.

use std::path::{Path, PathBuf};
use std::{fs, io};

use crate::error::Error;
use crate::shown;

/// A folder that cannot be seen beside a shop.
#[derive(Clone, Debug)]
pub struct Unseen {
    /// As it was named.
    pub folder: PathBuf,
    /// Why.
    pub why: WhyUnseen,
}

/// Why a folder cannot be looked at as a shop, and what to do.
#[derive(Clone, Debug, thiserror::Error)]
pub enum WhyUnseen {
    /// Nothing is there.
    #[error(
        "nothing is there any more, or not yet: is its drive connected, was it moved or renamed?"
    )]
    NotThere,
    /// It is a file.
    #[error("it is a file: name the folder of the shop it belongs to")]
    File,
    /// It holds a shop's sessions and is no shop.
    #[error("it is the sessions of a shop: name the folder above it")]
    Sessions,
    /// No sessions lie in it.
    #[error("it is no shop: no folder “sessions” is in it; name the folder that holds one")]
    NoShop,
    /// The system does not let us look.
    #[error("{0}")]
    Refused(Error),
}

impl WhyUnseen {
    /// Whether a folder can be looked at as a shop, as far as its name and what is in it tell.
    ///
    /// # Errors
    /// Why it cannot.
    pub fn check(folder: &Path) -> Result<(), Self> {
        match fs::metadata(folder) {
            Err(why) if why.kind() == io::ErrorKind::NotFound => return Err(Self::NotThere),
            Err(why) => return Err(Self::Refused(Error::io("look at", folder, why))),
            Ok(found) if !found.is_dir() => return Err(Self::File),
            Ok(_) => {}
        }
        if folder.join("sessions").is_dir() {
            return Ok(());
        }
        let named_sessions = folder.file_name().is_some_and(|name| name == "sessions");
        Err(if named_sessions { Self::Sessions } else { Self::NoShop })
    }
}

impl Unseen {
    /// Of a folder at which looking was refused.
    pub(super) fn of(folder: &Path, why: Error) -> Self {
        let why = WhyUnseen::check(folder).err().unwrap_or(WhyUnseen::Refused(why));
        Self { folder: folder.to_owned(), why }
    }

    /// It in a sentence, and that the rest is not hidden by it.
    #[must_use]
    pub fn words(&self) -> String {
        let (place, why) = (shown::path(&self.folder), self.why.to_string());
        let why = why.trim_end_matches('.');
        let end = if why.ends_with('?') { "" } else { "." };
        format!("{place} is not looked at: {why}{end} Nothing of it is counted; all else is.")
    }
}
