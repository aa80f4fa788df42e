//! What to aim off for: how far the locks of this housing turned their rings in the shop's other
//! sessions. Reads files, so on a thread of its own.

use std::path::PathBuf;
use std::sync::mpsc::{Receiver, TryRecvError, channel};

use record::{RealDisk, Shop};
use solver::PerChannel;
use solver::stats::robust::Middle;

use super::App;

/// The median turn on tightening of each lock, once it is known.
#[derive(Debug, Default)]
pub struct AimOff {
    /// The housing and session it was asked for.
    asked: Option<(String, PathBuf)>,
    waiting: Option<Receiver<PerChannel<Option<Middle>>>>,
    found: PerChannel<Option<Middle>>,
}

impl AimOff {
    /// The median turn of each ring on tightening, degrees clockwise, with its spread; `None` from
    /// fewer sessions than it takes.
    #[must_use]
    pub const fn found(&self) -> &PerChannel<Option<Middle>> {
        &self.found
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
                self.aim_off =
                    AimOff { asked: wanted, waiting: Some(receiver), found: PerChannel::default() };
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

fn locks(shop: &Shop, housing: &str, except: &std::path::Path) -> PerChannel<Option<Middle>> {
    match shop.locks_of(housing, except, &RealDisk) {
        Ok(turned) => turned.as_ref().map(|turned| record::aim_off(turned)),
        Err(error) => {
            log::warn!("{error}");
            PerChannel::default()
        }
    }
}
