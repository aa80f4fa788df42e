//! The tables, column by column: name, unit, meaning, and where its value comes from, in one place, so that none
//! can be written without being told.
//!
//! - [`mod@column`]: what a column and a cell are; [`common`]: the columns that everything of a session has;
//! - a file a table: [`sessions`], [`rounds`], [`readings`], [`verdicts`], [`remedies`], [`checks`], [`studies`],
//!   [`troubles`];
//! - [`told`]: all of them in words; `meaning`: what columns of several tables mean.

pub mod checks;
pub mod column;
pub mod common;
mod meaning;
pub mod readings;
pub mod remedies;
pub mod rounds;
pub mod sessions;
pub mod studies;
pub mod told;
pub mod troubles;
pub mod verdicts;

pub use column::{Cell, Column, ColumnKind, ColumnUnit, Described};
pub use common::OfSession;

/// A table.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Table {
    /// A row a session.
    Sessions,
    /// A row a round.
    Rounds,
    /// A row a reading.
    Readings,
    /// A row a verdict.
    Verdicts,
    /// A row a remedy and channel.
    Remedies,
    /// A row a reading of a check standard.
    Checks,
    /// A row a measurement of a study.
    Studies,
    /// A row a trouble.
    Troubles,
}

impl Table {
    /// All of them, in the order told.
    pub const ALL: [Self; 8] = [
        Self::Sessions,
        Self::Rounds,
        Self::Readings,
        Self::Verdicts,
        Self::Remedies,
        Self::Checks,
        Self::Studies,
        Self::Troubles,
    ];

    /// Its name, and that of its folder.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Sessions => "sessions",
            Self::Rounds => "rounds",
            Self::Readings => "readings",
            Self::Verdicts => "verdicts",
            Self::Remedies => "remedies",
            Self::Checks => "checks",
            Self::Studies => "studies",
            Self::Troubles => "troubles",
        }
    }

    /// What is in it.
    #[must_use]
    pub const fn meaning(self) -> &'static str {
        match self {
            Self::Sessions => "one row a session file, practice and damaged ones too",
            Self::Rounds => "one row a round: its circles and where they meet",
            Self::Readings => "one row a reading, withdrawn ones too",
            Self::Verdicts => "one row what the readings give now, and one each signature",
            Self::Remedies => "one row a remedy taken; of shims one a channel",
            Self::Checks => "one row a reading of a station’s check standard",
            Self::Studies => "one row a measurement of a repeatability study",
            Self::Troubles => "one row what must be looked at, and what was passed over",
        }
    }

    /// Its columns.
    #[must_use]
    pub fn described(self) -> Vec<Described> {
        match self {
            Self::Sessions => described(&sessions::columns()),
            Self::Rounds => described(&rounds::columns()),
            Self::Readings => described(&readings::columns()),
            Self::Verdicts => described(&verdicts::columns()),
            Self::Remedies => described(&remedies::columns()),
            Self::Checks => described(&checks::columns()),
            Self::Studies => described(&studies::columns()),
            Self::Troubles => described(&troubles::columns()),
        }
    }
}

fn described<R>(columns: &[Column<R>]) -> Vec<Described> {
    columns.iter().map(|column| column.described).collect()
}
