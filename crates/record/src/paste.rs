//! Readings pasted from a spreadsheet: one a row, its columns channel, ring angle, x and y.
//!
//! - Columns are parted by tabs; where a block has no tab, by semicolons; else by commas. Where
//!   they are not parted by commas, a comma is a decimal mark.
//! - Channel is `L`, `R`, `left` or `right` in either case. A block without that column (three
//!   columns) is all of one channel.
//! - An empty ring angle is a ring that could not be read.
//! - A first row of words only is a heading; blank rows and rows that begin with `#` are nothing.
//!
//! Each row stands for itself: one that is refused keeps no other from being logged.

use core::fmt;

use solver::Channel;

use crate::error::Error;
use crate::figures::counted_s;
use crate::number::Typed;

/// Rows beyond this are not looked at: forty bench days fit.
pub const ROW_LIMIT: usize = 1_000;

/// A row longer than this, in characters, holds no reading.
const LONGEST_ROW: usize = 200;

/// One row that says something, and what it says.
#[derive(Clone, Debug, PartialEq)]
pub struct PastedLine {
    /// Its place in the block, from 1.
    pub number: usize,
    /// As it was pasted.
    pub text: String,
    /// The reading in it, or what is wrong with it.
    pub row: Result<PastedRow, PasteRefusal>,
}

/// A reading in a row, its numbers as they were written.
#[derive(Clone, Debug, PartialEq)]
pub struct PastedRow {
    /// Whose crosshair.
    pub channel: Channel,
    /// The ring angle, degrees; `None` where the field is empty.
    pub ring_deg: Option<Typed>,
    /// Across.
    pub x: Typed,
    /// Up.
    pub y: Typed,
}

/// A column of a row.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PastedColumn {
    /// Ring angle.
    Ring,
    /// x.
    X,
    /// y.
    Y,
}

/// Why a row is not a reading.
#[derive(Clone, Debug)]
pub enum PasteRefusal {
    /// Neither three nor four columns.
    Columns {
        /// How many there are.
        found: usize,
        /// Whether decimal commas are the likely cause.
        decimal_commas: bool,
    },
    /// The first column names no channel.
    Channel {
        /// What it says.
        text: String,
    },
    /// A column holds no number.
    Number {
        /// Which.
        column: PastedColumn,
        /// What is wrong with it.
        why: Error,
    },
    /// The row is too long.
    TooLong,
    /// The block goes on past [`ROW_LIMIT`] rows.
    TooMany,
}

impl PartialEq for PasteRefusal {
    fn eq(&self, other: &Self) -> bool {
        self.to_string() == other.to_string()
    }
}

impl fmt::Display for PasteRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Columns { found, decimal_commas: true } => write!(
                f,
                "{}; decimal commas need tabs or semicolons between the columns",
                counted_s(*found, "column")
            ),
            Self::Columns { found, .. } => {
                let columns = counted_s(*found, "column");
                write!(f, "{columns}; wanted are channel, ring angle, x, y")
            }
            Self::Channel { text } => write!(f, "“{text}” is no channel; write L or R"),
            Self::Number { column, why } => write!(f, "{}: {why}", column.word()),
            Self::TooLong => f.write_str("the row is too long for a reading"),
            Self::TooMany => {
                write!(f, "only {ROW_LIMIT} rows are taken at once; paste the rest afterwards")
            }
        }
    }
}

impl PastedColumn {
    /// Its name in a sentence.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Ring => "ring angle",
            Self::X => "x",
            Self::Y => "y",
        }
    }
}

/// Whether a pasted text is a block of rows rather than one number for one field.
#[must_use]
pub fn is_block(text: &str) -> bool {
    text.trim().contains(['\n', '\r', '\t', ';'])
}

/// The rows of a block; `channel` is whose they are where no column says it.
///
/// ```
/// use record::{Channel, paste};
/// let lines = paste::lines("L\t0\t38,1\t14,4\nR\t\t-25,8\t13,9\nL\t60\tx\t1", Channel::Left);
/// assert_eq!(lines.iter().filter(|line| line.row.is_ok()).count(), 2);
/// assert!(lines[2].row.as_ref().is_err_and(|why| why.to_string().starts_with("x:")));
/// ```
#[must_use]
pub fn lines(text: &str, channel: Channel) -> Vec<PastedLine> {
    let separator = [('\t', text.contains('\t')), (';', text.contains(';'))]
        .into_iter()
        .find_map(|(mark, there)| there.then_some(mark))
        .unwrap_or(',');
    let mut lines = Vec::new();
    for (number, raw) in (1..).zip(text.lines()) {
        // An empty ring field in a row of three columns begins with a separator: keep tabs.
        let text = raw.trim_matches([' ', '\r', '\u{FEFF}']);
        if text.trim().is_empty() || text.starts_with('#') {
            continue;
        }
        if lines.is_empty() && is_heading(text, separator) {
            continue;
        }
        if lines.len() == ROW_LIMIT {
            lines.push(PastedLine {
                number,
                text: shortened(text),
                row: Err(PasteRefusal::TooMany),
            });
            break;
        }
        let row = row(text, separator, channel);
        lines.push(PastedLine { number, text: shortened(text), row });
    }
    lines
}

