//! Readings from a CSV file, for the command line and for import into a round.
//!
//! The header is `channel,ring_deg,x_arcmin,y_arcmin`, one reading a row:
//!
//! - `channel` is `L` or `R`, in either case;
//! - `ring_deg` is the ring angle in degrees, empty where the ring could not be read;
//! - `x_arcmin`, `y_arcmin` are where the crosshair was, arcminutes from boresight, at most
//!   [`FIELD_LIMIT_ARCMIN`] each way;
//! - a line that begins with `#` is a comment, a blank line is nothing;
//! - spaces and tabs round a field, CRLF, a UTF-8 byte-order mark and U+2212 for minus are read;
//! - where the header is written with `;`, so are the rows, and their decimal mark is the comma.
//!
//! Everything else is refused, by line and column. Quotes are refused too: no field needs them.

mod error;
mod limits;
pub mod relative;

use std::io::Read as _;
use std::path::Path;

use solver::direction::FIELD_LIMIT_ARCMIN;
use solver::{Channel, Direction, PerChannel, Reading};

use crate::file::plain;

pub use crate::decimal::{DecimalMark, NumberError, number};
pub use error::{CsvColumn, CsvErrorKind, CsvPlace, ImportError, ShownText};
use error::{DECIMAL_COMMAS, LEAVE_EMPTY};
pub use limits::{FIELD_LIMIT_CHARS, FILE_LIMIT_BYTES};

/// One row: a reading, whose it is, and where in the file it stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CsvRow {
    /// Line of the file, from 1.
    pub line: u64,
    /// Which channel was read.
    pub channel: Channel,
    /// The reading.
    pub reading: Reading,
    /// Digits behind the decimal mark of x or y, whichever has more: how finely it was read.
    pub decimals: usize,
}

/// The readings in a file, in its order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ImportedReadings {
    rows: Vec<CsvRow>,
}

impl ImportedReadings {
    /// Every row, in the file's order.
    #[must_use]
    pub fn rows(&self) -> &[CsvRow] {
        &self.rows
    }

    /// Each channel's readings, in the file's order.
    #[must_use]
    pub fn per_channel(&self) -> PerChannel<Vec<Reading>> {
        PerChannel::from_fn(|channel| {
            self.rows.iter().filter(|row| row.channel == channel).map(|row| row.reading).collect()
        })
    }
}

impl ImportedReadings {
    /// The step each channel was read to, arcminutes: one of the last decimal written in any of its rows;
    /// `None` without rows.
    ///
    /// ```
    /// let file = b"channel,ring_deg,x_arcmin,y_arcmin\nL,0,38.1,14\nL,90,10,-2.25\n";
    /// let readings = record::import_csv::parse(file)?;
    /// assert!((readings.step_arcmin().left.unwrap_or(0.0) - 0.01).abs() < 1e-15);
    /// assert_eq!(readings.step_arcmin().right, None);
    /// # Ok::<(), record::import_csv::ImportError>(())
    /// ```
    #[must_use]
    pub fn step_arcmin(&self) -> PerChannel<Option<f64>> {
        PerChannel::from_fn(|channel| {
            let of_channel = self.rows.iter().filter(|row| row.channel == channel);
            let decimals = of_channel.map(|row| row.decimals).max()?;
            Some(0.1_f64.powi(i32::try_from(decimals).unwrap_or(i32::MAX)))
        })
    }
}

/// Reads a file of readings; never takes in more than [`FILE_LIMIT_BYTES`].
///
/// # Errors
/// [`CsvErrorKind::Unreadable`] when the file cannot be opened or read, [`CsvErrorKind::TooLarge`] past the
/// limit, and whatever [`parse`] refuses.
pub fn read(path: &Path) -> Result<ImportedReadings, ImportError> {
    parse(&read_bytes(path)?)
}

/// The bytes of a file, one more than [`FILE_LIMIT_BYTES`] at most, for [`parse`] or
/// [`relative::parse`], which refuse more than that.
///
/// # Errors
/// [`CsvErrorKind::Unreadable`] when the file cannot be opened or read.
pub fn read_bytes(path: &Path) -> Result<Vec<u8>, ImportError> {
    let mut bytes = Vec::new();
    let limit = FILE_LIMIT_BYTES as u64;
    plain::open(path)
        .and_then(|file| file.take(limit + 1).read_to_end(&mut bytes))
        .map_err(|why| CsvPlace::File.is(CsvErrorKind::Unreadable(why)))?;
    Ok(bytes)
}

