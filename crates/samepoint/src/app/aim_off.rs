//! What to aim off for: how far the locks of this housing turned their rings in the shop's other
//! sessions. Reads files, so on a thread of its own.

use std::path::PathBuf;

use record::{LockAdvice, RealDisk, Shop};

use super::App;
use crate::jobs::{Job, Work};

/// What the shop's last sessions tell of the locks, once it is known.
#[derive(Debug)]
pub struct AimOff {
    /// The housing and session it was asked for.
    asked: Option<(String, PathBuf)>,
    looking: Job<Option<LockAdvice>>,
    found: Option<LockAdvice>,
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
        let except = session.file().path().to_owned();
        let workers = self.workers();
        self.aim_off.asked = wanted;
        self.aim_off.found = None;
        self.aim_off.looking.start(&workers, move || locks(&shop, &housing, &except));
    }

    /// Hears what was found.
    pub(super) fn hear_aim_off(&mut self) {
        match self.aim_off.looking.hear() {
            None => {}
            Some(Ok(found)) => self.aim_off.found = found,
            Some(Err(broken)) => {
                self.aim_off.asked = None;
                self.warn_of(&broken);
            }
        }
    }
}

fn locks(shop: &Shop, housing: &str, except: &std::path::Path) -> Option<LockAdvice> {
    let found = shop.locks_of(housing, except, &RealDisk);
    found.inspect_err(|error| log::warn!("{error}")).ok()
}
