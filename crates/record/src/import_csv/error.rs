//! What a file of readings can be refused for, with the evidence inside.

use std::fmt;
use std::io;

use solver::direction::FIELD_LIMIT_ARCMIN;

use super::{FIELD_LIMIT_CHARS, FILE_LIMIT_BYTES};
use crate::decimal::NumberError;
use crate::figures::counted;

/// The columns of a file of readings, in their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Column {
    /// `channel`
    Channel,
    /// `ring_deg`
    Ring,
    /// `x_arcmin`
    X,
    /// `y_arcmin`
    Y,
}

impl Column {
    /// All four, as the header has them.
    pub const ALL: [Self; 4] = [Self::Channel, Self::Ring, Self::X, Self::Y];

    /// The name in the header.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Channel => "channel",
            Self::Ring => "ring_deg",
            Self::X => "x_arcmin",
            Self::Y => "y_arcmin",
        }
    }

    /// Place in the row, from 0.
    pub(super) const fn index(self) -> usize {
        self as usize
    }

    /// Place in the row as a person counts, from 1.
    #[must_use]
    pub const fn number(self) -> u64 {
        self as u64 + 1
    }
}

impl fmt::Display for Column {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A text from the file, made fit to be shown: cut short, control characters spelt out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown(String);

impl Shown {
    /// How much of a text is shown.
    const LIMIT_CHARS: usize = 24;

    pub(super) fn new(text: &str) -> Self {
        let head: String = text.chars().take(Self::LIMIT_CHARS).collect();
        let mut shown = crate::shown::one_line(&head).into_owned();
        if text.chars().nth(Self::LIMIT_CHARS).is_some() {
            shown.push('…');
        }
        Self(shown)
    }
}

impl fmt::Display for Shown {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "“{}”", self.0)
    }
}

/// Why a file of readings is refused. The text says what is wrong and what to do; where it is, is
/// told by [`Error::line`] and [`Error::column`] and stands at the head of the text.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Error {
    /// The file cannot be opened or read.
    #[error("cannot be read: {}", crate::shown::system(source))]
    Unreadable {
        /// What the system said.
        source: io::Error,
    },
    /// The file is larger than any list of readings.
    #[error(
        "larger than {} MiB, so it is no list of readings; check that it is the right file",
        limit_bytes / (1024 * 1024)
    )]
    TooLarge {
        /// [`FILE_LIMIT_BYTES`].
        limit_bytes: usize,
    },
    /// The file is written two bytes a character.
    #[error("line 1, column 1: written as UTF-16; save it as CSV in UTF-8")]
    Utf16,
    /// The file is not UTF-8.
    #[error("line {line}, byte {byte}: not UTF-8 text; save it as CSV in UTF-8")]
    NotUtf8 {
        /// Line, from 1.
        line: u64,
        /// Byte in the line, from 1.
        byte: u64,
    },
    /// The file holds a zero byte.
    #[error(
        "line {line}, byte {byte}: a zero byte, so this is not a text file; save it as CSV in UTF-8"
    )]
    NulByte {
        /// Line, from 1.
        line: u64,
        /// Byte in the line, from 1.
        byte: u64,
    },
    /// Nothing but blank lines and comments.
    #[error(
        "line 1: there is nothing in it; the first line must be \
         channel,ring_deg,x_arcmin,y_arcmin and the readings follow"
    )]
    Empty,
    /// A header and no rows.
    #[error("line {header_line}: a header and no readings; put one reading on each line below it")]
    NoReadings {
        /// Where the header is.
        header_line: u64,
    },
    /// A column has another name than it should.
    #[error(
        "line {line}, column {column}: the header says {found} where {expected} belongs; the header \
         must be channel,ring_deg,x_arcmin,y_arcmin"
    )]
    Header {
        /// Line of the header.
        line: u64,
        /// Column, from 1.
        column: u64,
        /// The name found.
        found: Shown,
        /// The one that belongs there.
        expected: Column,
    },
    /// A column name comes twice.
    #[error(
        "line {line}, column {column}: the header says {name} twice; it must be \
         channel,ring_deg,x_arcmin,y_arcmin"
    )]
    DuplicateHeader {
        /// Line of the header.
        line: u64,
        /// Column of the second one, from 1.
        column: u64,
        /// The name.
        name: Shown,
    },
    /// A fifth column.
    #[error(
        "line {line}, column {column}: {name} is one column too many; the header must be \
         channel,ring_deg,x_arcmin,y_arcmin"
    )]
    ExtraHeader {
        /// Line of the header.
        line: u64,
        /// Column, from 1.
        column: u64,
        /// Its name.
        name: Shown,
    },
    /// The header ends too soon.
    #[error(
        "line {line}, column {}: {missing} is missing; the header must be \
         channel,ring_deg,x_arcmin,y_arcmin",
        missing.number()
    )]
    MissingHeader {
        /// Line of the header.
        line: u64,
        /// The first column missing.
        missing: Column,
    },
    /// A row with too few or too many columns.
    #[error(
        "line {line}, column {}: {} where there must be four{}",
        (*found as u64).min(4) + 1,
        counted(*found, "column", "columns"),
        if *decimal_comma {
            "; write decimals with a point, or write header and rows with ; between columns"
        } else {
            "; leave ring_deg empty between its two marks where the ring was not read"
        }
    )]
    ColumnCount {
        /// Line, from 1.
        line: u64,
        /// How many there are.
        found: usize,
        /// Whether decimal commas may be the reason.
        decimal_comma: bool,
    },
    /// A channel that is neither left nor right.
    #[error("line {line}, column 1 (channel): {value} is no channel; write L or R")]
    Channel {
        /// Line, from 1.
        line: u64,
        /// What stands there.
        value: Shown,
    },
    /// x or y is missing.
    #[error(
        "line {line}, column {} ({column}): empty; write what was read, or take the line out",
        column.number()
    )]
    EmptyField {
        /// Line, from 1.
        line: u64,
        /// Which column.
        column: Column,
    },
    /// A field that is not a finite number.
    #[error("line {line}, column {} ({column}): {value} {why}", column.number())]
    Number {
        /// Line, from 1.
        line: u64,
        /// Which column.
        column: Column,
        /// What stands there.
        value: Shown,
        /// What is wrong with it.
        why: NumberError,
    },
    /// A direction outside the field.
    #[error(
        "line {line}, column {} ({column}): {value} is farther than {FIELD_LIMIT_ARCMIN}′ from \
         boresight; check the number and its unit",
        column.number()
    )]
    BeyondField {
        /// Line, from 1.
        line: u64,
        /// Which column.
        column: Column,
        /// What stands there.
        value: Shown,
    },
    /// A field too long for any reading.
    #[error(
        "line {line}, column {} ({column}): {chars} characters, more than {FIELD_LIMIT_CHARS}; \
         a field holds one number or a channel",
        column.number()
    )]
    FieldTooLong {
        /// Line, from 1.
        line: u64,
        /// Which column.
        column: Column,
        /// How long it is.
        chars: usize,
    },
    /// Quotation marks.
    #[error(
        "line {line}, column {} ({column}): {value} has quotation marks; save the file without them",
        column.number()
    )]
    Quote {
        /// Line, from 1.
        line: u64,
        /// Which column.
        column: Column,
        /// What stands there.
        value: Shown,
    },
    /// A character that cannot be seen.
    #[error(
        "line {line}, column {} ({column}): {value} has a control character; end lines with LF or \
         CRLF and type the field again",
        column.number()
    )]
    ControlCharacter {
        /// Line, from 1.
        line: u64,
        /// Which column.
        column: Column,
        /// What stands there.
        value: Shown,
    },
    /// The CSV reader itself gave up.
    #[error("cannot be read as CSV: {source}")]
    Csv {
        /// What it said.
        source: csv::Error,
    },
}

