//! Why a list, or a row of one, is refused.

use super::ListKind;
use crate::error::Error;
use crate::figures::counted_s;
use crate::import_csv;
use crate::shown::one_line;

/// Why a list is refused as a whole: where, what is wrong, and what to do.
#[derive(Debug, thiserror::Error)]
pub enum ListError {
    /// It cannot be read as text.
    #[error(transparent)]
    File(#[from] import_csv::ImportError),
    /// Nothing but blank rows.
    #[error(
        "there is nothing in it; the first row names its columns, such as {}",
        columns(ListKind::Units)
    )]
    Empty,
    /// A header and no rows.
    #[error("line {line} names the columns, and no row follows")]
    NoRows {
        /// Where the header stands.
        line: u64,
    },
    /// The header says of no list what it is.
    #[error(
        "line {line}: the first row must name the columns. Units: {}. Hands: {}. Sessions that wait: {}",
        columns(ListKind::Units),
        columns(ListKind::Hands),
        columns(ListKind::Sessions)
    )]
    NotNamed {
        /// Where it stands.
        line: u64,
    },
    /// A column that such a list does not have.
    #[error(
        "line {line}, column {column}: “{}” is no column of such a list; it has {}",
        one_line(name),
        columns(*kind)
    )]
    Column {
        /// Where the header stands.
        line: u64,
        /// Which column, from 1.
        column: usize,
        /// What it is called.
        name: String,
        /// What the list is of.
        kind: ListKind,
    },
    /// A column that is named twice.
    #[error("line {line}, column {column}: “{}” is named twice", one_line(name))]
    ColumnTwice {
        /// Where the header stands.
        line: u64,
        /// Which column, from 1.
        column: usize,
        /// What it is called.
        name: String,
    },
    /// A column that must be there.
    #[error("line {line}: the column {name} is missing")]
    Missing {
        /// Where the header stands.
        line: u64,
        /// Which.
        name: &'static str,
    },
    /// More rows than are kept at once.
    #[error("more than {most} rows; split the file")]
    TooLong {
        /// How many may be.
        most: usize,
    },
    /// Quotes that do not match.
    #[error("cannot be read as CSV: {0}")]
    Csv(#[from] csv::Error),
}

fn columns(kind: ListKind) -> String {
    kind.columns().join(", ")
}

/// Why a row is refused.
#[derive(Clone, Debug, PartialEq, thiserror::Error)]
pub enum RowRefusal {
    /// More or fewer columns than the first row.
    #[error("{}, and the first row names {named}", counted_s(*found, "column"))]
    Columns {
        /// How many there are.
        found: usize,
        /// How many the header names.
        named: usize,
    },
    /// A field that runs over several lines, or holds marks that are not seen.
    #[error(
        "{column}: holds a line break or marks that are not seen; type it again, and look at its quotes"
    )]
    Hidden {
        /// Which column.
        column: &'static str,
    },
    /// A field of more letters than any has.
    #[error("{column}: {letters} letters, more than {most}")]
    TooLong {
        /// Which column.
        column: &'static str,
        /// How many.
        letters: usize,
        /// How many may be.
        most: usize,
    },
    /// A field that must say something is empty.
    #[error("{column}: is empty")]
    Missing {
        /// Which column.
        column: &'static str,
    },
    /// What is no day.
    #[error("{column}: “{}” is no day; write it like 2026-11-25", one_line(text))]
    NotADay {
        /// Which column.
        column: &'static str,
        /// What stands there.
        text: String,
    },
    /// What is no role.
    #[error(
        "roles: “{}” is none; write trainee, technician or supervisor, or several with a space",
        one_line(text)
    )]
    NotARole {
        /// What stands there.
        text: String,
    },
    /// The list has it in an earlier row.
    #[error("“{}” stands in line {line} already", one_line(name))]
    Twice {
        /// What it is called.
        name: String,
        /// Where it stands first.
        line: u64,
    },
    /// The shop has another of that name.
    #[error("“{}” is kept already and says something else; change it there", one_line(name))]
    Differs {
        /// What it is called.
        name: String,
    },
    /// It cannot be kept as it is.
    #[error("{why}")]
    Unfit {
        /// Why, in the words of what refuses it.
        why: String,
    },
}

impl From<Error> for RowRefusal {
    fn from(why: Error) -> Self {
        Self::Unfit { why: why.to_string() }
    }
}
