//! The label of the open session's unit: its sheet, and the file.

use std::path::Path;

use record::{Account, Date};

use super::App;
use crate::pictures::Eyes;
use crate::report_file::write_label;
use crate::sheets::{LabelSheet, Sheet};
use crate::shell::open_shop::words_of;
use crate::shell::path_sheet::PathSheet;

impl App {
    pub(crate) fn show_label_sheet(&mut self) {
        let Some(session) = &self.session else { return };
        let path = session.file().path();
        let name = format!("{} label.pdf", words_of(path));
        let mut sheet =
            LabelSheet { path: PathSheet::at(&path.with_file_name(name)), ..LabelSheet::default() };
        match account_on_disk(path) {
            Ok(account) => sheet.says = paper::label(&account, None).says,
            Err(why) => sheet.path.refused = Some(why.to_string()),
        }
        self.bring(Sheet::Label(sheet));
    }

    /// Writes the label of what is on disk: its QR code names a line of the file.
    pub(crate) fn write_label(&mut self, to: &Path) {
        let (Sheet::Label(sheet), Some(session)) = (&self.front, &self.session) else { return };
        let path = session.file().path().to_owned();
        let due = match sheet.due.trim() {
            "" => Ok(None),
            typed => typed.parse::<Date>().map(Some).map_err(|_| {
                format!(
                    "“{typed}” is no day, such as 2027-11-25; leave it empty for a line to write on"
                )
            }),
        };
        let written = due.and_then(|due| {
            let account = account_on_disk(&path).map_err(|why| why.to_string())?;
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
}

/// A session as its file has it, its pictures read again.
fn account_on_disk(path: &Path) -> Result<Account, record::Error> {
    let mut account = record::review(path, &record::RealDisk)?;
    account.read_pictures_again(&Eyes);
    Ok(account)
}
