//! Every session of a shop at a look: what passes, what lies where, what differs.
//!
//! - [`summary`]: one session (`summaries`: all of a survey), `found` of its rounds, [`as_measured`]; [`doubles`]: what counts once; [`noted`]: all of them held against the
//!   ledger; [`groups`]: many; [`table`]: one line a session, for other programs; [`chosen`]: those in sight;
//!   [`packed`]: the list of an audit pack;
//! - [`mod@folders`]: several shops seen as one; [`unseen`]: a folder that cannot be; [`twofold`]: what two of them have, in words;
//! - `looked`: one file looked at, `gate`: by how many at a time, `progress`: how far that has come; [`cache`]: what was read, kept for the next time;
//! - [`seek`]: sessions filtered, searched and sorted; [`troubles`]: those a supervisor should look at, `came_back`: those one sent back;
//!   [`signed_as`]: what was signed, `signed_beside`: beside what follows; [`practised`]: those of practice.
//!
//! What the sessions of a shop answer together, each with its statistics named. Every point knows its
//! session: the index into [`Survey::sessions`].
//!
//! - [`round_robin`]: one unit on several benches, as rows [`score_rows`]; [`visits`]: one over the years; [`returning`]: which come back;
//! - [`centres`]: where the circles of each housing lie; [`finishing`]: how far from boresight units
//!   leave; [`pass_rate`]: what passes first, month by month; [`shims`]: whether shims did as predicted;
//! - [`differ`]: which stations or hands differ; [`drift`]: which stations wander; [`locks`]: what
//!   tightening does, housing by housing; [`work_done`]: the shim leaves used (`leaves`: by one
//!   session);
//!   [`reasons`]: why units fail; [`turnaround`]: how long it takes, and what waits; [`trends`]: whether it gets better; [`period`]: of a
//!   period alone; [`month`]: what it told; [`risks`]: what windows and rules do to units like the shop's.

pub mod as_measured;
pub mod cache;
mod came_back;
pub mod centres;
pub mod chosen;
pub mod differ;
pub mod doubles;
pub mod drift;
pub mod finishing;
pub mod folders;
mod found;
mod gate;
pub mod groups;
mod leaves;
pub mod locks;
mod looked;
pub mod month;
pub mod noted;
pub mod packed;
pub mod pass_rate;
pub mod period;
pub mod practised;
mod progress;
pub mod reasons;
pub mod returning;
pub mod risks;
pub mod round_robin;
pub mod score_rows;
pub mod seek;
pub mod shims;
pub mod signed_as;
mod signed_beside;
mod summaries;
pub mod summary;
pub mod table;
pub mod trends;
pub mod troubles;
pub mod turnaround;
pub mod twofold;
pub mod unseen;
pub mod visits;
pub mod work_done;

use std::collections::BTreeSet;
use std::fs;
use std::num::NonZeroUsize;
use std::panic::resume_unwind;
use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::thread;

use super::{ListedFile, Listing, SESSION_EXTENSION, Zeros};
use crate::calibrations::noted::calibrations_against;
use crate::error::Error;
use crate::figures::{counted, counted_s};
use crate::file::{Disk, RealDisk};
use crate::ledger::Ledger;
use crate::recall::{Recall, Spell};
use crate::review::{Beside, BlindWord};
use crate::shown;
use cache::{KeptSummaries, ReadLast};
use gate::Gate;
use looked::{LookedTurn, LooksAt, PassedOver};

pub use cache::SurveyCache;
pub use folders::{survey_beside, survey_together};
pub use found::{ShimMiss, ShimOutcome, ShimSeen};
pub use groups::{By, SurveyGroup};
pub use noted::{MissingSession, ShopLedger};
pub use progress::SurveyProgress;
pub use summaries::Summaries;
pub use summary::{SentBack, SessionSummary};
pub use unseen::{Unseen, WhyUnseen};

/// The probability of every interval, band and ellipse told of a shop.
pub const COVERAGE: f64 = 0.95;

