//! Reading all sessions of a shop on a thread of its own: ten thousand take seconds.

use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use record::{Survey, survey};

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
            let workers = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
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
