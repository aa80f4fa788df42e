//! A list from a spreadsheet, into what the shop keeps: its units, its hands, or sessions that wait.
//!
//! - what the sheet holds is here; [`acting`]: what a hand asks of it; [`listing_ui`]: the sheet.

pub(crate) mod acting;
pub(crate) mod listing_ui;

use record::lists::{ListKind, ListRow, ShopList};

use crate::shell::path_sheet::PathSheet;

/// What a hand asks of the sheet.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ListAction {
    /// Read the file named; nothing is kept yet.
    Read,
    /// Keep the rows that are new.
    Keep,
}

/// The sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ListSheet {
    /// Which file.
    pub path: PathSheet,
    /// What it would be in the shop, once read.
    pub list: Option<ShopList>,
    /// What was done last.
    pub done: String,
}

impl ListSheet {
    /// How many of its rows are new.
    #[must_use]
    pub fn ready(&self) -> usize {
        self.list.as_ref().map_or(0, |list| list.new_rows().count())
    }

    /// Whether there is something that would be kept.
    #[must_use]
    pub fn holds_work(&self) -> bool {
        self.ready() > 0
    }
}

/// A number of what a list is of.
pub(crate) fn counted_of(count: usize, kind: ListKind) -> String {
    let [one, several] = kind.words();
    paper::words::counted(count, one, several)
}

/// A row in words, and whether it needs a look.
pub(crate) fn row_words(row: &ListRow) -> (String, bool) {
    match &row.listed {
        Ok(listed) => (format!("line {}  {}", row.line, listed.words()), false),
        Err(why) => (format!("line {}  {why}", row.line), true),
    }
}