fn shortened(text: &str) -> String {
    text.chars().take(LONGEST_ROW).collect()
}

/// A row of words only, and more of them than a channel's name.
fn is_heading(text: &str, separator: char) -> bool {
    let mut fields = 0;
    text.split(separator).map(str::trim).all(|field| {
        fields += 1;
        field.chars().next().is_none_or(char::is_alphabetic)
    }) && fields >= 3
}

fn row(text: &str, separator: char, channel: Channel) -> Result<PastedRow, PasteRefusal> {
    if text.chars().count() > LONGEST_ROW {
        return Err(PasteRefusal::TooLong);
    }
    let mut fields: Vec<&str> = text.split(separator).map(str::trim).collect();
    // A spreadsheet leaves empty columns behind the last one used.
    while fields.len() > 4 && fields.last().is_some_and(|field| field.is_empty()) {
        fields.pop();
    }
    let (channel, ring, x, y) = match fields.as_slice() {
        [ring, x, y] => (channel, ring, x, y),
        [named, ring, x, y] => (channel_named(named)?, ring, x, y),
        other => {
            let decimal_commas = separator == ',' && other.len() > 4;
            return Err(PasteRefusal::Columns { found: other.len(), decimal_commas });
        }
    };
    let number = |column: PastedColumn, text: &str| {
        Typed::parse(text).map_err(|why| PasteRefusal::Number { column, why })
    };
    Ok(PastedRow {
        channel,
        ring_deg: if ring.is_empty() { None } else { Some(number(PastedColumn::Ring, ring)?) },
        x: number(PastedColumn::X, x)?,
        y: number(PastedColumn::Y, y)?,
    })
}

fn channel_named(text: &str) -> Result<Channel, PasteRefusal> {
    match text.to_lowercase().as_str() {
        "l" | "left" => Ok(Channel::Left),
        "r" | "right" => Ok(Channel::Right),
        _ => Err(PasteRefusal::Channel { text: text.chars().take(24).collect() }),
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "tests fail by panicking")]
    use super::*;

    /// Channel, ring angle, x, y.
    type Numbers = (Channel, Option<f64>, f64, f64);

    fn check(text: &str) -> Vec<Result<Numbers, String>> {
        lines(text, Channel::Right)
            .into_iter()
            .map(|line| match line.row {
                Ok(row) => Ok((
                    row.channel,
                    row.ring_deg.as_ref().map(Typed::value),
                    row.x.value(),
                    row.y.value(),
                )),
                Err(why) => Err(format!("{}: {why}", line.number)),
            })
            .collect()
    }

    #[test]
    fn three_kinds_of_columns() {
        let wanted = vec![
            Ok((Channel::Left, Some(0.0), 38.1, -14.4)),
            Ok((Channel::Right, None, -25.8, 13.9)),
        ];
        for block in [
            "L\t0\t38.1\t-14.4\nR\t\t-25.8\t13.9",
            "channel;ring;x;y\r\nleft;0;38,1;\u{2212}14,4\r\n\r\nRIGHT;;-25,8;13,9\r\n",
            "# from the big sheet\nl, 0, 38.1, -14.4\nr, , -25.8, 13.9",
        ] {
            assert_eq!(check(block), wanted, "{block:?}");
        }
    }

    #[test]
    fn a_block_without_channels_is_all_of_one() {
        assert_eq!(
            check("0\t1\t2\n\t3\t4"),
            [Ok((Channel::Right, Some(0.0), 1.0, 2.0)), Ok((Channel::Right, None, 3.0, 4.0))]
        );
    }

    #[test]
    fn each_row_is_refused_for_itself() {
        let found = check("L\t0\t1\t2\nM\t0\t1\t2\nL\t0\tten\t2\nL\t0\t1\nL\t0\t1\t2\t3");
        assert!(found[0].is_ok());
        assert!(found[1].as_ref().unwrap_err().starts_with("2: “M” is no channel"), "{found:?}");
        assert!(found[2].as_ref().unwrap_err().starts_with("3: x: "), "{found:?}");
        assert!(found[3].as_ref().unwrap_err().starts_with("4: ring angle: "), "{found:?}");
        assert!(found[4].as_ref().unwrap_err().starts_with("5: 5 columns"), "{found:?}");
        let commas = check("L,0,38,1,14,4");
        assert!(commas[0].as_ref().unwrap_err().contains("decimal commas"), "{commas:?}");
    }

    #[test]
    fn the_numbers_stay_as_written() {
        let lines = lines("L;0;5,50;-2,0", Channel::Left);
        let row = lines[0].row.as_ref().unwrap();
        assert_eq!((row.x.text(), row.y.text()), ("5,50", "-2,0"));
    }

    #[test]
    fn endless_blocks_end() {
        let block = "L\t0\t1\t2\n".repeat(ROW_LIMIT + 5);
        let lines = lines(&block, Channel::Left);
        assert_eq!(lines.len(), ROW_LIMIT + 1);
        assert_eq!(lines[ROW_LIMIT].row, Err(PasteRefusal::TooMany));
        assert!(check(&format!("L\t{}\t1\t2", "9".repeat(300)))[0].is_err());
    }
}
