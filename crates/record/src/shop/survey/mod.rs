//! Every session of a shop at a look: what passes, what lies where, what differs.
//!
//! - [`summary`]: one session; [`groups`]: many; [`table`]: one line a session, for other programs;
//! - [`seek`]: sessions filtered, searched and sorted; [`troubles`]: those a supervisor should look at.
//!
//! What the sessions of a shop answer together, each with its statistics named. Every point knows its
//! session: the index into [`Survey::sessions`].
//!
//! - [`centres`]: where the circles of each housing lie; [`finishing`]: how far from boresight units
//!   leave; [`pass_rate`]: what passes first, month by month; [`shims`]: whether shims did as predicted;
//! - [`differ`]: which stations or hands differ; [`drift`]: which stations wander; [`locks`]: what
//!   tightening does, housing by housing.

pub mod centres;
pub mod differ;
pub mod drift;
pub mod finishing;
mod found;
pub mod groups;
pub mod locks;
pub mod pass_rate;
pub mod seek;
pub mod shims;
pub mod summary;
pub mod table;
pub mod troubles;

use std::fs;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use super::{SESSION_EXTENSION, files_in};
use crate::error::Error;
use crate::file::{End, RealDisk, plain, scan};
use crate::fold::fold;
use crate::linked::Link;
use crate::review::blind::beside_blind;
use crate::review::{self, Beside, BlindWord, Follows, State, otherwise};

pub use groups::{By, Group};
pub use summary::{SentBack, SessionSummary, ShimMiss, ShimSeen};

/// The probability of every interval, band and ellipse told of a shop.
pub const COVERAGE: f64 = 0.95;

/// Differences are called so below this probability, corrected for how many were looked for.
pub const SIGNIFICANT: f64 = 0.05;

/// What the sessions of a shop come to.
#[derive(Clone, Debug, Default)]
pub struct Survey {
    /// A summary a session, by file name.
    pub sessions: Vec<SessionSummary>,
    /// Sessions passed over: why, with the file's name in it.
    pub skipped: Vec<Error>,
}

impl Survey {
    /// The sessions that count in what is said of the shop, each with its index: real work whose end is
    /// not missing, no practice and no blind check of another session, which would count one unit twice.
    pub fn counted(&self) -> impl Iterator<Item = (usize, &SessionSummary)> {
        let sessions = self.sessions.iter().enumerate();
        sessions.filter(|(_, session)| {
            !session.practice && session.checks.is_none() && session.end_missing.is_none()
        })
    }
}

impl Survey {
    /// What blind sessions say stands beside the sessions that they check, too.
    fn flag_checked(&mut self) {
        let said: Vec<(String, BlindWord)> = self
            .sessions
            .iter()
            .filter_map(|session| session.checks.clone().zip(session.blind))
            .collect();
        for (file, word) in said {
            for session in &mut self.sessions {
                if session.file == file && session.checks.is_none() {
                    session.blind = session.blind.max(Some(word));
                }
            }
        }
    }
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
    let beside = Beside::load(folder);
    let next = AtomicUsize::new(0);
    let mut found: Vec<(usize, Result<SessionSummary, Error>)> = thread::scope(|scope| {
        let work = || {
            let mut done = Vec::new();
            loop {
                let index = next.fetch_add(1, Ordering::Relaxed);
                let Some(path) = paths.get(index) else { return done };
                done.push((index, summarise(path, &beside)));
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
    survey.flag_checked();
    Ok(survey)
}

fn summarise(path: &Path, beside: &Beside) -> Result<SessionSummary, Error> {
    let file = plain::open(path).map_err(|why| Error::io("open", path, why))?;
    let scanned = scan(path, file)?;
    let end_missing = match scanned.end {
        End::Damaged(damage) => return Err(Error::Damaged { path: path.to_owned(), damage }),
        End::Missing(end) => Some(end),
        End::Clean => None,
    };
    let name = path.file_name().map(PathBuf::from).unwrap_or_default();
    let session = fold(&scanned.facts);
    let follows = review::follows(&scanned.facts, &session);
    let line_found = review::countersigned_line_found(path, &RealDisk, &session)?;
    let state = State::of(&session, &follows, end_missing.is_none(), line_found);
    let follows = match follows {
        Follows::Yes { .. } => Some(true),
        Follows::No(_) => Some(false),
        Follows::CannotTell(_) | Follows::NothingStored => None,
    };
    let file = name.display().to_string();
    let mut otherwise = otherwise::changed(&session);
    otherwise.extend(otherwise::in_shop(&session, beside));
    let link = Link::of(&session);
    let checked = link.and_then(|link| beside_blind(path.parent()?, &session, &link));
    let blind = BlindWord::of(checked.as_slice());
    let found = SessionSummary::of(file, &session);
    Ok(SessionSummary { follows, end_missing, state, otherwise, blind, ..found })
}
