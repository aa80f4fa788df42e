//! Reading what a shop demands.

use std::path::Path;

use super::item;
use super::rules::{RULES_FILE, SealRule, ShopRules};
use crate::error::Error;

impl ShopRules {
    /// What the shop in a folder demands. A file that cannot be read is skipped and reported, and seals
    /// are required then: what it says may be that.
    #[must_use]
    pub fn load(folder: &Path, skipped: &mut Vec<Error>) -> Self {
        let path = folder.join(RULES_FILE);
        if path.symlink_metadata().is_err() {
            return Self::default();
        }
        item::read(&path).unwrap_or_else(|why| {
            skipped.push(why);
            Self { seals: SealRule::Required }
        })
    }
}