/// Parses the bytes of a file of readings.
///
/// # Errors
/// The first thing in the file that is not as described [above](self), with its line and column.
///
/// ```
/// use record::import_csv::parse;
/// let readings = parse(b"channel,ring_deg,x_arcmin,y_arcmin\nL,0,38.1,14.4\nr,,-25.8,13.9\n")?;
/// assert_eq!(readings.rows().len(), 2);
/// assert_eq!(readings.per_channel().right[0].ring_deg, None);
/// # Ok::<(), record::import_csv::ImportError>(())
/// ```
pub fn parse(bytes: &[u8]) -> Result<ImportedReadings, ImportError> {
    let text = checked_text(bytes)?;
    let (header_line, layout) = CsvLayout::of(text)?;
    let mut rows = Vec::new();
    each_row(text, layout.delimiter, header_line, |line, record| {
        rows.push(row(line, record, layout)?);
        Ok(())
    })?;
    if rows.is_empty() {
        return Err(CsvPlace::Line(header_line).is(CsvErrorKind::NoReadings));
    }
    Ok(ImportedReadings { rows })
}

/// Hands on every row below the header that says something, with its line.
fn each_row(
    text: &str,
    delimiter: u8,
    header_line: u64,
    mut take: impl FnMut(u64, &csv::StringRecord) -> Result<(), ImportError>,
) -> Result<(), ImportError> {
    let mut lines = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .quoting(false)
        .delimiter(delimiter)
        // Carriage returns are taken off below, so that every line feed counts as one line.
        .terminator(csv::Terminator::Any(b'\n'))
        .from_reader(text.as_bytes());
    let mut record = csv::StringRecord::new();
    while lines.read_record(&mut record).map_err(|why| CsvPlace::File.is(CsvErrorKind::Csv(why)))? {
        let line = line_just_read(text, lines.position());
        if line > header_line && !is_skipped(record.get(0).unwrap_or_default(), record.len()) {
            take(line, &record)?;
        }
    }
    Ok(())
}

/// The line of the row that ended where the reader now stands. The row's own position will not do:
/// it is taken before the blank lines in front of it are passed over.
pub(crate) fn line_just_read(text: &str, now: &csv::Position) -> u64 {
    let read = usize::try_from(now.byte()).ok().and_then(|byte| text.as_bytes().get(..byte));
    let ended_by_line_feed = read.is_some_and(|read| read.ends_with(b"\n"));
    now.line() - u64::from(ended_by_line_feed)
}

/// The text without its byte-order mark, free of what no text file holds.
pub(crate) fn checked_text(bytes: &[u8]) -> Result<&str, ImportError> {
    if bytes.len() > FILE_LIMIT_BYTES {
        return Err(CsvPlace::File.is(CsvErrorKind::TooLarge));
    }
    if bytes.starts_with(&[0xFF, 0xFE]) || bytes.starts_with(&[0xFE, 0xFF]) {
        return Err(CsvPlace::column(1, 1).is(CsvErrorKind::Utf16));
    }
    let text = match str::from_utf8(bytes) {
        Ok(text) => text,
        Err(wrong) => {
            return Err(place(bytes, wrong.valid_up_to()).is(CsvErrorKind::NotUtf8));
        }
    };
    if let Some(at) = bytes.iter().position(|byte| *byte == 0) {
        return Err(place(bytes, at).is(CsvErrorKind::NulByte));
    }
    Ok(text.strip_prefix('\u{FEFF}').unwrap_or(text))
}

/// Line and byte within the line, both from 1, of an offset into the file.
fn place(bytes: &[u8], offset: usize) -> CsvPlace {
    let before = bytes.get(..offset).unwrap_or(bytes);
    let line = before.iter().filter(|byte| **byte == b'\n').count() + 1;
    let byte = before.iter().rev().take_while(|byte| **byte != b'\n').count() + 1;
    CsvPlace::Byte { line: line as u64, byte: byte as u64 }
}

/// How the rows are written, which the header tells.
#[derive(Clone, Copy)]
struct CsvLayout {
    delimiter: u8,
    decimal: DecimalMark,
}

impl CsvLayout {
    /// Finds and checks the header: the first line that is neither blank nor a comment.
    fn of(text: &str) -> Result<(u64, Self), ImportError> {
        let found = (1u64..)
            .zip(text.split('\n'))
            .map(|(line, written)| (line, written.strip_suffix('\r').unwrap_or(written)))
            .find(|(_, written)| !is_skipped(written, 1));
        let Some((line, header)) = found else {
            return Err(CsvPlace::Line(1).is(CsvErrorKind::Empty));
        };
        let semicolons = header.contains(';') && !header.contains(',');
        let (delimiter, layout) = if semicolons {
            (';', Self { delimiter: b';', decimal: DecimalMark::Comma })
        } else {
            (',', Self { delimiter: b',', decimal: DecimalMark::Point })
        };
        // One more than there should be is enough to refuse a header with millions.
        let names: Vec<&str> =
            header.split(delimiter).map(trimmed).take(CsvColumn::ALL.len() + 1).collect();
        check_header(line, &names)?;
        Ok((line, layout))
    }
}

