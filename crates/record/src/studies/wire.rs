//! Formats 1 and 2 of a study. Frozen as a session's are: what they wrote they read for ever.
//! Format 2 says the same and [`What::Noted`].

use serde::{Deserialize, Serialize};

use super::{Cell, CellMeasured, Plan, StudyBody, StudyFact, StudyHeader};
use crate::fact::{Fact, Mark, Note};
use crate::file::Words;
use crate::file::v1::shop_items::{ReadingUnit, StationMap};
use crate::file::v1::wire::{Bad, Side, Wire, wire_struct};
use crate::file::v1::words::{Approach, Continued, Withdrawn};

const FORMAT: u32 = super::LATEST_FORMAT;
const TAG: &str = "study of a station";

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct HeaderLine {
    format: u32,
    file: String,
    program: String,
    name: String,
    station: String,
    channel: Side,
    parts: Vec<String>,
    hands: Vec<String>,
    trials: usize,
    seed: u64,
    order: Vec<u64>,
    continues: Option<Continued>,
    seq: u64,
    time: String,
    hand: String,
}

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct FactLine {
    seq: u64,
    time: String,
    hand: String,
    what: What,
}

#[derive(Deserialize, Serialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
enum What {
    Measured(MeasuredWords),
    Withdrawn(Withdrawn),
    /// In format 2 only.
    Noted(String),
}

/// Counted from 0.
#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct CellWords {
    part: usize,
    hand: usize,
    trial: usize,
}

impl Wire<Cell> for CellWords {
    fn write(from: &Cell) -> Self {
        Self { part: from.part, hand: from.hand, trial: from.trial }
    }
    fn read(self) -> Result<Cell, Bad> {
        Ok(Cell { part: self.part, hand: self.hand, trial: self.trial })
    }
}

wire_struct!(MeasuredWords for CellMeasured {
    cell: CellWords,
    ring_deg: Option<String>,
    x: String,
    y: String,
    unit: ReadingUnit,
    map: StationMap,
    approach: Approach,
});

impl Words for StudyBody {
    const FILE: &'static str = "study";
    const TAG: &'static str = TAG;
    const FORMAT: u32 = FORMAT;

    fn is_header(&self) -> bool {
        matches!(self, Self::Header(_))
    }

    fn format(&self) -> u32 {
        match self {
            Self::Header(header) => header.format,
            _ => FORMAT,
        }
    }

    fn noted(mark: &Mark, format: u32) -> Option<Self> {
        (format > super::FIRST_FORMAT).then(|| Self::Noted(mark.note()))
    }

    fn write(fact: &StudyFact, format: u32) -> Result<String, String> {
        let (seq, time, hand) = (fact.seq, Wire::write(&fact.time), fact.hand.clone());
        let what = match &fact.body {
            Self::Header(header) => {
                let line = HeaderLine {
                    format: header.format,
                    file: TAG.to_owned(),
                    program: header.program.clone(),
                    name: header.name.clone(),
                    station: header.station.clone(),
                    channel: Wire::write(&header.channel),
                    parts: header.plan.parts().to_vec(),
                    hands: header.plan.hands().to_vec(),
                    trials: header.plan.trials(),
                    seed: header.plan.seed(),
                    order: header.plan.numbers().to_vec(),
                    continues: Wire::write(&header.continues),
                    seq,
                    time,
                    hand,
                };
                return ron::to_string(&line).map_err(|why| why.to_string());
            }
            Self::Measured(measured) => What::Measured(Wire::write(measured)),
            Self::Withdrawn(withdrawn) => What::Withdrawn(Wire::write(withdrawn)),
            Self::Noted(_) if format == super::FIRST_FORMAT => return Err(no_words()),
            Self::Noted(note) => What::Noted(note.text.clone()),
        };
        ron::to_string(&FactLine { seq, time, hand, what }).map_err(|why| why.to_string())
    }

    fn read_header(body: &str) -> Result<StudyFact, String> {
        let line: HeaderLine = ron::from_str(body).map_err(|why| why.to_string())?;
        header_of(line).map_err(|bad| bad.to_string())
    }

    fn read(body: &str, format: u32) -> Result<StudyFact, String> {
        let line: FactLine = ron::from_str(body).map_err(|why| why.to_string())?;
        if format == super::FIRST_FORMAT && matches!(line.what, What::Noted(_)) {
            return Err(no_words());
        }
        fact_of(line).map_err(|bad| bad.to_string())
    }
}

fn no_words() -> String {
    "format 1 has no words for a note of the program's own".to_owned()
}

fn header_of(line: HeaderLine) -> Result<StudyFact, Bad> {
    let plan = Plan::recorded(line.parts, line.hands, line.trials, line.seed, line.order);
    let header = StudyHeader {
        format: line.format,
        program: line.program,
        name: line.name,
        station: line.station,
        channel: line.channel.read()?,
        plan: plan.map_err(Bad::new)?,
        continues: line.continues.read().map_err(|bad| bad.within("continues"))?,
    };
    super::fold::check_header(&header).map_err(Bad::new)?;
    let time = line.time.read().map_err(|bad| bad.within("time"))?;
    Ok(Fact { seq: line.seq, time, hand: line.hand, body: StudyBody::Header(header) })
}

fn fact_of(line: FactLine) -> Result<StudyFact, Bad> {
    let body = match line.what {
        What::Measured(words) => {
            let measured: CellMeasured = words.read().map_err(|bad| bad.within("measured"))?;
            measured.map.check("measured.map").map_err(Bad::new)?;
            StudyBody::Measured(measured)
        }
        What::Withdrawn(words) => {
            StudyBody::Withdrawn(words.read().map_err(|bad| bad.within("withdrawn"))?)
        }
        What::Noted(text) => StudyBody::Noted(Note::of_mark(text).map_err(Bad::new)?),
    };
    let time = line.time.read().map_err(|bad| bad.within("time"))?;
    Ok(Fact { seq: line.seq, time, hand: line.hand, body })
}
