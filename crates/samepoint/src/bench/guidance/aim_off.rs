//! What to aim off for: how far the locks of this housing turned their rings in the shop's other
//! sessions. Reads files, so on a thread of its own.

use std::path::PathBuf;

use record::LockAdvice;

use crate::jobs::{Job, Work};

/// What the shop's last sessions tell of the locks, once it is known.
#[derive(Debug)]
pub(crate) struct AimOff {
    /// The housing and session it was asked for.
    pub(crate) asked: Option<(String, PathBuf)>,
    pub(crate) looking: Job<Option<LockAdvice>>,
    pub(crate) found: Option<LockAdvice>,
}

impl Default for AimOff {
    fn default() -> Self {
        Self { asked: None, looking: Job::idle(Work::AimOff), found: None }
    }
}

impl AimOff {
    /// What is told of the locks of this housing; `None` until it is known, and where the shop cannot be
    /// read.
    #[must_use]
    pub(crate) const fn found(&self) -> Option<&LockAdvice> {
        self.found.as_ref()
    }
}