fn check_header(line: u64, names: &[&str]) -> Result<(), ImportError> {
    for (index, name) in names.iter().enumerate() {
        let place = CsvPlace::column(line, index as u64 + 1);
        if names.iter().take(index).any(|earlier| earlier == name) && !name.is_empty() {
            return Err(place.is(CsvErrorKind::DuplicateHeader(ShownText::new(name))));
        }
        match CsvColumn::ALL.get(index) {
            Some(expected) if expected.name() == *name => {}
            Some(expected) => {
                let (found, expected) = (ShownText::new(name), *expected);
                return Err(place.is(CsvErrorKind::Header { found, expected }));
            }
            None => return Err(place.is(CsvErrorKind::ExtraHeader(ShownText::new(name)))),
        }
    }
    match CsvColumn::ALL.get(names.len()) {
        Some(missing) => {
            Err(CsvPlace::column(line, missing.number()).is(CsvErrorKind::MissingHeader(*missing)))
        }
        None => Ok(()),
    }
}

/// Blank lines and comments.
fn is_skipped(first_field: &str, fields: usize) -> bool {
    let first = trimmed(first_field.strip_suffix('\r').unwrap_or(first_field));
    first.starts_with('#') || (first.is_empty() && fields <= 1)
}

fn trimmed(field: &str) -> &str {
    field.trim_matches([' ', '\t'])
}

fn row(line: u64, record: &csv::StringRecord, layout: CsvLayout) -> Result<CsvRow, ImportError> {
    let expected = CsvColumn::ALL.len();
    if record.len() != expected {
        let decimal_comma = layout.decimal == DecimalMark::Point && record.len() > expected;
        let (found, instead) =
            (record.len(), if decimal_comma { DECIMAL_COMMAS } else { LEAVE_EMPTY });
        let place = CsvPlace::column(line, (found as u64).min(4) + 1);
        return Err(place.is(CsvErrorKind::ColumnCount { found, instead }));
    }
    let last = record.len() - 1;
    let field = |column: CsvColumn| {
        let index = column.index();
        let raw = record.get(index).unwrap_or_default();
        let raw = if index == last { raw.strip_suffix('\r').unwrap_or(raw) } else { raw };
        checked_field(line, column, trimmed(raw))
    };
    let channel = match field(CsvColumn::Channel)? {
        "L" | "l" => Channel::Left,
        "R" | "r" => Channel::Right,
        other => {
            return Err(CsvPlace::field(line, CsvColumn::Channel)
                .is(CsvErrorKind::Channel(ShownText::new(other))));
        }
    };
    let parsed = |column: CsvColumn, text: &str| {
        let refused = |why| {
            CsvPlace::field(line, column)
                .is(CsvErrorKind::Number { value: ShownText::new(text), why })
        };
        number(text, layout.decimal).map_err(refused)
    };
    let ring_deg = match field(CsvColumn::Ring)? {
        "" => None,
        text => Some(parsed(CsvColumn::Ring, text)?),
    };
    let part = |column: CsvColumn| {
        let text = field(column)?;
        if text.is_empty() {
            return Err(CsvPlace::field(line, column).is(CsvErrorKind::EmptyField));
        }
        let value = parsed(column, text)?;
        if value.abs() > FIELD_LIMIT_ARCMIN {
            let beyond =
                CsvErrorKind::BeyondField { value: ShownText::new(text), from: "boresight" };
            return Err(CsvPlace::field(line, column).is(beyond));
        }
        Ok(value)
    };
    let direction = Direction::new(part(CsvColumn::X)?, part(CsvColumn::Y)?);
    let behind = |column: CsvColumn| {
        let text = field(column)?;
        let digits = text.split_once(['.', ',']).map_or("", |(_, digits)| digits);
        Ok(digits.bytes().take_while(u8::is_ascii_digit).count())
    };
    let decimals = behind(CsvColumn::X)?.max(behind(CsvColumn::Y)?);
    Ok(CsvRow { line, channel, reading: Reading { direction, ring_deg }, decimals })
}

/// A field short and plain enough to be read at all.
fn checked_field(line: u64, column: CsvColumn, text: &str) -> Result<&str, ImportError> {
    let (place, chars) = (CsvPlace::field(line, column), text.chars().count());
    if chars > FIELD_LIMIT_CHARS {
        return Err(place.is(CsvErrorKind::FieldTooLong(chars)));
    }
    if text.contains(['"', '\'']) {
        return Err(place.is(CsvErrorKind::Quote(ShownText::new(text))));
    }
    if text.chars().any(char::is_control) {
        return Err(place.is(CsvErrorKind::ControlCharacter(ShownText::new(text))));
    }
    Ok(text)
}

#[cfg(test)]
mod tests;
