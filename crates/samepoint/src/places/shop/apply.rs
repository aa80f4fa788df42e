//! The shop: reading its sessions, finding one, going to it.

use paper::words::capital;
use std::path::{Path, PathBuf};

use paper::PaperSize;
use record::ledger::{Noting, set_end_aside};
use record::shop::ReturnedSession;

use super::chart::Leads;
use super::{ShopAction, reading};
use crate::app::App;
use crate::places::review::ReviewAction;
use crate::report_file::write_recall_list;
use crate::sheets::Front;
use crate::shell::open_shop::program;
use crate::shell::path_sheet::PathSheet;
use crate::shell::refusals::NO_SHOP;

impl App {
    pub(crate) fn shop_action(&mut self, action: ShopAction) {
        let shop = &mut self.places.shop;
        match action {
            ShopAction::Show(part) => {
                shop.part = part;
                shop.refresh();
            }
            ShopAction::Filter => shop.refresh(),
            ShopAction::Sort(by) => {
                shop.sort = if shop.sort.0 == by { (by, !shop.sort.1) } else { (by, false) };
                shop.refresh();
            }
            ShopAction::Compare(quantity) => {
                shop.quantity = Some(quantity);
                shop.refresh();
            }
            ShopAction::ByHand(by_hand) => {
                shop.by_hand = by_hand;
                shop.refresh();
            }
            ShopAction::Again => self.read_sessions(),
            ShopAction::Follow(Leads::Days(from, to)) => shop.show_days(from, to),
            ShopAction::Follow(Leads::Session(index)) | ShopAction::Review(index) => {
                if let Some(path) = self.session_file(index) {
                    self.review_action(ReviewAction::Open(path));
                }
            }
            ShopAction::ReviewFile(path) => self.review_action(ReviewAction::Open(path)),
            ShopAction::SetLedgerEndAside(path) => self.set_ledger_end_aside(&path),
            ShopAction::RecallListTo(path) => self.write_recall_list(&path),
            ShopAction::Bench(index) => {
                if let Some(path) = self.session_file(index)
                    && let Err(why) = self.open_path(&path)
                {
                    self.warnings.push(why);
                }
            }
        }
    }

    /// Goes on in a ledger file whose end is missing, on the hand's word.
    fn set_ledger_end_aside(&mut self, path: &Path) {
        let done = self.named_hand().and_then(|hand| {
            let options = self.file_options();
            let noting = Noting { program: program(), hand, agreed: false, options };
            set_end_aside(path, &noting).map_err(|why| why.to_string())
        });
        match done {
            Ok(aside) => {
                self.say(capital(&aside.to_string()));
                self.read_sessions();
            }
            Err(why) => self.warnings.push(why),
        }
    }

    /// Asks where the recall list is to go, once the sessions are read.
    pub(crate) fn show_recall_sheet(&mut self) {
        let folder = self.shop.offers().folder.clone();
        if folder.as_os_str().is_empty() {
            self.say(NO_SHOP);
        } else if self.places.shop.survey.is_none() {
            if !self.places.shop.reading.is_going_on() {
                self.read_sessions();
            }
            self.say("The shop’s sessions are being read; ask for the list again when they are.");
        } else {
            let day = self.services.clock.now().date();
            let path = folder.join(format!("recall {day}.pdf"));
            self.bring(Front::RecallList(PathSheet::at(&path)));
        }
    }

    /// Writes the recall list as it stands on screen.
    fn write_recall_list(&mut self, to: &Path) {
        let Some(survey) = &self.places.shop.survey else { return };
        let folder = &self.shop.offers().folder;
        match write_recall_list(survey, folder, to, self.services.clock.now(), PaperSize::A4) {
            Ok(()) => {
                self.put_away();
                self.say_where("Recall list written to", to, "");
            }
            Err(why) => {
                if let Front::RecallList(sheet) = &mut self.front {
                    sheet.refused = Some(why);
                }
            }
        }
    }

    pub(crate) fn session_file(&self, index: usize) -> Option<PathBuf> {
        let session = self.places.shop.session(index)?;
        Some(self.shop.offers().folder.join("sessions").join(&session.file))
    }

    /// Reads all sessions of the shop; what was read before stays in sight meanwhile.
    pub(crate) fn read_sessions(&mut self) {
        let folder = self.shop.offers().folder.clone();
        if folder.as_os_str().is_empty() {
            self.places.shop.refused = Some(NO_SHOP.to_owned());
            return;
        }
        let workers = self.workers();
        self.places.shop.refused = None;
        self.places.shop.reading.start(&workers, move || reading::read(&folder));
    }

    /// Looks for what a supervisor sent back.
    pub(crate) fn look_for_returns(&mut self) {
        let Some(shop) = self.shop.shop().cloned() else { return };
        let workers = self.workers();
        self.places.shop.returns.start(&workers, move || reading::returned(&shop));
    }

    /// Hears what the sessions come to.
    pub(crate) fn hear_survey(&mut self) {
        match self.places.shop.returns.hear() {
            None => {}
            Some(Ok(found)) => {
                self.places.shop.returned = found.iter().map(ReturnedSession::words).collect();
                self.tell_returns(&found);
            }
            Some(Err(broken)) => self.warn_of(&broken),
        }
        let shop = &mut self.places.shop;
        let Some(found) = shop.reading.hear() else { return };
        match found {
            Ok(Ok((survey, practised))) => {
                shop.take_up(survey);
                shop.practised = Some(practised);
            }
            Ok(Err(why)) => shop.refused = Some(why),
            Err(broken) => shop.refused = Some(broken.to_string()),
        }
        shop.refresh();
        self.tell_risk();
    }

    /// Says what was sent back, unless something else is being said; the comment is in the shop.
    fn tell_returns(&mut self, found: &[ReturnedSession]) {
        let [first, others @ ..] = found else { return };
        if self.notice.is_some() {
            return;
        }
        let more = match others.len() {
            0 => String::new(),
            count => format!(" and {count} more"),
        };
        let (unit, by) = (&first.unit, &first.by);
        self.say(format!("Returned by {by}: {unit}{more}. The shop (Alt+H) says why."));
    }
}
