//! What is written of a shop where a hand says: what it is, and what the hand typed.

use std::path::Path;

use super::path_sheet::PathSheet;

/// What is written.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum OfShop {
    /// The sessions in sight as a table.
    Table,
    /// The chart at hand as a picture.
    Chart,
    /// A month on paper.
    Month,
    /// A period's sessions, reports and ledger in one folder.
    Audit,
}

impl OfShop {
    /// What its sheet is called.
    #[must_use]
    pub const fn title(self) -> &'static str {
        match self {
            Self::Table => "Table of sessions",
            Self::Chart => "Picture of a chart",
            Self::Month => "Monthly report",
            Self::Audit => "Audit pack",
        }
    }

    /// What the field of its path is called.
    #[must_use]
    pub const fn field(self) -> &'static str {
        match self {
            Self::Table => "Path of the table",
            Self::Chart => "Path of the picture",
            Self::Month => "Path of the monthly report",
            Self::Audit => "Folder of the pack",
        }
    }

    /// The fields of days that it asks for.
    #[must_use]
    pub const fn days(self) -> &'static [&'static str] {
        match self {
            Self::Table | Self::Chart => &[],
            Self::Month => &["Month"],
            Self::Audit => &["First day", "Last day"],
        }
    }

    /// What is worth knowing.
    #[must_use]
    pub const fn note(self) -> &'static str {
        match self {
            Self::Table => "A name in .csv. Nothing is replaced: a file of that name stays.",
            Self::Chart => "A name in .svg for lines, in .png for pixels. No picture is replaced.",
            Self::Month => {
                "A name in .pdf, on A4. It is written also of a month without work, and says so."
            }
            Self::Audit => {
                "A folder that is new or empty. It is there whole, or not at all; `sha256sum -c SHA256SUMS` checks it \
                 on any computer. What is left out stands in it with the reason."
            }
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
    /// Days, as typed: as many as are asked for.
    pub days: [String; 2],
    /// What it will hold.
    pub holds: String,
    /// Whether it is being written elsewhere.
    pub going_on: bool,
}

impl OfShopSheet {
    /// Where this path is offered.
    #[must_use]
    pub fn new(what: OfShop, path: &Path, holds: String) -> Self {
        let days = [const { String::new() }; 2];
        Self { what, path: PathSheet::at(path), days, holds, going_on: false }
    }
}

/// What a hand asks for with such a sheet.
#[derive(Clone, Debug, PartialEq)]
pub struct WriteOfShop {
    /// What is written.
    pub what: OfShop,
    /// Where to.
    pub to: std::path::PathBuf,
    /// Days, as typed.
    pub days: [String; 2],
}
