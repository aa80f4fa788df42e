//! The seal that is being made: where it stands, in words.

use std::path::PathBuf;
use std::time::Duration;

use record::Seq;

use super::choice::SealWith;
use crate::jobs::{Broken, Job, Work, Workers};
use crate::sealing::{Asks, KeyFrom, NotSealed, OpenSsh, StopSealing, ToSeal};
use crate::widgets::Tone;

/// How long a program that was stopped may take to be gone, when the window closes.
pub(crate) const GONE: Duration = Duration::from_secs(1);

/// A seal on its way.
#[derive(Debug)]
pub struct RunningSeal {
    /// The session it belongs to.
    pub path: PathBuf,
    /// What is sealed.
    pub what: ToSeal,
    /// With which key.
    pub with: SealWith,
    /// Where it stands.
    pub progress: SealProgress,
}

/// Where a seal stands.
#[derive(Debug, Default)]
pub enum SealProgress {
    /// What is to be sealed is on its way to disk.
    #[default]
    Saving,
    /// The key is waited for.
    Waiting(WaitingKey),
    /// The seal is on its way to disk.
    Keeping {
        /// Its fact.
        seq: Seq,
        /// What it comes to.
        said: String,
    },
    /// It is sealed; what that comes to.
    Sealed(String),
    /// It is not, and why.
    Not(String),
}

/// Why no seal came of it.
#[derive(Debug, thiserror::Error)]
pub enum NotMade {
    /// The program that makes seals made none.
    #[error(transparent)]
    NotSealed(NotSealed),
    /// Nobody waits for it any more.
    #[error("{}", .0.why())]
    Broken(Broken),
}

/// A key that is waited for.
#[derive(Debug)]
pub struct WaitingKey {
    stop: StopSealing,
    making: Job<Result<String, NotSealed>>,
}

impl WaitingKey {
    /// What came of it, once something did.
    pub fn hear(&mut self) -> Option<Result<String, NotMade>> {
        Some(match self.making.hear()? {
            Ok(made) => made.map_err(NotMade::NotSealed),
            Err(broken) => Err(NotMade::Broken(broken)),
        })
    }

    /// Ends the program that was started for it.
    pub fn stop(&self) {
        self.stop.stop();
    }

    /// The same, and waits until it is gone.
    pub fn stop_now(mut self) {
        self.stop.stop();
        if self.making.wait(GONE).is_none() {
            log::warn!("ssh-keygen did not end in time");
        }
    }
}

/// Has a seal made by a worker.
pub(crate) fn start(openssh: &OpenSsh, running: &RunningSeal, workers: &Workers) -> SealProgress {
    let stop = StopSealing::default();
    let (openssh, key, stops) = (openssh.clone(), running.with.from.clone(), stop.clone());
    let line_hash = running.what.line_hash.clone();
    let mut making = Job::idle(Work::Seal);
    making.start(workers, move || openssh.sign(&key, &line_hash, Asks::Nobody, &stops));
    SealProgress::Waiting(WaitingKey { stop, making })
}

impl RunningSeal {
    /// Whether it is not done yet.
    #[must_use]
    pub const fn is_going_on(&self) -> bool {
        !matches!(self.progress, SealProgress::Sealed(_) | SealProgress::Not(_))
    }

    /// Whether a key is waited for, so that Esc stops it.
    #[must_use]
    pub const fn is_waiting(&self) -> bool {
        matches!(self.progress, SealProgress::Waiting(_))
    }

    /// Where it stands, in words.
    #[must_use]
    pub fn told(&self) -> (Tone, String) {
        let (word, key) = (self.what.word, &self.with.key);
        match &self.progress {
            SealProgress::Saving => {
                (Tone::Plain, format!("The seal waits until what is {word} is on disk."))
            }
            SealProgress::Waiting(_) => {
                let wait = match (key.is_touched, &self.with.from) {
                    (true, _) => format!("Touch your key now: {}", key.words),
                    (false, KeyFrom::Agent(_)) => format!(
                        "Waiting for your agent to seal with {}: it may ask you, or want a touch",
                        key.words
                    ),
                    (false, KeyFrom::File(_)) => format!("Waiting for {}", key.words),
                };
                (Tone::Look, format!("{wait}. Esc stops waiting; it stays {word} without a seal."))
            }
            SealProgress::Keeping { .. } => {
                (Tone::Plain, "The seal is on its way to disk.".to_owned())
            }
            SealProgress::Sealed(said) => (Tone::Good, format!("Sealed, {word}: {said}.")),
            SealProgress::Not(why) => {
                (Tone::Look, format!("It is {word}, and not sealed: {why}. {}", Work::Seal.again()))
            }
        }
    }
}
