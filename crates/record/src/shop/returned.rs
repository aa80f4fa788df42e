//! Sessions that a supervisor sent back: what a technician is told on opening the shop.

use std::fs::{self, File};
use std::io::Read as _;
use std::path::{Path, PathBuf};

use super::{SESSION_EXTENSION, Shop, files_in};
use crate::error::Error;
use crate::file::scan;
use crate::fold::{AnswerKind, SignatureState, fold};

/// Sessions larger than this are not looked into: a year's work of one unit is a hundredth of it.
const LARGEST: u64 = 16 * 1024 * 1024;

/// What every return has in its line (format 1). Words in a comment may have it too: it only says
/// which files are worth folding.
const MARK: &[u8] = b"returned((";

/// A session that was sent back and not signed anew.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ReturnedSession {
    /// Its file.
    pub path: PathBuf,
    /// Its unit.
    pub unit: String,
    /// Who sent it back.
    pub by: String,
    /// With what comment.
    pub comment: String,
}

impl ReturnedSession {
    /// In a sentence, without its full stop.
    #[must_use]
    pub fn words(&self) -> String {
        format!("{}, returned by {}: “{}”", self.unit, self.by, self.comment)
    }
}

impl Shop {
    /// The sessions sent back that wait to be signed anew, by file name. Only files that can hold a
    /// return are folded, so a large shop is quick; those that cannot be read are passed over. Reads
    /// files: not for the window's thread.
    ///
    /// # Errors
    /// [`Error::Io`] when the folder is there but cannot be read.
    pub fn returned(&self) -> Result<Vec<ReturnedSession>, Error> {
        let paths = files_in(&self.folder.join("sessions"), SESSION_EXTENSION)?;
        Ok(paths.into_iter().filter_map(|path| look(&path)).collect())
    }
}

fn look(path: &Path) -> Option<ReturnedSession> {
    let size = fs::metadata(path).ok()?.len();
    if size > LARGEST {
        return None;
    }
    let mut bytes = Vec::new();
    File::open(path).ok()?.take(LARGEST).read_to_end(&mut bytes).ok()?;
    bytes.windows(MARK.len()).find(|window| *window == MARK)?;
    let session = fold(&scan(path, bytes.as_slice()).ok()?.facts);
    let SignatureState::Signed(signature) = session.signature() else { return None };
    let answer = signature.answer.as_ref()?;
    let AnswerKind::Returned(returned) = &answer.kind else { return None };
    Some(ReturnedSession {
        path: path.to_owned(),
        unit: session.unit().map_or_else(String::new, |unit| unit.name.clone()),
        by: answer.hand.clone(),
        comment: returned.comment.clone(),
    })
}
