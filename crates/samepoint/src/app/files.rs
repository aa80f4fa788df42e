//! Files: copies, reports, dialogs, going on in a new file.

use paper::words::capital;
use std::sync::Arc;

use record::SessionFile;

use super::App;
use crate::dialogs::Ask;
use crate::sheets::{ReportSheet, Sheet};
use crate::shell::of_shop::OfShop;
use crate::shell::path_sheet::PathSheet;
use crate::shell::to_salvage::ToSalvage;
use crate::waiting::HeldFile as _;
use crate::waiting::acting::beside;

impl App {
    pub(crate) fn show_copy_sheet(&mut self) {
        let Some(session) = &self.session else { return };
        let path = session.file().path();
        let folder = self.folder_for(path, session.file().takes_nothing());
        let sheet = PathSheet::at(&beside(&folder, path, "copy"));
        self.bring(Sheet::KeepCopy(sheet));
    }

    pub(crate) fn keep_copy(&mut self, path: &std::path::Path) {
        let Some(session) = &mut self.session else { return };
        match session.file_mut().keep_copy(path) {
            Ok(copied) => {
                self.put_away();
                let too = match copied.in_memory {
                    0 => String::new(),
                    1 => "; the fact that is only in memory is in the copy too".to_owned(),
                    n => format!("; the {n} facts that are only in memory are in the copy too"),
                };
                self.shell.say_where("Copied to", path, &too);
            }
            Err(why) => {
                if let Sheet::KeepCopy(sheet) = &mut self.front {
                    sheet.refused = Some(why.to_string());
                }
            }
        }
    }

    pub(crate) fn ask_path(&mut self) {
        let folder = |path: &std::path::Path| {
            path.parent().map(std::path::Path::to_owned).unwrap_or_default()
        };
        let ask = match (&mut self.front, &self.session) {
            (Sheet::Open(sheet), session) => {
                sheet.asking = true;
                let start = session.as_ref().map(|session| folder(session.file().path()));
                Ask::OpenSession { start: start.unwrap_or_default() }
            }
            (Sheet::Begin(sheet), _) => {
                sheet.folder.asking = true;
                Ask::ShopFolder { start: self.shell.services.folders.home.clone() }
            }
            (Sheet::KeepCopy(sheet), Some(_)) => {
                sheet.asking = true;
                let path = sheet.chosen().unwrap_or_default();
                Ask::KeepCopy { start: folder(&path), name: name_of(&path) }
            }
            (Sheet::Continue(sheet), _) => {
                sheet.path.asking = true;
                let path = sheet.path.chosen().unwrap_or_default();
                Ask::Continue { start: folder(&path), name: name_of(&path) }
            }
            (Sheet::Receiving(sheet), _) => {
                sheet.asking = true;
                Ask::OpenPicture { start: self.shell.services.folders.home.clone() }
            }
            (Sheet::ReadPicture(sheet), _) => {
                sheet.asking = true;
                Ask::OpenStationPicture { start: self.shell.services.folders.home.clone() }
            }
            (Sheet::Edit(form), _) => {
                let start = self.shell.services.folders.home.clone();
                match (&mut form.head, &mut form.desk) {
                    (Some(desk), _) => {
                        desk.asking = true;
                        Ask::OpenHeadPicture { start }
                    }
                    (None, Some(desk)) => {
                        desk.path.asking = true;
                        Ask::OpenStationPicture { start }
                    }
                    (None, None) => return,
                }
            }
            (Sheet::List(sheet), _) => {
                sheet.path.asking = true;
                Ask::OpenList { start: self.shell.services.folders.home.clone() }
            }
            (Sheet::Import(sheet), _) => {
                sheet.path.asking = true;
                let start = self.shell.shop.offers().folder.join("readings");
                Ask::OpenReadings { start }
            }
            (Sheet::Report(ReportSheet { path: sheet, .. }), _) => {
                sheet.asking = true;
                let path = sheet.chosen().unwrap_or_default();
                Ask::Report { start: folder(&path), name: name_of(&path) }
            }
            (Sheet::Label(sheet), _) => {
                sheet.path.asking = true;
                let path = sheet.path.chosen().unwrap_or_default();
                Ask::Label { start: folder(&path), name: name_of(&path) }
            }
            (Sheet::RecallList(sheet), _) => {
                sheet.asking = true;
                let path = sheet.chosen().unwrap_or_default();
                Ask::RecallList { start: folder(&path), name: name_of(&path) }
            }
            (Sheet::OfShop(sheet), _) => {
                sheet.path.asking = true;
                let path = sheet.path.chosen().unwrap_or_default();
                let (start, name) = (folder(&path), name_of(&path));
                match sheet.what {
                    OfShop::Table => Ask::Table { start, name },
                    OfShop::Chart => Ask::SavePicture { start, name },
                    OfShop::Month => Ask::Report { start, name },
                    OfShop::Audit => Ask::NewFolder { start },
                }
            }
            (Sheet::SavePicture(sheet), _) => {
                sheet.asking = true;
                let path = sheet.chosen().unwrap_or_default();
                Ask::SavePicture { start: folder(&path), name: name_of(&path) }
            }
            (Sheet::ProgressCsv(sheet), _) => {
                sheet.asking = true;
                let start = self.shell.shop.offers().folder.join("practice");
                Ask::Table { start, name: "progress.csv".to_owned() }
            }
            _ => return,
        };
        let (workers, dialogs) = (self.shell.workers(), Arc::clone(&self.shell.services.dialogs));
        self.asking.start(&workers, move || dialogs.ask(ask));
    }

