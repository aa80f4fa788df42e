//! A shop's practice as sessions in its table: one summary a file in `practice/`.

use std::path::Path;

use super::SessionSummary;
use smol_str::SmolStr;

use crate::error::Error;
use crate::file::{Disk, End, scan};
use crate::fold::fold;
use crate::review::{State, follows};
use crate::shop::{SESSION_EXTENSION, files_in};

/// The sessions in a shop's `practice/`, by file name; those that are damaged or cannot be read are left to
/// what reads practice itself. Of an examination that is sat nothing is told but that it is there.
///
/// # Errors
/// [`Error::Io`] where the folder is there and cannot be read.
pub fn practised(folder: &Path, disk: &dyn Disk) -> Result<Vec<SessionSummary>, Error> {
    let paths = files_in(&folder.join("practice"), SESSION_EXTENSION)?;
    Ok(paths.iter().filter_map(|path| one(path, disk)).collect())
}

fn one(path: &Path, disk: &dyn Disk) -> Option<SessionSummary> {
    let scanned = scan(path, disk.open_read(path).ok()?).ok()?;
    let end_missing = match scanned.end {
        End::Damaged(_) => return None,
        End::Missing(end) => Some(end),
        End::Clean => None,
    };
    let session = fold(&scanned.facts);
    let file = path.file_name()?.display().to_string();
    let begun = scanned.facts.first().map(|fact| fact.time.date());
    if session.withholds() {
        let unit = session.unit().map(|unit| SmolStr::from(&unit.name)).unwrap_or_default();
        let hand = session.main_hand().into();
        return Some(SessionSummary {
            file,
            practice: true,
            begun,
            day: begun,
            unit,
            hand,
            rounds: session.rounds.len(),
            end_missing,
            ..SessionSummary::default()
        });
    }
    let follows = follows(&scanned.facts, &session);
    let state = State::of(&session, &follows, end_missing.is_none(), None);
    Some(SessionSummary {
        practice: true,
        begun,
        follows: follows.known(),
        end_missing,
        state,
        facts: scanned.facts.len() as u64,
        ..SessionSummary::of(file, &session)
    })
}