/// A worker looks at so many sessions at a turn at most, and has so many turns at least where there are enough.
const LONGEST_TURN: usize = 256;
const TURNS: usize = 16;

/// Differences are called so below this probability, corrected for how many were looked for.
pub const SIGNIFICANT: f64 = 0.05;

/// What the sessions of a shop come to.
#[derive(Clone, Debug, Default)]
pub struct Survey {
    /// The shops' folders, as they were named.
    pub folders: Vec<PathBuf>,
    /// What must be known of several folders seen as one shop, a sentence each: what is in more than one.
    pub together: Vec<String>,
    /// Folders that were to be seen beside the first and cannot be: nothing of them is counted.
    pub unseen: Vec<Unseen>,
    /// A summary a session, by file name.
    pub sessions: Summaries,
    /// Sessions passed over: why, with the file's name in it.
    pub skipped: Vec<Error>,
    /// What each window and rule does to units like those of each housing.
    pub risks: Vec<risks::WindowRisk>,
    /// What the shop's ledger says.
    pub ledger: ShopLedger,
    /// When the zero of its stations was outside its limits.
    pub spells: Vec<Spell>,
    /// The stations whose zero could be judged.
    pub zeros_judged: Vec<String>,
    /// Check files that cannot be read, or not to their end.
    pub checks_unread: Vec<String>,
    /// How many session files were read whole; the others are as they were when they were last.
    pub read_whole: usize,
}

impl Survey {
    /// With what the sessions tell of windows and rules worked out.
    #[must_use]
    pub fn with_risks(self) -> Self {
        Self { risks: risks::risks(&self), ..self }
    }

    /// The file of a session, as it can be shown: by its name, or by its whole path where several folders
    /// are seen as one.
    #[must_use]
    pub fn place_of(&self, session: &SessionSummary) -> String {
        match self.folders.as_slice() {
            [] | [_] => shown::one_line(&session.file).into_owned(),
            several => several.get(session.folder).map_or_else(
                || shown::one_line(&session.file).into_owned(),
                |folder| shown::path(&folder.join("sessions").join(&session.file)),
            ),
        }
    }

    /// How many files were read whole, in a sentence; `None` where there are none.
    #[must_use]
    pub fn kept_words(&self) -> Option<String> {
        let all = self.sessions.len() + self.skipped.len();
        let whole = match self.read_whole {
            _ if all == 0 => return None,
            _ if self.read_whole >= all => {
                return Some("All files were read whole now.".to_owned());
            }
            0 => {
                return Some(
                    "All files look as they did when they were last read whole.".to_owned(),
                );
            }
            some => counted(some, "was", "were"),
        };
        Some(format!(
            "Of {all} files {whole} read whole now; the others look as they did when they last were."
        ))
    }

