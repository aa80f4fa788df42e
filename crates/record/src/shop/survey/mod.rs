//! Every session of a shop at a look: what passes, what lies where, what differs.
//!
//! - [`summary`]: one session; [`doubles`]: what counts once; [`noted`]: all of them held against the
//!   ledger; [`groups`]: many; [`table`]: one line a session, for other programs;
//! - [`seek`]: sessions filtered, searched and sorted; [`troubles`]: those a supervisor should look at.
//!
//! What the sessions of a shop answer together, each with its statistics named. Every point knows its
//! session: the index into [`Survey::sessions`].
//!
//! - [`centres`]: where the circles of each housing lie; [`finishing`]: how far from boresight units
//!   leave; [`pass_rate`]: what passes first, month by month; [`shims`]: whether shims did as predicted;
//! - [`differ`]: which stations or hands differ; [`drift`]: which stations wander; [`locks`]: what
//!   tightening does, housing by housing; [`risks`]: what windows and rules do to units like the shop's.

pub mod centres;
pub mod differ;
pub mod doubles;
pub mod drift;
pub mod finishing;
mod found;
pub mod groups;
pub mod locks;
pub mod noted;
pub mod pass_rate;
pub mod risks;
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

use super::{SESSION_EXTENSION, Shop, files_in};
use crate::error::Error;
use crate::fact::Seq;
use crate::file::{End, RealDisk, plain, scan_each};
use crate::fold::fold;
use crate::recall::{Recall, Spell, recall};

use crate::figures::counted;
use crate::ledger::{Ledger, SigningLine};
use crate::review::{self, Follows};
use crate::shown;

pub use groups::{By, Group};
pub use noted::{Missing, ShopLedger};
pub use summary::{Answered, SessionSummary, ShimMiss, ShimSeen};

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
    /// What the shop's ledger says.
    pub ledger: ShopLedger,
    /// When the zero of its stations was outside its limits.
    pub spells: Vec<Spell>,
    /// What each window and rule does to units like those of each housing.
    pub risks: Vec<risks::WindowRisk>,
}

impl Survey {
    /// With what the sessions tell of windows and rules worked out.
    #[must_use]
    pub fn with_risks(self) -> Self {
        Self { risks: risks::risks(&self), ..self }
    }

    /// The recall list: the sessions that were read while their station's zero was outside its limits,
    /// each with its index, in the order of the files. Copies are left out, blind checks are on it.
    pub fn recalled(&self) -> impl Iterator<Item = (usize, &SessionSummary, &Recall)> {
        let sessions = self.sessions.iter().enumerate();
        let once = sessions
            .filter(|(_, session)| session.copy_of.is_none() && session.continued_in.is_none());
        once.filter_map(|(index, session)| Some((index, session, session.recall.as_ref()?)))
    }

    /// The recall list in words: each spell, then each session left in one.
    #[must_use]
    pub fn recall_words(&self) -> Vec<String> {
        let mut said: Vec<String> = Vec::new();
        for spell in &self.spells {
            let of_spell = self.recalled().filter(|(_, _, recall)| {
                recall.station == spell.station && spell.holds(recall.day)
            });
            let each: Vec<String> = of_spell
                .map(|(_, session, recall)| {
                    let (file, unit) = (&session.file, &session.unit);
                    let unit = if unit.is_empty() { "unnamed unit" } else { unit };
                    let (file, unit) = (shown::one_line(file), shown::one_line(unit));
                    format!("{unit}, {file}: {}", recall.words())
                })
                .collect();
            let left = counted(each.len(), "session", "sessions");
            said.push(format!("{} It leaves {left} to be looked at again.", spell.words()));
            said.extend(each);
        }
        said
    }

    /// The sessions that [count](SessionSummary::counts) in what is said of the shop, each with its index.
    pub fn counted(&self) -> impl Iterator<Item = (usize, &SessionSummary)> {
        self.sessions.iter().enumerate().filter(|(_, session)| session.counts())
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
    let spells = Shop::load(folder).map(|shop| shop.spells(&RealDisk)).unwrap_or_default();
    let next = AtomicUsize::new(0);
    let mut found: Vec<(usize, Result<SessionSummary, PassedOver>)> = thread::scope(|scope| {
        let work = || {
            let mut done = Vec::new();
            loop {
                let index = next.fetch_add(1, Ordering::Relaxed);
                let Some(path) = paths.get(index) else { return done };
                done.push((index, summarise(path, &spells)));
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
    let mut survey = Survey { spells, ..Survey::default() };
    let (mut read, mut damaged) = (Vec::new(), Vec::new());
    for (index, summary) in found {
        match summary {
            Ok(summary) => {
                survey.sessions.push(summary);
                read.extend(paths.get(index).cloned());
            }
            Err(PassedOver { why, session }) => {
                survey.skipped.push(why);
                damaged.extend(session);
            }
        }
    }
    survey.find_doubles(&read);
    survey.hold_against(&Ledger::load(folder, &RealDisk), &damaged);
    Ok(survey.with_risks())
}

/// A file that is passed over: why, and which session it says it is.
struct PassedOver {
    why: Error,
    session: Option<String>,
}

impl From<Error> for PassedOver {
    fn from(why: Error) -> Self {
        Self { why, session: None }
    }
}

fn summarise(path: &Path, spells: &[Spell]) -> Result<SessionSummary, PassedOver> {
    let file = plain::open(path).map_err(|why| Error::io("open", path, why))?;
    let mut signing = Vec::new();
    let scanned = scan_each(path, file, |fact, hash| signing.extend(SigningLine::of(fact, hash)))?;
    let session = fold(&scanned.facts);
    let end_missing = match scanned.end {
        End::Damaged(damage) => {
            return Err(PassedOver {
                why: Error::Damaged { path: path.to_owned(), damage },
                session: session.header.map(|header| header.session),
            });
        }
        End::Missing(end) => Some(end),
        End::Clean => None,
    };
    let name = path.file_name().map(PathBuf::from).unwrap_or_default();
    let follows = match review::follows(&scanned.facts, &session) {
        Follows::Yes { .. } => Some(true),
        Follows::No(_) => Some(false),
        Follows::CannotTell(_) | Follows::NothingStored => None,
    };
    let file = name.display().to_string();
    let facts = scanned.facts.len() as Seq;
    let summary = SessionSummary::of(file, &session);
    let recall = recall(&session, spells).filter(|_| !summary.practice);
    Ok(SessionSummary { follows, end_missing, facts, signing, recall, ..summary })
}
