//! Sessions that a supervisor sent back: what a technician is told on opening the shop.

use std::io::Read as _;
use std::path::{Path, PathBuf};

use jiff::civil::Date;
use memchr::memmem;
use solver::words::counted_s;

use super::{SESSION_EXTENSION, Shop, files_in};
use crate::error::Error;
use crate::fact::same_hand;
use crate::file::{plain, scan};
use crate::fold::{SignatureState, fold};
use crate::shown;
use crate::stamp::Stamp;

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
    /// Whose signature came back.
    pub signed_by: String,
    /// Who sent it back.
    pub by: String,
    /// When.
    pub since: Stamp,
    /// With what comment.
    pub comment: String,
}

impl ReturnedSession {
    /// In a sentence, without its full stop, seen from a day: `0171, signed by KT, returned by MB 3 days ago: “…”`.
    #[must_use]
    pub fn words(&self, today: Date) -> String {
        let when = match self.days_waiting(today) {
            ..0 => format!("on {}", self.since.date()),
            0 => "today".to_owned(),
            days => format!("{} ago", counted_s(days, "day")),
        };
        format!(
            "{}, signed by {}, returned by {} {when}: “{}”",
            self.unit,
            self.signed_by,
            self.by,
            shown::one_line(&self.comment)
        )
    }

    /// For how many days it waits; below 0 by a clock that went back.
    #[must_use]
    pub fn days_waiting(&self, today: Date) -> i32 {
        (today - self.since.date()).get_days()
    }
}

/// Sorts what came back for a hand: what it signed itself first, then what waits longest.
pub fn sort_for(returned: &mut [ReturnedSession], hand: &str) {
    returned.sort_by_key(|one| (!same_hand(&one.signed_by, hand), one.since.unix_milliseconds()));
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
    if plain::look(path).ok()?.len() > LARGEST {
        return None;
    }
    let mut bytes = Vec::new();
    plain::open(path).ok()?.take(LARGEST).read_to_end(&mut bytes).ok()?;
    memmem::find(&bytes, MARK)?;
    let session = fold(&scan(path, bytes.as_slice()).ok()?.facts);
    let SignatureState::Signed(signature) = session.signature() else { return None };
    let (answer, returned) = signature.returned()?;
    Some(ReturnedSession {
        path: path.to_owned(),
        unit: session.unit().map_or_else(String::new, |unit| unit.name.clone()),
        signed_by: signature.hand.clone(),
        by: answer.hand.clone(),
        since: answer.time,
        comment: returned.comment.clone(),
    })
}
