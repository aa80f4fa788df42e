//! How far a survey has come, told while it goes on.

use std::sync::atomic::{AtomicUsize, Ordering};

/// How many files a survey is to look at, and how many of them it has; every thread may ask.
#[derive(Debug, Default)]
pub struct SurveyProgress {
    listed: AtomicUsize,
    looked_at: AtomicUsize,
}

impl SurveyProgress {
    /// So many more files are to be looked at. Of several folders each is listed when it is reached.
    pub(super) fn list(&self, files: usize) {
        self.listed.fetch_add(files, Ordering::Relaxed);
    }

    /// One more was looked at.
    pub(super) fn look_at_one(&self) {
        self.looked_at.fetch_add(1, Ordering::Relaxed);
    }

    /// How many files were looked at, of how many that are listed so far: none before the first folder is listed.
    #[must_use]
    pub fn so_far(&self) -> (usize, usize) {
        // Those that are listed are asked for last, so that never more were looked at.
        let looked_at = self.looked_at.load(Ordering::Relaxed);
        (looked_at, self.listed.load(Ordering::Relaxed))
    }
}
