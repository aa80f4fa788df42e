//! Reading all sessions of a shop on a thread of its own: ten thousand take seconds.

use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use record::shop::ReturnedSession;
use record::{Shop, Survey, survey};

use crate::services::Wake;

/// The sessions of a shop being read.
pub struct Reading {
    /// Whose.
    pub folder: PathBuf,
    receiver: Receiver<Result<Survey, String>>,
}

impl Reading {
    /// Starts; `wake` is called when it is done.
    ///
    /// # Errors
    /// When no thread can be had.
    pub fn start(folder: &Path, wake: Wake) -> Result<Self, String> {
        let (sender, receiver) = channel();
        let of = folder.to_owned();
        let look = move || {
            // One is left for the window.
            let all = std::thread::available_parallelism().map_or(1, NonZeroUsize::get);
            let workers = NonZeroUsize::new(all.saturating_sub(1)).unwrap_or(NonZeroUsize::MIN);
            let found = survey(&of, workers).map_err(|why| why.to_string());
            // The window may be gone; then nobody waits.
            if sender.send(found).is_ok() {
                wake();
            }
        };
        std::thread::Builder::new()
            .name("survey".to_owned())
            .spawn(look)
            .map(|_| Self { folder: folder.to_owned(), receiver })
            .map_err(|error| format!("The sessions cannot be read: {error}."))
    }

    /// What was found; `None` while it goes on.
    pub fn hear(&self) -> Option<Result<Survey, String>> {
        match self.receiver.try_recv() {
            Ok(found) => Some(found),
            Err(TryRecvError::Empty) => None,
            Err(TryRecvError::Disconnected) => {
                Some(Err("Reading the sessions broke off; read them again.".to_owned()))
            }
        }
    }
}

/// What a supervisor sent back, being looked for when a shop is opened: much quicker than reading all
/// sessions.
pub struct Returns(Receiver<Vec<ReturnedSession>>);

impl Returns {
    /// Starts; `wake` is called when it is done. `None` when no thread can be had: then the shop's
    /// table tells.
    #[must_use]
    pub fn start(shop: Shop, wake: Wake) -> Option<Self> {
        let (sender, receiver) = channel();
        let look = move || {
            let found = shop.returned().unwrap_or_else(|why| {
                log::warn!("{why}");
                Vec::new()
            });
            // The window may be gone; then nobody waits.
            if sender.send(found).is_ok() {
                wake();
            }
        };
        let started = std::thread::Builder::new().name("returns".to_owned()).spawn(look);
        started.ok().map(|_| Self(receiver))
    }

    /// What was found, once.
    #[must_use]
    pub fn hear(&self) -> Option<Vec<ReturnedSession>> {
        self.0.try_recv().ok()
    }
}
