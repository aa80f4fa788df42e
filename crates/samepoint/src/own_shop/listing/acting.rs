//! What a hand asks of a list: it is read and shown, and kept only when the hand says so.

use paper::words::capital;
use record::import_csv::read_bytes;
use record::is_nobody;
use record::lists::{ListError, ListKind, parse_list};

use super::{ListAction, ListSheet, counted_of};
use crate::app::App;
use crate::sheets::Sheet;
use crate::shell::open_shop::program;
use crate::shell::refusals::{NO_HAND, NO_SHOP};

impl App {
    /// Brings the sheet for a list to the front.
    pub(crate) fn show_list_sheet(&mut self) {
        if self.shell.shop.shop().is_none() {
            self.say(NO_SHOP);
            return;
        }
        self.bring(Sheet::List(ListSheet::default()));
    }

    pub(crate) fn list_action(&mut self, action: ListAction) {
        match action {
            ListAction::Read => self.read_list(),
            ListAction::Keep => self.keep_list(),
        }
    }

    fn refuse_list(&mut self, why: String) {
        if let Sheet::List(sheet) = &mut self.front {
            sheet.path.refused = Some(why);
        }
    }

    /// Reads the file named on the sheet and looks what it would be in the shop; nothing is written.
    fn read_list(&mut self) {
        let today = self.shell.now().date();
        let Sheet::List(sheet) = &mut self.front else { return };
        let Some(path) = sheet.path.chosen() else {
            return self.refuse_list("Say which file.".to_owned());
        };
        *sheet = ListSheet { path: sheet.path.clone(), ..ListSheet::default() };
        let read = read_bytes(&path).map_err(ListError::from);
        match read.and_then(|bytes| parse_list(&bytes, today)) {
            Ok(list) => {
                let disk = &*self.shell.services.disk;
                let tried = self.shell.shop.shop().map(|shop| shop.try_list(&list, disk));
                sheet.path.refused = None;
                sheet.list = tried;
            }
            Err(why) => {
                let told = format!("{}: {why}.", record::shown::path(&path));
                self.refuse_list(told);
            }
        }
    }

    /// Keeps the rows that are new, one after the other; the first that cannot be written ends it, and all that is
    /// left stays on the sheet.
    fn keep_list(&mut self) {
        let Sheet::List(sheet) = &self.front else { return };
        let Some(list) = sheet.list.clone() else { return };
        let hand = self.shell.known_hand().trim().to_owned();
        if list.kind == ListKind::Sessions {
            let who = self.shell.who_first().map_err(String::from);
            let known =
                who.and_then(|()| if is_nobody(&hand) { Err(NO_HAND.into()) } else { Ok(()) });
            if let Err(why) = known {
                return self.refuse_list(why);
            }
        }
        let (now, today) = (self.shell.services.clock.now(), self.shell.now().date());
        let mut kept = 0_usize;
        let mut refused = None;
        for row in list.new_rows() {
            let options = self.shell.file_options();
            let (Some(shop), Ok(listed)) = (self.shell.shop.shop.as_mut(), &row.listed) else {
                break;
            };
            if let Err(why) = shop.keep_listed(listed, now, (&program(), &hand), options) {
                refused = Some(capital(&format!("line {}: {why}.", row.line)));
                break;
            }
            kept += 1;
        }
        self.shell.shop.refresh_kept(today);
        self.shell.shop.refresh_waiting();
        let disk = &*self.shell.services.disk;
        let tried = self.shell.shop.shop().map(|shop| shop.try_list(&list, disk));
        let done = format!("{} kept.", capital(&counted_of(kept, list.kind)));
        if let Sheet::List(sheet) = &mut self.front {
            sheet.list = tried;
            sheet.done.clone_from(&done);
            sheet.path.refused = refused;
        }
        self.say(done);
    }
}
