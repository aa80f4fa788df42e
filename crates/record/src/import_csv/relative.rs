//! Readings of the difference from a CSV file, for stations that show no more.
//!
//! The header is `left_ring_deg,right_ring_deg,dx_arcmin,dy_arcmin`, one reading a row: both ring
//! angles, degrees, and p_R − p_L, arcminutes. Everything else is as for [readings](super).

use solver::direction::FIELD_LIMIT_ARCMIN;
use solver::relative::RelativeReading;
use solver::{Misalignment, PerChannel};

use super::{
    CsvErrorKind, CsvLayout, CsvPlace, DecimalMark, FIELD_LIMIT_CHARS, FILE_LIMIT_BYTES,
    ImportError, ShownText, checked_text, each_row, is_skipped, number, trimmed,
};

/// The differences in a file, in its order.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ImportedDifferences {
    /// The readings.
    pub readings: Vec<RelativeReading>,
    /// The step they were read to, arcminutes: one of the last decimal written in any row; `None` without
    /// rows.
    pub step_arcmin: Option<f64>,
}

/// The columns, in their order.
pub const COLUMNS: [&str; 4] = ["left_ring_deg", "right_ring_deg", "dx_arcmin", "dy_arcmin"];

/// A field.
fn field(line: u64, column: usize) -> CsvPlace {
    CsvPlace::Column { line, column: column as u64, name: name(column) }
}

fn name(column: usize) -> &'static str {
    COLUMNS.get(column.wrapping_sub(1)).copied().unwrap_or_default()
}

/// Whether the bytes are meant as differences: their header begins as that header does.
#[must_use]
pub fn is_relative(bytes: &[u8]) -> bool {
    let limit = bytes.len().min(FILE_LIMIT_BYTES);
    checked_text(bytes.get(..limit).unwrap_or_default()).ok().and_then(header).is_some_and(
        |(_, line)| line.split([',', ';']).next().is_some_and(|first| trimmed(first) == COLUMNS[0]),
    )
}

/// The first line that is neither blank nor a comment.
fn header(text: &str) -> Option<(u64, &str)> {
    (1u64..)
        .zip(text.split('\n'))
        .map(|(line, written)| (line, written.strip_suffix('\r').unwrap_or(written)))
        .find(|(_, written)| !is_skipped(written, 1))
}

/// Parses the bytes of a file of differences.
///
/// # Errors
/// The first thing in the file that is not as described [above](self), with its line and column.
///
/// ```
/// use record::import_csv::relative::parse;
/// let table = parse(b"left_ring_deg,right_ring_deg,dx_arcmin,dy_arcmin\n0,90,-2.5,10\n")?;
/// assert_eq!(table.readings[0].ring_deg.right, 90.0);
/// assert_eq!(table.readings[0].misalignment.x_arcmin, -2.5);
/// assert_eq!(table.step_arcmin, Some(0.1));
/// # Ok::<(), record::import_csv::ImportError>(())
/// ```
pub fn parse(bytes: &[u8]) -> Result<ImportedDifferences, ImportError> {
    let text = checked_text(bytes)?;
    let (header_line, written) = header(text).ok_or(CsvPlace::Line(1).is(CsvErrorKind::Empty))?;
    let layout = if written.contains(';') && !written.contains(',') {
        CsvLayout { delimiter: b';', decimal: DecimalMark::Comma }
    } else {
        CsvLayout { delimiter: b',', decimal: DecimalMark::Point }
    };
    if !written.split(char::from(layout.delimiter)).map(trimmed).eq(COLUMNS) {
        return Err(CsvPlace::Line(header_line).is(CsvErrorKind::RelativeHeader));
    }
    let mut readings = Vec::new();
    let mut decimals = 0;
    each_row(text, layout.delimiter, header_line, |line, record| {
        readings.push(row(line, record, layout.decimal)?);
        decimals = decimals.max(decimals_of(record));
        Ok(())
    })?;
    if readings.is_empty() {
        return Err(CsvPlace::Line(header_line).is(CsvErrorKind::NoReadings));
    }
    let step_arcmin = Some(0.1_f64.powi(i32::try_from(decimals).unwrap_or(i32::MAX)));
    Ok(ImportedDifferences { readings, step_arcmin })
}

/// Digits behind the decimal mark of dx or dy, whichever has more.
fn decimals_of(record: &csv::StringRecord) -> usize {
    let behind = |column: usize| {
        let (_, digits) = record.get(column)?.split_once(['.', ','])?;
        Some(digits.bytes().take_while(u8::is_ascii_digit).count())
    };
    behind(2).max(behind(3)).unwrap_or_default()
}

fn row(
    line: u64,
    record: &csv::StringRecord,
    decimal: DecimalMark,
) -> Result<RelativeReading, ImportError> {
    if record.len() != COLUMNS.len() {
        let count = CsvErrorKind::ColumnCount { found: record.len(), instead: "" };
        return Err(CsvPlace::Line(line).is(count));
    }
    let read = |column: usize| {
        let place = field(line, column);
        let raw = record.get(column - 1).unwrap_or_default();
        let text = trimmed(raw.strip_suffix('\r').unwrap_or(raw));
        let chars = text.chars().count();
        if chars == 0 {
            return Err(place.is(CsvErrorKind::EmptyField));
        }
        if chars > FIELD_LIMIT_CHARS {
            return Err(place.is(CsvErrorKind::NumberTooLong(chars)));
        }
        let value = ShownText::new(text);
        match number(text, decimal) {
            Ok(found) if column > 2 && found.abs() > FIELD_LIMIT_ARCMIN => {
                Err(place.is(CsvErrorKind::BeyondField { value, from: "zero" }))
            }
            Ok(found) => Ok(found),
            Err(why) => Err(place.is(CsvErrorKind::Number { value, why })),
        }
    };
    Ok(RelativeReading {
        ring_deg: PerChannel { left: read(1)?, right: read(2)? },
        misalignment: Misalignment::new(read(3)?, read(4)?),
    })
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]

    use super::*;

    const HEADER: &str = "left_ring_deg,right_ring_deg,dx_arcmin,dy_arcmin";

    #[test]
    fn reads_what_spreadsheets_write() {
        let text = "\u{FEFF}# shop\r\nleft_ring_deg;right_ring_deg;dx_arcmin;dy_arcmin\r\n\
                    0;90; −2,5 ;10\r\n\r\n# no more\r\n";
        assert!(is_relative(text.as_bytes()));
        let found = parse(text.as_bytes()).unwrap().readings;
        assert_eq!(found.len(), 1);
        assert_eq!(found[0].misalignment, Misalignment::new(-2.5, 10.0));
    }

    #[test]
    fn refuses_by_line_and_column() {
        let refused = |rows: &str| parse(format!("{HEADER}\n{rows}").as_bytes()).unwrap_err();
        assert!(refused("0,90,1\n").to_string().starts_with("line 2: 3 columns"));
        assert!(refused("0,90,1,2\n0,x,1,2\n").to_string().contains("line 3, column 2 (right_"));
        assert!(refused("0,90,3001,2\n").to_string().contains("column 3 (dx_arcmin)"));
        assert!(refused(",90,1,2\n").to_string().contains("column 1 (left_ring_deg)"));
        assert!(refused("").to_string().contains("no readings"));
        let wrong = parse(b"left_ring_deg,dx_arcmin\n0,1\n").unwrap_err();
        assert!(matches!(
            wrong,
            ImportError { place: CsvPlace::Line(1), kind: CsvErrorKind::RelativeHeader }
        ));
        assert!(!is_relative(b"channel,ring_deg,x_arcmin,y_arcmin\n"));
    }
}
