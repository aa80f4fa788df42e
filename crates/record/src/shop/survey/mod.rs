//! Every session of a shop at a look: what passes, and by housing, station, hand and window.
//!
//! - [`summary`]: one session; [`groups`]: many; [`table`]: one line a session, for other programs.

pub mod groups;
pub mod summary;
pub mod table;

use std::fs::{self, File};
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use super::{SESSION_EXTENSION, files_in};
use crate::error::Error;
use crate::file::{End, scan};
use crate::fold::fold;

pub use groups::{By, Group};
pub use summary::{SessionSummary, ShimMiss};

/// What the sessions of a shop come to.
#[derive(Clone, Debug, Default)]
pub struct Survey {
    /// A summary a session, by file name.
    pub sessions: Vec<SessionSummary>,
    /// Sessions passed over: why, with the file's name in it.
    pub skipped: Vec<Error>,
}

/// Looks at every session in a shop's `sessions/`.
///
/// `workers` threads read them, each one session at a time, so memory holds the summaries and as
/// many sessions as there are workers. A session that cannot be read, or is damaged, is passed over
/// and named.
///
/// # Errors
/// [`Error::Io`] when there is no such folder, or it has no `sessions/`.
pub fn survey(folder: &Path, workers: NonZeroUsize) -> Result<Survey, Error> {
    let sessions = folder.join("sessions");
    fs::read_dir(&sessions)
        .map_err(|why| Error::io("open the sessions of the shop", &sessions, why))?;
    let paths = files_in(&sessions, SESSION_EXTENSION)?;
    let next = AtomicUsize::new(0);
    let mut found: Vec<(usize, Result<SessionSummary, Error>)> = thread::scope(|scope| {
        let work = || {
            let mut done = Vec::new();
            loop {
                let index = next.fetch_add(1, Ordering::Relaxed);
                let Some(path) = paths.get(index) else { return done };
                done.push((index, summarise(path)));
            }
        };
        let hands: Vec<_> =
            (0..workers.get().min(paths.len())).map(|_| scope.spawn(work)).collect();
        let joined = hands.into_iter().map(thread::ScopedJoinHandle::join);
        joined
            .flat_map(|done| done.unwrap_or_else(|panic| std::panic::resume_unwind(panic)))
            .collect()
    });
    found.sort_unstable_by_key(|(index, _)| *index);
    let mut survey = Survey::default();
    for (_, summary) in found {
        match summary {
            Ok(summary) => survey.sessions.push(summary),
            Err(why) => survey.skipped.push(why),
        }
    }
    Ok(survey)
}

fn summarise(path: &Path) -> Result<SessionSummary, Error> {
    let file = File::open(path).map_err(|why| Error::io("open", path, why))?;
    let scanned = scan(path, file)?;
    if let End::Damaged(damage) = scanned.end {
        return Err(Error::Damaged { path: path.to_owned(), damage });
    }
    let name = path.file_name().map(PathBuf::from).unwrap_or_default();
    Ok(SessionSummary::of(name.display().to_string(), &fold(&scanned.facts)))
}
