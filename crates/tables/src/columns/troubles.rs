//! One row what must be looked at, and what was passed over.

use super::{Cell, Column};

/// What a trouble is of.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum TroubleOf {
    /// A session that is to be looked at.
    Session,
    /// A session that cannot be read or is damaged.
    PassedOver,
    /// A session of which another folder has a file too.
    TwoFolders,
    /// The ledger, and what it notes that is gone.
    Ledger,
    /// A check file.
    Checks,
    /// A study.
    Study,
    /// Another file of the shop.
    Shop,
}

impl TroubleOf {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Session => "session",
            Self::PassedOver => "passed over",
            Self::TwoFolders => "two folders",
            Self::Ledger => "ledger",
            Self::Checks => "checks",
            Self::Study => "study",
            Self::Shop => "shop",
        }
    }
}

/// A trouble's row.
#[derive(Clone, Debug)]
pub struct TroubleRow<'a> {
    /// What the shop is called.
    pub shop: &'a str,
    /// What it is of.
    pub of: TroubleOf,
    /// The folder of the shop; empty of the shop itself.
    pub folder: &'static str,
    /// The file's name; empty where it is of no one file.
    pub file: &'a str,
    /// The session's own name; empty where there is none.
    pub session: &'a str,
    /// It in a sentence.
    pub words: &'a str,
}

/// The columns.
#[must_use]
pub fn columns<'a>() -> Vec<Column<TroubleRow<'a>>> {
    vec![
        Column::text("shop_name", "in which shop: by its letterhead, else by its folder", |row| {
            Cell::text(row.shop)
        }),
        Column::text(
            "kind",
            "session, passed over, two folders, ledger, checks, study or shop",
            |row| Cell::text(row.of.word()),
        ),
        Column::text("folder", "the folder of the shop, where it is of a file", |row| {
            Cell::text(row.folder)
        }),
        Column::text("file", "the file’s name, where it is of one", |row| Cell::text(row.file)),
        Column::text("session", "the session’s own name, where it has one", |row| {
            Cell::text(row.session)
        }),
        Column::text("words", "what is the matter, in a sentence", |row| Cell::text(row.words)),
    ]
}
