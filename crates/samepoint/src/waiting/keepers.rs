//! The rescue file of each open file, and what is said of it.

use std::path::PathBuf;
use std::time::{Duration, Instant};

use record::Error;
use record::rescue::Keeper;

use crate::shell::held::Held;

/// A disk that takes this long over a fact is not waited for: the fact is kept elsewhere meanwhile.
pub(crate) const SLOW: Duration = Duration::from_secs(2);

/// The rescue files of the open files.
#[derive(Default)]
pub(crate) struct Keepers {
    session: Keeper,
    checks: Keeper,
    study: Keeper,
    /// Since when facts have been on their way to disk.
    pub(crate) saving_since: Option<Instant>,
}

impl Keepers {
    /// The one of a file.
    #[must_use]
    pub(crate) const fn of(&self, held: Held) -> &Keeper {
        match held {
            Held::Session => &self.session,
            Held::Checks => &self.checks,
            Held::Study => &self.study,
        }
    }

    /// Lets go of a file's rescue file, which stays for the next start.
    pub(crate) fn forget(&mut self, held: Held) {
        self.of_mut(held).forget();
    }

    /// Takes a file's rescue file away: its facts are safe elsewhere, or not wanted.
    pub(crate) fn discard(&mut self, held: Held, disk: &dyn record::Disk) {
        self.of_mut(held).discard(disk);
    }

    pub(crate) const fn of_mut(&mut self, held: Held) -> &mut Keeper {
        match held {
            Held::Session => &mut self.session,
            Held::Checks => &mut self.checks,
            Held::Study => &mut self.study,
        }
    }
}

/// Facts that wait, for sentences.
#[derive(Clone, Debug)]
pub struct Waits {
    /// How many.
    pub count: usize,
    /// What their file is about.
    pub title: String,
    /// Their file.
    pub path: PathBuf,
    /// Why they are not written; nothing while they are on their way.
    pub why: Option<Error>,
    /// The rescue file that all of them are in; nothing while they are in memory only.
    pub rescue: Option<PathBuf>,
    /// Where they are, in a sentence.
    pub kept: String,
}
