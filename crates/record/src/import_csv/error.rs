//! What a file of readings can be refused for, with the evidence inside.

use std::fmt;
use std::io;

use solver::direction::FIELD_LIMIT_ARCMIN;

use super::limits::{FIELD_LIMIT_CHARS, FILE_LIMIT_BYTES};
use crate::decimal::NumberError;
use crate::figures::counted_s;

/// The columns of a file of readings, in their order.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CsvColumn {
    /// `channel`
    Channel,
    /// `ring_deg`
    Ring,
    /// `x_arcmin`
    X,
    /// `y_arcmin`
    Y,
}

impl CsvColumn {
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

impl fmt::Display for CsvColumn {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.name())
    }
}

/// A text from the file, made fit to be shown: cut short, control characters spelt out.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ShownText(String);

impl ShownText {
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

impl fmt::Display for ShownText {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "“{}”", self.0)
    }
}

/// Why a file of readings, or of differences, is refused: where, what is wrong, and what to do.
#[derive(Debug)]
pub struct ImportError {
    /// Where.
    pub place: CsvPlace,
    /// What.
    pub kind: CsvErrorKind,
}

impl fmt::Display for ImportError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self.place {
            CsvPlace::File => write!(f, "{}", self.kind),
            place => write!(f, "{place}: {}", self.kind),
        }
    }
}

impl std::error::Error for ImportError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        self.kind.source()
    }
}

impl ImportError {
    /// The line of the file it concerns, from 1, where there is one.
    #[must_use]
    pub const fn line(&self) -> Option<u64> {
        match self.place {
            CsvPlace::File => None,
            CsvPlace::Line(line) | CsvPlace::Byte { line, .. } | CsvPlace::Column { line, .. } => {
                Some(line)
            }
        }
    }

    /// The column it concerns, from 1 as in a spreadsheet, where there is one.
    #[must_use]
    pub const fn column(&self) -> Option<u64> {
        match self.place {
            CsvPlace::Column { column, .. } => Some(column),
            _ => None,
        }
    }
}

/// A place in a file; lines, bytes and columns from 1.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CsvPlace {
    /// The file as a whole.
    File,
    /// A line.
    Line(u64),
    /// A byte of a line.
    Byte {
        /// The line.
        line: u64,
        /// The byte in it.
        byte: u64,
    },
    /// A column of a line.
    Column {
        /// The line.
        line: u64,
        /// The column.
        column: u64,
        /// What the header calls it; empty where that is what is wrong.
        name: &'static str,
    },
}

impl CsvPlace {
    /// A column that has no name, or not the right one.
    pub(super) const fn column(line: u64, column: u64) -> Self {
        Self::Column { line, column, name: "" }
    }

    /// A field of a file of readings.
    pub(super) const fn field(line: u64, column: CsvColumn) -> Self {
        Self::Column { line, column: column.number(), name: column.name() }
    }

    /// What is wrong there.
    pub(super) const fn is(self, kind: CsvErrorKind) -> ImportError {
        ImportError { place: self, kind }
    }
}

impl fmt::Display for CsvPlace {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::File => f.write_str("the file"),
            Self::Line(line) => write!(f, "line {line}"),
            Self::Byte { line, byte } => write!(f, "line {line}, byte {byte}"),
            Self::Column { line, column, name: "" } => write!(f, "line {line}, column {column}"),
            Self::Column { line, column, name } => {
                write!(f, "line {line}, column {column} ({name})")
            }
        }
    }
}

/// What is wrong, and what to do about it.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum CsvErrorKind {
    /// The file cannot be opened or read.
    #[error("cannot be read: {}", crate::shown::system(.0))]
    Unreadable(#[source] io::Error),
    /// The file is larger than any list of readings.
    #[error(
        "larger than {} MiB, larger than any such list; check that it is the right file",
        FILE_LIMIT_BYTES / (1024 * 1024)
    )]
    TooLarge,
    /// The file is written two bytes a character.
    #[error("written as UTF-16; save it as CSV in UTF-8")]
    Utf16,
    /// The file is not UTF-8.
    #[error("not UTF-8 text; save it as CSV in UTF-8")]
    NotUtf8,
    /// The file holds a zero byte.
    #[error("a zero byte, so this is not a text file; save it as CSV in UTF-8")]
    NulByte,
    /// Nothing but blank lines and comments.
    #[error("there is nothing in it; the first line must be {HEADER} and the readings follow")]
    Empty,
    /// A header and no rows.
    #[error("a header and no readings; put one reading on each line below it")]
    NoReadings,
    /// A column has another name than it should.
    #[error("the header says {found} where {expected} belongs; the header must be {HEADER}")]
    Header {
        /// The name found.
        found: ShownText,
        /// The one that belongs there.
        expected: CsvColumn,
    },
    /// The header is not that of a file of differences.
    #[error("the header must be left_ring_deg,right_ring_deg,dx_arcmin,dy_arcmin")]
    RelativeHeader,
    /// A column name comes twice.
    #[error("the header says {0} twice; it must be {HEADER}")]
    DuplicateHeader(ShownText),
    /// A fifth column.
    #[error("{0} is one column too many; the header must be {HEADER}")]
    ExtraHeader(ShownText),
    /// The header ends too soon.
    #[error("{0} is missing; the header must be {HEADER}")]
    MissingHeader(CsvColumn),
    /// A row with too few or too many columns.
    #[error("{} where there must be four{instead}", counted_s(*found, "column"))]
    ColumnCount {
        /// How many there are.
        found: usize,
        /// What to do, behind a semicolon; empty where that is plain.
        instead: &'static str,
    },
    /// A channel that is neither left nor right.
    #[error("{0} is no channel; write L or R")]
    Channel(ShownText),
    /// What was read is missing.
    #[error("empty; write what was read, or take the line out")]
    EmptyField,
    /// A field that is not a finite number.
    #[error("{value} {why}")]
    Number {
        /// What stands there.
        value: ShownText,
        /// What is wrong with it.
        why: NumberError,
    },
    /// Farther than any field reaches.
    #[error(
        "{value} is farther than {FIELD_LIMIT_ARCMIN}′ from {from}; check the number and its unit"
    )]
    BeyondField {
        /// What stands there.
        value: ShownText,
        /// From where: boresight, or zero for a difference.
        from: &'static str,
    },
    /// A field too long for any reading.
    #[error("{0} characters, more than {FIELD_LIMIT_CHARS}; a field holds one number or a channel")]
    FieldTooLong(usize),
    /// A field too long for a number.
    #[error("{0} characters; a field holds one number, of at most {FIELD_LIMIT_CHARS}")]
    NumberTooLong(usize),
    /// Quotation marks.
    #[error("{0} has quotation marks; save the file without them")]
    Quote(ShownText),
    /// A character that cannot be seen.
    #[error("{0} has a control character; end lines with LF or CRLF and type the field again")]
    ControlCharacter(ShownText),
    /// The CSV reader itself gave up.
    #[error("cannot be read as CSV: {0}")]
    Csv(#[source] csv::Error),
}

/// The header of a file of readings.
const HEADER: &str = "channel,ring_deg,x_arcmin,y_arcmin";

/// Decimal commas may be why there are too many columns.
pub(super) const DECIMAL_COMMAS: &str =
    "; write decimals with a point, or write header and rows with ; between columns";

/// A ring that was not read still has its column.
pub(super) const LEAVE_EMPTY: &str =
    "; leave ring_deg empty between its two marks where the ring was not read";