    /// Asks with a file dialog where the private part of a key is.
    pub(crate) fn ask_key(&mut self, fingerprint: &str) {
        // The sheet in front, else the place behind it.
        let Some(choice) = self.seal_choices().next() else { return };
        choice.ask_for(fingerprint);
        let start = self.shell.services.folders.home.join(".ssh");
        let start = if start.is_dir() { start } else { self.shell.services.folders.home.clone() };
        let (workers, dialogs) = (self.shell.workers(), Arc::clone(&self.shell.services.dialogs));
        self.asking.start(&workers, move || dialogs.ask(Ask::OpenKey { start }));
    }

    pub(crate) fn salvage(&mut self) {
        let Some(session) = &self.session else { return };
        let old = session.file().path().to_owned();
        self.salvage_from(&old, false);
    }

    /// Makes a new session of a file that could not be opened. Where nothing in it tells whether its unit
    /// was a real one the button asks that, so pressing it says so.
    pub(crate) fn salvage_unread(&mut self) {
        let Some(ToSalvage { path, wants_word, .. }) = self.to_salvage.clone() else { return };
        self.salvage_from(&path, wants_word);
    }

    fn salvage_from(&mut self, old: &std::path::Path, said_real: bool) {
        let hand = self.shell.hand();
        let options = self.shell.file_options();
        let new = beside(old.parent().unwrap_or(old), old, "salvaged");
        let program = crate::shell::open_shop::program();
        match SessionFile::salvage_in(old, &new, &program, (&hand, said_real), options) {
            Ok((file, found)) => {
                self.shell.warnings.clear();
                self.to_salvage = None;
                self.take_up(file);
                let words = found.words().replace('\n', " ");
                self.shell.warnings.push(format!(
                    "{words} Goes on in {}; the damaged file stays as it is.",
                    record::shown::path(&new)
                ));
            }
            Err(why) => self.shell.warnings.push(why.to_string()),
        }
    }

    pub(crate) fn set_end_aside(&mut self) {
        let (now, hand) = (self.shell.services.clock.now(), self.shell.hand());
        let unit = self.entry.unit;
        let Some(session) = &mut self.session else { return };
        match session.set_end_aside(now, &hand, unit) {
            Ok(aside) => {
                self.shell.warnings.clear();
                self.say(capital(&format!("{aside}. The session goes on without them.")));
            }
            Err(why) => self.shell.warnings.push(why.to_string()),
        }
    }
}

fn name_of(path: &std::path::Path) -> String {
    path.file_name().unwrap_or_default().to_string_lossy().into_owned()
}
