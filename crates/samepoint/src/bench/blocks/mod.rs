//! A block of readings on its way in: rows pasted from a spreadsheet, or a CSV file.
//!
//! `taking`: from preview to facts; `ui`: its sheets.

pub(crate) mod taking;
pub(crate) mod ui;

use crate::shell::path_sheet::PathSheet;
use paper::words;
use record::fact::{Approach, Body, DirectionReading, Purpose, Reading, Seq};
use record::{Channel, ReadingUnit, Session, Typed, import_csv, paste};

/// Rows from a spreadsheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PasteSheet {
    /// As pasted.
    pub text: String,
    /// What each row will be.
    pub block: RowBlock,
    /// What was refused.
    pub refused: Option<String>,
}

/// A CSV file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ImportSheet {
    /// Which.
    pub path: PathSheet,
    /// Its readings, once read.
    pub block: RowBlock,
}

/// A block, each row with what it will be or why it is refused.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct RowBlock {
    /// Its rows.
    pub lines: Vec<BlockLine>,
}

/// Why a row cannot be logged.
#[derive(Clone, Debug, thiserror::Error)]
pub enum RowRefused {
    /// It is no reading.
    #[error("{0}")]
    Row(paste::PasteRefusal),
    /// The session does not admit it.
    #[error(transparent)]
    Record(#[from] record::Error),
}

/// Alike where they say the same.
impl PartialEq for RowRefused {
    fn eq(&self, other: &Self) -> bool {
        self.to_string() == other.to_string()
    }
}

/// One row.
#[derive(Clone, Debug, PartialEq)]
pub struct BlockLine {
    /// Its place in what was pasted, or in the file, from 1.
    pub number: usize,
    /// As it was pasted.
    pub text: String,
    /// The reading, ready to be logged, or what is wrong with it.
    pub reading: Result<DirectionReading, RowRefused>,
}

impl RowBlock {
    /// The rows of a pasted text, read in a unit; `channel` where no column says whose they are.
    #[must_use]
    pub fn pasted(text: &str, channel: Channel, unit: ReadingUnit, session: &Session) -> Self {
        let lines = paste::lines(text, channel).into_iter().map(|line| BlockLine {
            number: line.number,
            reading: match line.row {
                Ok(row) => admitted(session, direction(row, unit)),
                Err(why) => Err(RowRefused::Row(why)),
            },
            text: line.text,
        });
        Self { lines: lines.collect() }
    }

    /// The rows of a CSV file, which is in arcminutes.
    #[must_use]
    pub fn imported(readings: &import_csv::ImportedReadings, session: &Session) -> Self {
        let lines = readings.rows().iter().map(|row| {
            // The shortest text that gives the same number back.
            let typed = |value: f64| Typed::parse(&format!("{value}"));
            let (x, y) = (row.reading.direction.x_arcmin, row.reading.direction.y_arcmin);
            let read = || -> Result<paste::PastedRow, record::Error> {
                Ok(paste::PastedRow {
                    channel: row.channel,
                    ring_deg: row.reading.ring_deg.map(typed).transpose()?,
                    x: typed(x)?,
                    y: typed(y)?,
                })
            };
            BlockLine {
                number: usize::try_from(row.line).unwrap_or(usize::MAX),
                text: String::new(),
                reading: read()
                    .map_err(RowRefused::from)
                    .and_then(|row| admitted(session, direction(row, ReadingUnit::Arcmin))),
            }
        });
        Self { lines: lines.collect() }
    }

    /// The readings that can be logged.
    pub fn ready(&self) -> impl Iterator<Item = &DirectionReading> {
        self.lines.iter().filter_map(|line| line.reading.as_ref().ok())
    }

    /// How many rows are refused.
    #[must_use]
    pub fn refused(&self) -> usize {
        self.lines.iter().filter(|line| line.reading.is_err()).count()
    }

    /// The refused rows as they were pasted, to be put right.
    #[must_use]
    pub fn left_over(&self) -> String {
        let refused = self.lines.iter().filter(|line| line.reading.is_err());
        refused.map(|line| line.text.as_str()).collect::<Vec<_>>().join("\n")
    }

    /// The facts that log what can be logged.
    #[must_use]
    pub fn facts(&self, round: Seq) -> Vec<Body> {
        self.ready()
            .map(|reading| Body::Reading(Reading::direction(round, Purpose::Log, reading.clone())))
            .collect()
    }
}

impl BlockLine {
    /// The row in words: what will be logged, or why it will not.
    #[must_use]
    pub fn words(&self) -> String {
        match &self.reading {
            Ok(reading) => {
                let ring = reading.ring_deg.as_ref().map_or_else(
                    || "no ring angle".to_owned(),
                    |deg| format!("ring {}°", deg.shown()),
                );
                format!(
                    "{}  {}, {ring}, x {}, y {} {}",
                    self.number,
                    reading.channel,
                    reading.x.shown(),
                    reading.y.shown(),
                    reading.unit.sign()
                )
                .replace('-', &words::MINUS.to_string())
            }
            Err(why) => format!("{}  {why}", self.number),
        }
    }
}

fn direction(row: paste::PastedRow, unit: ReadingUnit) -> DirectionReading {
    let paste::PastedRow { channel, ring_deg, x, y } = row;
    DirectionReading { channel, ring_deg, x, y, unit, approach: Approach::NotNoted }
}

fn admitted(session: &Session, reading: DirectionReading) -> Result<DirectionReading, RowRefused> {
    let Some(round) = session.round() else {
        return Err(record::Error::NoRound.into());
    };
    let fact = Body::Reading(Reading::direction(round.id, Purpose::Log, reading.clone()));
    Ok(session.admits(&fact).map(|()| reading)?)
}