impl Error {
    /// The line of the file it concerns, from 1, where there is one.
    #[must_use]
    pub const fn line(&self) -> Option<u64> {
        match self {
            Self::Unreadable { .. } | Self::TooLarge { .. } | Self::Csv { .. } => None,
            Self::Utf16 | Self::Empty => Some(1),
            Self::NoReadings { header_line } => Some(*header_line),
            Self::NotUtf8 { line, .. }
            | Self::NulByte { line, .. }
            | Self::Header { line, .. }
            | Self::DuplicateHeader { line, .. }
            | Self::ExtraHeader { line, .. }
            | Self::MissingHeader { line, .. }
            | Self::ColumnCount { line, .. }
            | Self::Channel { line, .. }
            | Self::EmptyField { line, .. }
            | Self::Number { line, .. }
            | Self::BeyondField { line, .. }
            | Self::FieldTooLong { line, .. }
            | Self::Quote { line, .. }
            | Self::ControlCharacter { line, .. } => Some(*line),
        }
    }

    /// The column it concerns, from 1 as in a spreadsheet, where there is one.
    #[must_use]
    pub fn column(&self) -> Option<u64> {
        match self {
            Self::Header { column, .. }
            | Self::DuplicateHeader { column, .. }
            | Self::ExtraHeader { column, .. } => Some(*column),
            Self::MissingHeader { missing, .. } => Some(missing.number()),
            Self::ColumnCount { found, .. } => Some((*found as u64).min(4) + 1),
            Self::Channel { .. } => Some(Column::Channel.number()),
            Self::EmptyField { column, .. }
            | Self::Number { column, .. }
            | Self::BeyondField { column, .. }
            | Self::FieldTooLong { column, .. }
            | Self::Quote { column, .. }
            | Self::ControlCharacter { column, .. } => Some(column.number()),
            Self::Utf16 => Some(1),
            Self::Unreadable { .. }
            | Self::TooLarge { .. }
            | Self::NotUtf8 { .. }
            | Self::NulByte { .. }
            | Self::Empty
            | Self::NoReadings { .. }
            | Self::Csv { .. } => None,
        }
    }
}

const _: () =
    assert!(FILE_LIMIT_BYTES.is_multiple_of(1024 * 1024), "the text gives the limit in MiB");
