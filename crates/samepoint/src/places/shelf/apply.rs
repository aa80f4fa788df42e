//! The shelf: matching it, beginning a session with what was matched, beginning its list.

use paper::words::capital;
use record::{Matched, Stock};

use super::picture::ShelfView;
use super::{ShelfAction, Shelving, WhyNone, working};
use crate::jobs::Stop;
use crate::shell::Shell;
use crate::shell::effect::Effect;
use crate::shell::refusals::Refusal;

impl Shelving {
    /// Does what was asked.
    pub(crate) fn apply(&mut self, action: ShelfAction, shell: &mut Shell) -> Vec<Effect> {
        match action {
            ShelfAction::Show(part) => (self.part, self.row) = (part, None),
            ShelfAction::At(row) => self.row = Some(row),
            ShelfAction::Again => self.work(shell),
            ShelfAction::Stop => self.stop.ask(),
            ShelfAction::Begin(which) => {
                let picked = self.picture.as_ref().and_then(|picture| picture.picked(which));
                let begins = picked.map(|one| Effect::SetUp(Box::new(one.begins.clone())));
                return begins.into_iter().collect();
            }
            ShelfAction::Review(path) => return vec![Effect::Review(path)],
            ShelfAction::BeginList => match begin_list(shell) {
                Ok(()) => self.work(shell),
                Err(why) => shell.warn(capital(&why.to_string())),
            },
        }
        Vec::new()
    }

    /// Matches anew when the hand comes here: sessions may have been added. What was matched before stays in
    /// sight meanwhile.
    pub(crate) fn come(&mut self, shell: &Shell) {
        self.work(shell);
    }

    fn work(&mut self, shell: &Shell) {
        self.stop.ask();
        let folder = shell.shop.offers().folder.clone();
        if folder.as_os_str().is_empty() {
            self.why_none = Some(WhyNone::NoShop);
            return;
        }
        self.why_none = None;
        self.stop = Stop::default();
        let stop = self.stop.clone();
        self.working.start(&shell.workers(), move || working::matched(&folder, &stop));
    }

    /// Hears what came of the matching.
    pub(crate) fn hear(&mut self, shell: &Shell) {
        let Some(heard) = self.working.hear() else { return };
        self.why_none = match heard {
            Ok(Ok(Matched::Done(matching))) => {
                let folder = &shell.shop.offers().folder;
                // What was a unit to be built may be another now.
                self.row = None;
                self.picture = Some(ShelfView::of(&matching, folder));
                None
            }
            Ok(Ok(Matched::Stopped)) => Some(WhyNone::Stopped),
            Ok(Ok(Matched::NoShelf)) => {
                self.picture = None;
                Some(WhyNone::NoShelf)
            }
            // What was matched before may rest on what cannot be read any more.
            Ok(Err(why)) => {
                self.picture = None;
                Some(WhyNone::Refused(why.to_string()))
            }
            Err(broken) => Some(WhyNone::Refused(broken.to_string())),
        };
    }
}

/// Writes a list of the parts that the shop's units name, all as in use.
fn begin_list(shell: &mut Shell) -> Result<(), Refusal> {
    let shop = shell.shop.shop().ok_or(Refusal::NoShop)?;
    let stock = Stock::of_units(shop).ok_or(Refusal::NoWindowKept)?;
    let path = shop.keep_stock(stock)?;
    shell.say_where("The list was begun in", &path, "");
    Ok(())
}
