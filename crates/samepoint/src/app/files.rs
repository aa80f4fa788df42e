//! Files: copies, reports, dialogs, going on in a new file.

use paper::words::{capital, form_for};
use std::sync::Arc;

use record::SessionFile;

use super::App;
use crate::dialogs::Ask;
use crate::sheets::Sheet;
use crate::shell::path_sheet::{AskFrom, PathSheet};
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
                    n => form_for(
                        n,
                        "; the fact that is only in memory is in the copy too".to_owned(),
                        format!("; the {n} facts that are only in memory are in the copy too"),
                    ),
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
        let start = self.shell.services.folders.home.clone();
        let ask = match &mut self.front {
            Sheet::KeepCopy(_) if self.session.is_none() => return,
            Sheet::Receiving(sheet) => {
                sheet.asking = true;
                Ask::OpenPicture { start }
            }
            Sheet::Edit(form) => match (&mut form.head, &mut form.desk) {
                (Some(desk), _) => {
                    desk.asking = true;
                    Ask::OpenHeadPicture { start }
                }
                (None, Some(desk)) => {
                    desk.path.asking = true;
                    Ask::OpenStationPicture { start }
                }
                (None, None) => return,
            },
            front => {
                let Some(path) = front.path() else { return };
                path.asking = true;
                let from = AskFrom {
                    home: start,
                    shop: self.shell.shop.offers().folder.clone(),
                    session: self.session.as_ref().map(|session| session.file().path().to_owned()),
                    typed: path.chosen().unwrap_or_default(),
                };
                let Some(ask) = front.ask(&from) else { return };
                ask
            }
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
