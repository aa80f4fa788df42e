//! Other shops added to those that are seen as one with the open shop, and taken off again.

use std::path::Path;
use std::sync::Arc;

use super::Surveying;
use super::other_shops::{NotAdded, OtherFolder, looked_at, own_folder, remembered};
use crate::dialogs::{Ask, DialogAnswer};
use crate::preferences::MOST_BESIDE;
use crate::shell::Shell;
use crate::shell::path_sheet::typed_path;
use crate::shell::refusals::{NO_DIALOG, NO_SHOP};

impl Surveying {
    /// Looks at the folder typed, to see it beside the shop.
    pub(super) fn add_shop(&mut self, shell: &Shell) {
        self.others.refused = None;
        let Some(own) = own_folder(shell) else {
            self.others.refused = Some(NO_SHOP.to_owned());
            return;
        };
        let kept = remembered(shell).to_vec();
        match typed_path(&self.others.typed) {
            None => self.others.refused = Some(NotAdded::Nothing.to_string()),
            Some(_) if kept.len() >= MOST_BESIDE => {
                self.others.refused = Some(NotAdded::TooMany.to_string());
            }
            Some(folder) => {
                let workers = shell.workers();
                self.others.looking.start(&workers, move || looked_at(own, &kept, folder));
            }
        }
    }

    /// Asks for the folder with a file dialog.
    pub(super) fn choose_shop(&mut self, shell: &Shell) {
        let start = shell.shop.offers().folder.parent().map(Path::to_owned);
        let start = start.unwrap_or_else(|| shell.services.folders.home.clone());
        let (workers, dialogs) = (shell.workers(), Arc::clone(&shell.services.dialogs));
        self.others.asking.start(&workers, move || dialogs.ask(Ask::OtherShop { start }));
    }

    /// Sees a folder beside the shop no longer.
    pub(super) fn remove_shop(&mut self, folder: &Path, shell: &mut Shell) {
        let Some(own) = own_folder(shell) else { return };
        if let Some(kept) = shell.preferences.shops_beside.get_mut(&own) {
            kept.retain(|one| one != folder);
            if kept.is_empty() {
                shell.preferences.shops_beside.remove(&own);
            }
        }
        self.read_sessions(shell);
    }

    /// Hears which folder was chosen, and whether it can be seen beside the shop.
    pub(super) fn hear_other_shops(&mut self, shell: &mut Shell) {
        match self.others.asking.hear() {
            None | Some(Ok(DialogAnswer::Cancelled)) => {}
            Some(Ok(DialogAnswer::Chosen(path))) => {
                self.others.typed = path.display().to_string();
                self.add_shop(shell);
            }
            Some(Ok(DialogAnswer::NoService)) => self.others.refused = Some(NO_DIALOG.to_owned()),
            Some(Err(broken)) => self.others.refused = Some(broken.to_string()),
        }
        match self.others.looking.hear() {
            None => {}
            Some(Ok(Ok(OtherFolder { own, folder }))) => {
                self.others.typed.clear();
                shell.preferences.shops_beside.entry(own).or_default().push(folder);
                self.read_sessions(shell);
            }
            Some(Ok(Err(why))) => self.others.refused = Some(why.to_string()),
            Some(Err(broken)) => self.others.refused = Some(broken.to_string()),
        }
    }
}
