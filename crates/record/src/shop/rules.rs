//! What a shop demands of its sessions: `shop.ron` in its folder. Without it nothing is demanded.

use std::path::Path;

use super::item;
use crate::check::Checked;
use crate::error::Error;
use crate::fact::texts::texts;

/// The file's name.
pub const RULES_FILE: &str = "shop.ron";

/// What a shop demands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ShopRules {
    /// Whether signatures must be sealed.
    pub seals: SealRule,
}

/// Whether signatures must be sealed with a key of the hand.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum SealRule {
    /// They may be.
    #[default]
    Optional,
    /// They must be.
    Required,
}

texts!(ShopRules { ; seals });

impl Checked for ShopRules {
    fn check(&self) -> Result<(), Error> {
        Ok(())
    }
}

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
