//! The label of the open session's unit: its sheet, and the file.

use std::path::Path;

use record::{Account, Date};

use super::App;
use crate::pictures::Eyes;
use crate::report_file::write_label;
use crate::sheets::Sheet;
use crate::sheets::label::LabelSheet;
use crate::shell::open_shop::words_of;
use crate::shell::path_sheet::PathSheet;

impl App {
    pub(crate) fn show_label_sheet(&mut self) {
        let Some(session) = &self.session else { return };
        let path = session.file().path();
        let name = format!("{} label.pdf", words_of(path));
        let mut sheet =
            LabelSheet { path: PathSheet::at(&path.with_file_name(name)), ..LabelSheet::default() };
        match self.account_on_disk() {
            Ok(account) => sheet.says = paper::label(&account, None).says,
            Err(why) => sheet.path.refused = Some(why),
        }
        self.bring(Sheet::Label(sheet));
    }

    /// Writes the label of what is on disk: its QR code names a line of the file.
    pub(crate) fn write_label(&mut self, to: &Path) {
        let Sheet::Label(sheet) = &self.front else { return };
        let due = match sheet.due.trim() {
            "" => Ok(None),
            typed => typed.parse::<Date>().map(Some).map_err(|_| {
                format!(
                    "“{typed}” is no day, such as 2027-11-25; leave it empty for a line to write on"
                )
            }),
        };
        let written = due.and_then(|due| {
            let account = self.account_on_disk()?;
            write_label(&account, to, due).map_err(|why| why.to_string())
        });
        match written {
            Ok(()) => {
                self.put_away();
                self.shell.say_where("Label written to", to, "");
            }
            Err(why) => {
                if let Sheet::Label(sheet) = &mut self.front {
                    sheet.path.refused = Some(why);
                }
            }
        }
    }

    /// The open session as its file has it, its pictures read again.
    fn account_on_disk(&self) -> Result<Account, String> {
        let Some(session) = &self.session else { return Err("no session is open".to_owned()) };
        let mut account = record::review(session.file().path(), &record::RealDisk)
            .map_err(|why| why.to_string())?;
        account.read_pictures_again(&Eyes);
        Ok(account)
    }
}
