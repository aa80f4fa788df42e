//! What a hand asks of the shop it works in, done.

use record::Shop;

use super::OwnAction;
use super::begin::BeginSheet;
use crate::app::App;
use crate::sheets::Sheet;

impl App {
    pub(crate) fn own_action(&mut self, action: OwnAction) {
        match action {
            OwnAction::LookRound => {
                self.answer_first_start();
                self.put_away();
            }
            OwnAction::AskBegin => self.show_begin_sheet(),
            OwnAction::Begin => self.begin_shop(),
            OwnAction::ShowKeeps => self.show_keeps(),
        }
    }

    /// At the very first start: asks the one question there is, over the demo shop.
    pub(crate) fn ask_at_first_start(&mut self) {
        if self.shell.preferences.welcomed || !self.shell.preferences.hand.is_empty() {
            return;
        }
        self.bring(Sheet::FirstStart);
    }

    fn answer_first_start(&mut self) {
        self.shell.preferences.welcomed = true;
        self.save_preferences();
    }

    pub(crate) fn show_begin_sheet(&mut self) {
        self.answer_first_start();
        let home = self.shell.services.folders.home.clone();
        let sheet = BeginSheet::below(&home, self.shell.known_hand());
        if self.front == Sheet::FirstStart {
            self.uncover();
        }
        self.bring(Sheet::Begin(sheet));
    }

    pub(crate) fn show_keeps(&mut self) {
        let today = self.shell.now().date();
        self.shell.shop.refresh_kept(today);
        self.bring(Sheet::Keeps);
    }

    fn begin_shop(&mut self) {
        let Sheet::Begin(sheet) = &self.front else { return };
        let (letterhead, hand) = (sheet.letterhead(), sheet.hand(self.shell.now().date()));
        let initials = hand.as_ref().map(|hand| hand.initials.clone());
        let begun = match sheet.folder.chosen() {
            None => Err("Say in which folder the shop is to lie.".to_owned()),
            Some(folder) => {
                let disk = std::sync::Arc::clone(&self.shell.services.disk);
                Shop::begin(&folder, letterhead, hand, &*disk)
                    .map_err(|why| paper::words::capital(&format!("{why}.")))
                    .and_then(|shop| self.open_path(&shop.folder))
            }
        };
        if let Err(why) = begun {
            if let Sheet::Begin(sheet) = &mut self.front {
                sheet.folder.refused = Some(why);
            }
            return;
        }
        if let Some(initials) = initials {
            self.named_on_sheet(&initials);
            self.shell.preferences.hand = initials;
        }
        self.save_preferences();
        // An empty shop opens with a new session’s sheet: what it keeps comes first.
        self.front = Sheet::Clear;
        self.behind.clear();
        self.show_keeps();
        let folder = self.shell.shop.offers().folder.clone();
        self.shell.say_where("The shop is begun in", &folder, "");
    }

    /// Whether Esc was heeded: it drops what was typed only when pressed twice.
    pub(crate) fn ask_before_drop(&mut self) -> bool {
        match &mut self.front {
            Sheet::FirstStart => {
                self.answer_first_start();
                false
            }
            Sheet::Begin(sheet) if sheet.holds_work() && !sheet.asks_drop => {
                sheet.asks_drop = true;
                true
            }
            _ => false,
        }
    }
}
