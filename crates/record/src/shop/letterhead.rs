//! What stands at the head of a shop's papers: `letterhead.ron` in its folder. Without it a shop is called after
//! its folder.

use crate::error::Error;
use crate::fact::texts::texts;
use crate::validate::{Checked, named};

/// The file's name.
pub const LETTERHEAD_FILE: &str = "letterhead.ron";

/// Whose shop it is.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Letterhead {
    /// What the shop is called.
    pub name: String,
    /// Where it is; empty where nobody said.
    pub address: String,
}

texts!(Letterhead { name, address; });

impl Checked for Letterhead {
    fn check(&self) -> Result<(), Error> {
        named("name", &self.name)
    }
}
