//! A file that could not be opened and of which a new session can be made.

use record::Error;
use record::file::Disk;
use std::path::{Path, PathBuf};

/// A file whose first line is lost while lines of a session verify behind it.
#[derive(Clone, Debug)]
pub(crate) struct ToSalvage {
    /// The file.
    pub(crate) path: PathBuf,
    /// Whether only a hand can tell whether its unit was a real one.
    pub(crate) wants_word: bool,
}

impl ToSalvage {
    /// Of a file that could not be opened for this reason, if it can be salvaged; and what verifies in it.
    pub(crate) fn of(path: &Path, why: &Error, disk: &dyn Disk) -> Option<(Self, String)> {
        if !matches!(why, Error::Damaged { .. } | Error::WrongFile { .. }) {
            return None;
        }
        let found = record::file::salvage(path, disk.open_read(path).ok()?).ok()?;
        let wants_word = found.wants_word();
        let worth = !found.is_whole && !found.facts.is_empty();
        worth
            .then(|| (Self { path: path.to_owned(), wants_word }, found.words().replace('\n', " ")))
    }

    pub(crate) const fn text(&self) -> &'static str {
        if self.wants_word {
            "It was a real unit: salvage into a new file"
        } else {
            "Salvage the unreadable file into a new one"
        }
    }

    pub(crate) const fn tip(&self) -> &'static str {
        if self.wants_word {
            "Nothing that verifies tells whether its unit was a real one or of practice: pressing says that \
             it was real, and that stays noted. The new session is marked as salvaged for ever; the \
             damaged file stays as it is."
        } else {
            "Make a new session of all that still verifies, marked as salvaged for ever. The damaged file \
             stays as it is."
        }
    }
}