    /// The recall list: the sessions that were read while their station's zero was outside its limits,
    /// each with its index, in the order of the files. Copies are left out, blind checks are on it.
    pub fn recalled(&self) -> impl Iterator<Item = (usize, &SessionSummary, &Recall)> {
        let sessions = self.sessions.iter().enumerate();
        let once = sessions
            .filter(|(_, session)| session.copy_of.is_none() && session.continued_in.is_none());
        once.filter_map(|(index, session)| Some((index, session, session.recall.as_deref()?)))
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
                    let unit = &session.unit;
                    let unit = if unit.is_empty() { "unnamed unit" } else { unit };
                    let (file, unit) = (self.place_of(session), shown::one_line(unit));
                    format!("{unit}, {file}: {}", recall.words())
                })
                .collect();
            let left = counted_s(each.len(), "session");
            said.push(format!("{} It leaves {left} to be looked at again.", spell.words()));
            said.extend(each);
        }
        said
    }

    /// What the recall list cannot tell, in sentences: stations that were worked on and whose zero could
    /// not be judged, check files and sessions that could not be read.
    #[must_use]
    pub fn recall_gaps(&self) -> Vec<String> {
        let real = self.sessions.iter().filter(|session| !session.practice);
        let worked_on: BTreeSet<&str> = real.map(|session| session.station.as_str()).collect();
        let mut said: Vec<String> = self.unseen.iter().map(Unseen::words).collect();
        let unknown: Vec<String> = worked_on
            .iter()
            .filter(|station| {
                !station.is_empty() && !self.zeros_judged.iter().any(|judged| judged == *station)
            })
            .map(|station| shown::one_line(station).into_owned())
            .collect();
        if !unknown.is_empty() {
            said.push(format!(
                "Of {} nothing can be told: no check standard with limits is on file.",
                unknown.join(", ")
            ));
        }
        if worked_on.contains("") {
            said.push("Sessions whose station nobody named can be on no list.".to_owned());
        }
        // Each may begin with a file's name, which is told as it is.
        let skipped = self.skipped.iter().map(|why| format!("Not looked at: {why}"));
        let unread = self.checks_unread.iter().map(|why| format!("Checks not read: {why}"));
        said.extend(unread.chain(skipped).map(|why| {
            let why = shown::one_line(&why).into_owned();
            format!("{}.", why.trim_end_matches('.'))
        }));
        said
    }

    /// The sessions that [count](SessionSummary::counts) in what is said of the shop, each with its index.
    pub fn counted(&self) -> impl Iterator<Item = (usize, &SessionSummary)> {
        self.sessions.iter().enumerate().filter(|(_, session)| session.counts())
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

/// How a shop is looked at.
#[derive(Clone, Copy)]
pub struct SurveyOptions<'a> {
    /// So many threads read sessions, each one at a time, so that memory holds the summaries and as many
    /// sessions as there are workers.
    pub workers: NonZeroUsize,
    /// So many of them read a file whole at a time, which takes a processor long; what is kept is looked at by all.
    pub reading: NonZeroUsize,
    /// Asked by each worker before each session.
    pub go_on: GoOn<'a>,
    /// What sessions are read from.
    pub disk: &'a dyn Disk,
    /// Where what is read is kept for the next time, if it is to be.
    pub cache: Option<&'a SurveyCache>,
    /// Where is told how far it has come, if anybody asks.
    pub progress: Option<&'a SurveyProgress>,
}

impl SurveyOptions<'_> {
    /// By so many workers, to the end, every file read whole.
    #[must_use]
    pub const fn whole(workers: NonZeroUsize) -> Self {
        Self {
            workers,
            reading: workers,
            go_on: &|| true,
            disk: &RealDisk,
            cache: None,
            progress: None,
        }
    }
}

/// Looks at every session in a shop's `sessions/`, each file read whole by one of `workers` threads. A
/// session that cannot be read, or is damaged, is passed over and named.
///
/// # Errors
/// [`Error::Io`] when there is no such folder, or it has no `sessions/`.
pub fn survey(folder: &Path, workers: NonZeroUsize) -> Result<Survey, Error> {
    Ok(survey_by(folder, &SurveyOptions::whole(workers))?.unwrap_or_default())
}

/// The same as it is to be looked at; `None` where it was not to go on.
///
/// # Errors
/// As [`survey`].
pub fn survey_by(folder: &Path, looking: &SurveyOptions<'_>) -> Result<Option<Survey>, Error> {
    let sessions = folder.join("sessions");
    fs::read_dir(&sessions)
        .map_err(|why| Error::io("open the sessions of the shop", &sessions, why))?;
    thread::scope(|scope| {
        // A ledger of many years is long: it is read while sessions are looked at, which do without it.
        let ledger = scope.spawn(|| match looking.cache {
            Some(cache) => cache.ledger_of(folder, &RealDisk),
            None => Ledger::load(folder, &RealDisk),
        });
        let Some(LookedAt { mut survey, damaged }) = look_at_all(folder, looking)? else {
            return Ok(None);
        };
        let ledger = ledger.join().unwrap_or_else(|panic| resume_unwind(panic));
        survey.hold_against(&ledger, &damaged);
        let of_calibrations = calibrations_against(&ledger, folder, looking.disk);
        survey.ledger.troubles.extend(of_calibrations);
        // To let go of it takes a while, too.
        scope.spawn(move || drop(ledger));
        Ok(Some(survey.with_risks()))
    })
}

