//! Other shops' folders beside the shop's own: which, adding one, removing one.

use std::path::{Path, PathBuf};

use record::shop::survey::WhyUnseen;
use record::shown;

use crate::dialogs::DialogAnswer;
use crate::jobs::Broken;
use crate::shell::Shell;
use crate::shell::beside::whole;
use crate::shell::path_sheet::PathSheet;
use crate::shell::refusals::{NO_DIALOG, NO_SHOP};

/// More are no view but a list: what several regions have is for tables.
const MOST: usize = 31;

/// The folders that are looked at beside the shop's own.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ShopsBeside {
    /// They, in the order in which they were added.
    pub folders: Vec<PathBuf>,
    /// The one to be added, typed or chosen.
    pub adding: PathSheet,
    /// The one removed last, to be added again.
    pub removed: Option<PathBuf>,
    /// What was done last, and how it is taken back.
    pub told: String,
}

/// Why a folder is not looked at beside the shop.
#[derive(Debug, thiserror::Error)]
enum NotBeside {
    #[error("{NO_SHOP}")]
    NoShop,
    #[error("Type the folder of another shop, its whole path, or choose it.")]
    Nothing,
    #[error("{0}: type the whole path, from the root of the disk or from ~/ on.")]
    NotWhole(String),
    #[error(
        "{0}: this cannot be remembered, since its name is no Unicode text; rename it, or link to it."
    )]
    NoText(String),
    #[error("{0} is the shop that is open: it is looked at already.")]
    Own(String),
    #[error("{0} is looked at already.")]
    Twice(String),
    #[error("{MOST} shops beside one’s own are the most; remove one first.")]
    TooMany,
    #[error("{0}: {1}.")]
    NoShopThere(String, WhyUnseen),
}

impl ShopsBeside {
    /// Takes up what is remembered of the open shop.
    pub(crate) fn recall(&mut self, shell: &Shell) {
        self.folders = shell.shops_beside();
    }

    /// Adds the folder that is typed; whether it is added. Why not stands beside the field.
    pub(crate) fn add(&mut self, shell: &mut Shell) -> bool {
        match self.wanted(shell) {
            Ok(folder) => {
                self.put(folder, shell);
                self.adding = PathSheet::default();
                true
            }
            Err(why) => {
                self.adding.refused = Some(why.to_string());
                false
            }
        }
    }

    /// Adds the one again that was removed last; whether there is one. It may be gone: then that is told
    /// where it stands.
    pub(crate) fn add_again(&mut self, shell: &mut Shell) -> bool {
        let Some(folder) = self.removed.take() else { return false };
        if !self.folders.contains(&folder) {
            self.put(folder, shell);
        }
        true
    }

    fn put(&mut self, folder: PathBuf, shell: &mut Shell) {
        self.told =
            format!("{} is looked at beside this shop, for reading only.", shown::path(&folder));
        if self.removed.as_ref() == Some(&folder) {
            self.removed = None;
        }
        self.folders.push(folder);
        shell.remember_beside(&self.folders);
    }

    /// Takes one out of sight; whether it was in it.
    pub(crate) fn remove(&mut self, folder: &Path, shell: &mut Shell) -> bool {
        let Some(at) = self.folders.iter().position(|one| one == folder) else { return false };
        let folder = self.folders.remove(at);
        shell.remember_beside(&self.folders);
        self.told = format!(
            "{} is looked at no more; nothing in it was touched. Add it again to have it back.",
            shown::path(&folder)
        );
        self.removed = Some(folder);
        true
    }

    fn wanted(&self, shell: &Shell) -> Result<PathBuf, NotBeside> {
        let own = &shell.shop.offers().folder;
        if own.as_os_str().is_empty() {
            return Err(NotBeside::NoShop);
        }
        let folder = self.adding.chosen().ok_or(NotBeside::Nothing)?;
        let named = shown::path(&folder);
        if !folder.is_absolute() {
            return Err(NotBeside::NotWhole(named));
        }
        if folder.to_str().is_none() {
            return Err(NotBeside::NoText(named));
        }
        WhyUnseen::check(&folder).map_err(|why| NotBeside::NoShopThere(named.clone(), why))?;
        let here = whole(&folder);
        if here == whole(own) {
            return Err(NotBeside::Own(named));
        }
        if self.folders.iter().any(|one| whole(one) == here) {
            return Err(NotBeside::Twice(named));
        }
        if self.folders.len() >= MOST {
            return Err(NotBeside::TooMany);
        }
        Ok(folder)
    }

    /// Hears which folder was chosen in a dialog, if it was asked for here: it stands in the field then.
    pub(crate) fn hear(&mut self, answer: &Result<DialogAnswer, Broken>) -> Option<Heard> {
        if !std::mem::take(&mut self.adding.asking) {
            return None;
        }
        match answer {
            Ok(DialogAnswer::Chosen(path)) => {
                self.adding = PathSheet::at(path);
                if path.to_str().is_none() {
                    let why = NotBeside::NoText(shown::path(path));
                    self.adding.refused = Some(why.to_string());
                    return Some(Heard::Nothing);
                }
                return Some(Heard::Folder);
            }
            Ok(DialogAnswer::Cancelled) => {}
            Ok(DialogAnswer::NoService) => self.adding.refused = Some(NO_DIALOG.to_owned()),
            Err(broken) => self.adding.refused = Some(broken.to_string()),
        }
        Some(Heard::Nothing)
    }
}

/// What a dialog that was asked for here came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Heard {
    /// A folder.
    Folder,
    /// None, and why stands beside the field where there is a reason.
    Nothing,
}
