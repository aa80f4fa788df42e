//! What to aim off for: how far the locks of this housing turned their rings in the shop's other
//! sessions. Reads files, so on a thread of its own.

use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use record::{LockAdvice, RealDisk, Shop};

use super::App;

/// What the shop's last sessions tell of the locks, once it is known.
#[derive(Debug, Default)]
pub struct AimOff {
    /// The housing and session it was asked for.
    asked: Option<(String, PathBuf)>,
    waiting: Option<Receiver<Option<LockAdvice>>>,
    found: Option<LockAdvice>,
}

impl AimOff {
    /// What is told of the locks of this housing; `None` until it is known, and where the shop cannot be
    /// read.
    #[must_use]
    pub const fn found(&self) -> Option<&LockAdvice> {
        self.found.as_ref()
    }
}

impl App {
    /// Starts looking, unless it was found for this session already.
    pub(super) fn find_aim_off(&mut self) {
        let Some(session) = &self.session else { return };
        let Some(housing) = session.state().housing().map(|housing| housing.name.clone()) else {
            return;
        };
        let Some(shop) = self.shop.shop().cloned() else { return };
        let wanted = Some((housing.clone(), session.file().path().to_owned()));
        if self.aim_off.asked == wanted {
            return;
        }
        let (sender, receiver) = channel();
        let (except, wake) = (session.file().path().to_owned(), self.wake.clone());
        let look = move || {
            let found = locks(&shop, &housing, &except);
            // The window may be gone; then nobody waits.
            if sender.send(found).is_ok() {
                wake();
            }
        };
        match std::thread::Builder::new().name("aim-off".to_owned()).spawn(look) {
            Ok(_) => {
                self.aim_off = AimOff { asked: wanted, waiting: Some(receiver), found: None };
            }
            Err(error) => log::warn!("no thread for the aim-off: {error}"),
        }
    }

    /// Hears what was found.
    pub(super) fn hear_aim_off(&mut self) {
        let Some(waiting) = &self.aim_off.waiting else { return };
        match waiting.try_recv() {
            Ok(found) => {
                self.aim_off.found = found;
                self.aim_off.waiting = None;
            }
            Err(TryRecvError::Empty) => {}
            Err(TryRecvError::Disconnected) => self.aim_off.waiting = None,
        }
    }
}

fn locks(shop: &Shop, housing: &str, except: &std::path::Path) -> Option<LockAdvice> {
    let found = shop.locks_of(housing, except, &RealDisk);
    found.inspect_err(|error| log::warn!("{error}")).ok()
}
