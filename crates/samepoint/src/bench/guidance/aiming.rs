//! Looking up, once a session, what the locks of its housing turned.

use crate::app::App;
use record::{LockAdvice, RealDisk, Shop};

impl App {
    /// Starts looking, unless it was found for this session already.
    pub(crate) fn find_aim_off(&mut self) {
        let Some(session) = &self.session else { return };
        let Some(housing) = session.state().housing().map(|housing| housing.name.clone()) else {
            return;
        };
        let Some(shop) = self.shell.shop.shop().cloned() else { return };
        let wanted = Some((housing.clone(), session.file().path().to_owned()));
        if self.aim_off.asked == wanted {
            return;
        }
        let except = session.file().path().to_owned();
        let workers = self.shell.workers();
        self.aim_off.asked = wanted;
        self.aim_off.found = None;
        self.aim_off.looking.start(&workers, move || locks(&shop, &housing, &except));
    }

    /// Hears what was found.
    pub(crate) fn hear_aim_off(&mut self) {
        match self.aim_off.looking.hear() {
            None => {}
            Some(Ok(found)) => self.aim_off.found = found,
            Some(Err(broken)) => {
                self.aim_off.asked = None;
                self.shell.warn_of(&broken);
            }
        }
    }
}

fn locks(shop: &Shop, housing: &str, except: &std::path::Path) -> Option<LockAdvice> {
    let found = shop.locks_of(housing, except, &RealDisk);
    found.inspect_err(|error| log::warn!("{error}")).ok()
}
