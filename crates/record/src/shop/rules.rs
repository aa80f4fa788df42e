//! What a shop demands of its sessions: `shop.ron` in its folder. Without it nothing is demanded.

use crate::error::Error;
use crate::fact::texts::texts;
use crate::validate::Checked;

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
