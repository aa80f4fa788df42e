//! Other shops that are looked at beside the open one: remembered of this user, and nothing is written there.

use std::path::{Path, PathBuf};

use super::Shell;

impl Shell {
    /// The folders looked at beside the open shop, in the order in which they were added.
    #[must_use]
    pub(crate) fn shops_beside(&self) -> Vec<PathBuf> {
        let own = whole(&self.shop.offers().folder);
        self.preferences.shops_beside.get(&own).cloned().unwrap_or_default()
    }

    /// Remembers them.
    pub(crate) fn remember_beside(&mut self, folders: &[PathBuf]) {
        let own = whole(&self.shop.offers().folder);
        if folders.is_empty() {
            self.preferences.shops_beside.remove(&own);
        } else {
            self.preferences.shops_beside.insert(own, folders.to_vec());
        }
        self.save_preferences();
    }

    /// The shop in which a file lies, if that is one looked at beside the open one: nothing is written there.
    /// Every file of a shop lies in a folder of it.
    #[must_use]
    pub(crate) fn lies_beside(&self, file: &Path) -> Option<PathBuf> {
        let shop = whole(file.parent()?.parent()?);
        if shop == whole(&self.shop.offers().folder) {
            return None;
        }
        self.shops_beside().into_iter().find(|beside| whole(beside) == shop)
    }
}

/// A folder by its one whole name, as far as the disk tells.
pub(crate) fn whole(folder: &Path) -> PathBuf {
    folder.canonicalize().unwrap_or_else(|_| folder.to_owned())
}

/// What is said where something would be written into a shop that is only looked at.
#[must_use]
pub(crate) fn only_looked_at(shop: &Path) -> String {
    format!(
        "It lies in another shop, {}, which is looked at and never written into. To work on it open that shop \
         (Ctrl+O).",
        record::shown::path(shop)
    )
}
