//! Noting in the shop's ledger what was signed, countersigned and returned: once it is on disk, on a thread
//! of its own, and again after a while where it cannot be done. What nobody noted is looked for when a
//! shop is opened.

use std::path::PathBuf;
use std::sync::Arc;
use std::time::{Duration, Instant};

use record::calibrations::noted::{note_calibration, note_calibrations};
use record::fact::Seq;
use record::ledger::{Noting, note_all, note_files, note_session};
use record::{Error, FileOptions, Survey};

use crate::jobs::{Job, Work};
use crate::shell::open_shop::program;

/// How long after a try that failed the next one comes.
pub(crate) const AGAIN_AFTER: Duration = Duration::from_secs(5);

/// What waits to be noted.
pub(crate) struct ToNote {
    pub(crate) waiting: Vec<Wanted>,
    /// A shop that was opened, and in which is still to be looked for what nobody noted.
    pub(crate) opened: Option<PathBuf>,
    /// The noting that goes on.
    pub(crate) working: Job<NotingOutcomes>,
    /// What it is to note: it waits again where the worker ends without an answer.
    pub(crate) under_way: Vec<Wanted>,
    /// Whether the last worker died of it: it is not tried again by itself.
    pub(crate) broken: bool,
    /// When the last try failed.
    pub(crate) failed: Option<Instant>,
    /// Whether that was said.
    pub(crate) said: bool,
}

impl Default for ToNote {
    /// Nothing waits.
    fn default() -> Self {
        let (waiting, under_way) = (Vec::new(), Vec::new());
        let working = Job::idle(Work::Ledger);
        Self { waiting, opened: None, working, under_way, broken: false, failed: None, said: false }
    }
}

/// How each of some went.
pub(crate) type NotingOutcomes = Vec<(Wanted, Result<usize, Error>)>;

/// Something to note.
#[derive(Clone, Debug)]
pub(crate) enum Wanted {
    /// What was saved in a session just now.
    Saved { shop: PathBuf, session: PathBuf, facts: Vec<Seq> },
    /// The same in a calibration.
    Calibrated { shop: PathBuf, calibration: PathBuf, facts: Vec<Seq> },
    /// Whatever nobody noted in a shop; `read`: what its sessions came to since it was opened, if they were read.
    Missed { shop: PathBuf, read: Option<Arc<Survey>> },
}

impl Wanted {
    /// Whether a hand waits for it: it signed just now.
    pub(crate) const fn is_asked(&self) -> bool {
        !matches!(self, Self::Missed { .. })
    }

    pub(crate) fn note(&self, hand: &str, options: &FileOptions) -> Result<usize, Error> {
        let noting = |agreed| Noting {
            program: program(),
            hand: hand.to_owned(),
            agreed,
            options: options.clone(),
        };
        match self {
            // Where the session could be written, a hand agreed to whatever the disk lacks.
            Self::Saved { shop, session, facts } => {
                note_session(shop, session, facts, &noting(true))
            }
            Self::Calibrated { shop, calibration, facts } => {
                note_calibration(shop, calibration, facts, &noting(true))
            }
            Self::Missed { shop, read } => {
                let noting = noting(false);
                let calibrations = note_calibrations(shop, &noting)?;
                let sessions = match read.as_ref().and_then(|read| read.not_noted()) {
                    None => note_all(shop, &noting)?,
                    Some(files) => note_files(shop, files, &noting)?,
                };
                Ok(sessions + calibrations)
            }
        }
    }
}
