//! Reading back: what was logged is spoken, by a worker, while the hand goes on.

use std::time::Duration;

use crate::jobs::{Job, Work};
use crate::speech::Hush;

/// How long a program that was ended may take to be gone, when the window closes.
pub(crate) const GONE: Duration = Duration::from_secs(1);

/// What is being said, and the one sentence that waits behind it.
#[derive(Debug)]
pub(crate) struct ReadingBack {
    pub(crate) saying: Job<Result<(), String>>,
    pub(crate) hush: Hush,
    /// The newest; those before it are not said any more.
    pub(crate) next: Option<String>,
    /// Whether it was told that it fails.
    pub(crate) told: bool,
}

impl Default for ReadingBack {
    fn default() -> Self {
        Self { saying: Job::idle(Work::ReadBack), hush: Hush::default(), next: None, told: false }
    }
}