/// Sessions as they were looked at, each by itself and beside the others.
struct LookedAt {
    survey: Survey,
    /// The own names of those that are passed over, as far as they tell.
    damaged: Vec<String>,
}

fn look_at_all(folder: &Path, looking: &SurveyOptions<'_>) -> Result<Option<LookedAt>, Error> {
    let sessions = folder.join("sessions");
    // What is kept is opened while the folder is listed.
    let (kept, listing, beside) = thread::scope(|scope| {
        let kept = looking.cache.map(|cache| scope.spawn(|| cache.take_up(folder)));
        let listing = Listing::of(&sessions, SESSION_EXTENSION);
        let beside = Beside::without_ledger(folder);
        let kept = kept.map(|kept| kept.join().unwrap_or_else(|panic| resume_unwind(panic)));
        (kept, listing, beside)
    });
    let listing = listing?;
    let files = &listing.files;
    if let Some(progress) = looking.progress {
        progress.list(files.len());
    }
    let kept = kept.unwrap_or_else(KeptSummaries::nothing).beside(&beside);
    let workers = looking.workers.get().min(files.len());
    // Neighbours are looked at by one worker: what is kept of them stands together. Each has several turns, so that all
    // are done at about the same time.
    let turn = (files.len() / workers.max(1) / TURNS).clamp(1, LONGEST_TURN);
    let next = AtomicUsize::new(0);
    let gate = Gate::new(looking.reading);
    let mut found: Vec<LookedTurn> = thread::scope(|scope| {
        let work = || {
            let mut done = Vec::new();
            let (disk, last) = (looking.disk, ReadLast::default());
            let (listing, kept, beside, gate) = (&listing, &kept, &beside, &gate);
            let mut looks = LooksAt { listing, beside, disk, kept, last, gate };
            loop {
                let first = next.fetch_add(turn, Ordering::Relaxed);
                let some = files.get(first..).unwrap_or_default();
                let some = some.get(..turn).unwrap_or(some);
                if some.is_empty() {
                    return done;
                }
                let mut looked = LookedTurn::new(first, some.len());
                for file in some {
                    if !(looking.go_on)() {
                        return done;
                    }
                    looks.at(file, &mut looked);
                    if let Some(progress) = looking.progress {
                        progress.look_at_one();
                    }
                }
                done.push(looked);
            }
        };
        let hands: Vec<_> = (0..workers).map(|_| scope.spawn(work)).collect();
        let joined = hands.into_iter().map(thread::ScopedJoinHandle::join);
        joined.flat_map(|done| done.unwrap_or_else(|panic| resume_unwind(panic))).collect()
    });
    if found.iter().map(|turn| turn.files).sum::<usize>() < files.len() {
        return Ok(None);
    }
    kept.write_down(&listing);
    found.sort_unstable_by_key(|turn| turn.first);
    let Zeros { spells, judged, unread } = beside.zeros.clone();
    let mut survey = Survey {
        folders: vec![folder.to_owned()],
        spells,
        zeros_judged: judged,
        checks_unread: unread,
        ..Survey::default()
    };
    let (mut passed_over, mut damaged) = (BTreeSet::new(), Vec::new());
    for turn in found {
        survey.read_whole += turn.read_whole;
        survey.sessions.push_run(turn.summaries);
        for PassedOver { file, why, session } in turn.passed_over {
            passed_over.insert(file);
            survey.skipped.push(why);
            damaged.extend(session);
        }
    }
    let read = files.iter().enumerate().filter(|(index, _)| !passed_over.contains(index));
    let read: Vec<&ListedFile> = read.map(|(_, file)| file).collect();
    survey.flag_checked();
    let path_of = |index: usize| read.get(index).map(|file| listing.path_of(file));
    survey.find_doubles(path_of, looking.disk);
    Ok(Some(LookedAt { survey, damaged }))
}

/// Whether work is to go on; several workers may ask.
pub type GoOn<'a> = &'a (dyn Fn() -> bool + Sync);
