//! What to aim off for: how far the locks of this housing turned their rings in the shop's other
//! sessions. Reads files, so on a thread of its own.

use std::path::PathBuf;

use record::{RealDisk, Shop};
use solver::PerChannel;
use solver::stats::robust::Middle;

use super::App;
use crate::jobs::{Job, Work};

/// The median turn on tightening of each lock, once it is known.
#[derive(Debug)]
pub struct AimOff {
    /// The housing and session it was asked for.
    asked: Option<(String, PathBuf)>,
    looking: Job<PerChannel<Option<Middle>>>,
    found: PerChannel<Option<Middle>>,
}

impl Default for AimOff {
    fn default() -> Self {
        Self { asked: None, looking: Job::idle(Work::AimOff), found: PerChannel::default() }
    }
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
        let except = session.file().path().to_owned();
        let workers = self.workers();
        self.aim_off.asked = wanted;
        self.aim_off.found = PerChannel::default();
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

fn locks(shop: &Shop, housing: &str, except: &std::path::Path) -> PerChannel<Option<Middle>> {
    match shop.locks_of(housing, except, &RealDisk) {
        Ok(turned) => turned.as_ref().map(|turned| record::aim_off(turned)),
        Err(error) => {
            log::warn!("{error}");
            PerChannel::default()
        }
    }
}
