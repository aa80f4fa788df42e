//! What is written of a shop where a hand says: what it is, and what the hand typed.

use std::path::Path;

use super::path_sheet::PathSheet;

/// What is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OfShop {
    /// The sessions in sight as a table.
    Table,
}

impl OfShop {
    /// What its sheet is called.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Table => "Table of sessions",
        }
    }

    /// What the field of its path is called.
    #[must_use]
    pub const fn field(self) -> &'static str {
        match self {
            Self::Table => "Path of the table",
        }
    }

    /// What is worth knowing.
    #[must_use]
    pub const fn note(self) -> &'static str {
        match self {
            Self::Table => "A name in .csv. Nothing is replaced: a file of that name stays.",
        }
    }
}

/// What is typed before it is written.
#[derive(Clone, Debug, PartialEq)]
pub struct OfShopSheet {
    /// What is written.
    pub what: OfShop,
    /// Where to.
    pub path: PathSheet,
    /// What it will hold.
    pub holds: String,
}

impl OfShopSheet {
    /// Where this path is offered.
    #[must_use]
    pub fn new(what: OfShop, path: &Path, holds: String) -> Self {
        Self { what, path: PathSheet::at(path), holds }
    }
}
