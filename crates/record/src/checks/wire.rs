//! Formats 1 and 2 of a check file. Frozen as a session's are: what they wrote they read for ever.
//! Format 2 says the same and [`What::Noted`].

use serde::{Deserialize, Serialize};

use super::{
    Accepted, CheckBody, CheckFact, CheckHeader, CheckLimits, CheckPoint, CheckTaken, SpreadFrom,
};
use crate::fact::{Fact, Mark, Note};
use crate::file::Words;
use crate::file::v1::shop_items::{ReadingUnit, StationMap};
use crate::file::v1::wire::{Bad, Side, Wire, wire_enum, wire_struct};
use crate::file::v1::words::{Approach, Continued, Withdrawn};

const FORMAT: u32 = super::LATEST_FORMAT;
const TAG: &str = "checks of a station";

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct HeaderLine {
    format: u32,
    file: String,
    program: String,
    name: String,
    station: String,
    standard: String,
    accepted: Vec<AcceptedWords>,
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
    Taken(TakenWords),
    Withdrawn(Withdrawn),
    /// In format 2 only.
    Noted(String),
    Limits(LimitsWords),
    StartedAnew(String),
}

wire_struct!(PointWords for CheckPoint { channel: Side, ring_deg: Option<f64> });
wire_struct!(AcceptedWords for Accepted {
    point: PointWords,
    direction_arcmin: [f64; 2],
    u_arcmin: f64,
});
wire_struct!(TakenWords for CheckTaken {
    channel: Side,
    ring_deg: Option<String>,
    x: String,
    y: String,
    unit: ReadingUnit,
    map: StationMap,
    approach: Approach,
});
wire_struct!(LimitsWords for CheckLimits {
    from: Vec<u64>,
    spread: SpreadWords,
    factor: f64,
    weight: f64,
    scatter_share: f64,
    reason: String,
});
wire_enum!(SpreadWords for SpreadFrom { MovingRange, Deviation });

impl Words for CheckBody {
    const FILE: &'static str = "check file";
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

    fn write(fact: &CheckFact, format: u32) -> Result<String, String> {
        let (seq, time, hand) = (fact.seq, Wire::write(&fact.time), fact.hand.clone());
        let what = match &fact.body {
            Self::Header(header) => {
                let line = HeaderLine {
                    format: header.format,
                    file: TAG.to_owned(),
                    program: header.program.clone(),
                    name: header.name.clone(),
                    station: header.station.clone(),
                    standard: header.standard.clone(),
                    accepted: Wire::write(&header.accepted),
                    continues: Wire::write(&header.continues),
                    seq,
                    time,
                    hand,
                };
                return ron::to_string(&line).map_err(|why| why.to_string());
            }
            Self::Taken(taken) => What::Taken(Wire::write(taken)),
            Self::Withdrawn(withdrawn) => What::Withdrawn(Wire::write(withdrawn)),
            Self::Noted(_) if format == super::FIRST_FORMAT => return Err(no_words()),
            Self::Noted(note) => What::Noted(note.text.clone()),
            Self::Limits(limits) => What::Limits(Wire::write(limits)),
            Self::StartedAnew(reason) => What::StartedAnew(reason.clone()),
        };
        ron::to_string(&FactLine { seq, time, hand, what }).map_err(|why| why.to_string())
    }

    fn read_header(body: &str) -> Result<CheckFact, String> {
        let line: HeaderLine = ron::from_str(body).map_err(|why| why.to_string())?;
        header_of(line).map_err(|bad| bad.to_string())
    }

    fn read(body: &str, format: u32) -> Result<CheckFact, String> {
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

fn header_of(line: HeaderLine) -> Result<CheckFact, Bad> {
    let header = CheckHeader {
        format: line.format,
        program: line.program,
        name: line.name,
        station: line.station,
        standard: line.standard,
        accepted: line.accepted.read().map_err(|bad| bad.within("accepted"))?,
        continues: line.continues.read().map_err(|bad| bad.within("continues"))?,
    };
    super::fold::check_header(&header).map_err(Bad::new)?;
    let time = line.time.read().map_err(|bad| bad.within("time"))?;
    Ok(Fact { seq: line.seq, time, hand: line.hand, body: CheckBody::Header(header) })
}

fn fact_of(line: FactLine) -> Result<CheckFact, Bad> {
    let body = match line.what {
        What::Taken(words) => {
            let taken: CheckTaken = words.read().map_err(|bad| bad.within("taken"))?;
            taken.map.check("taken.map").map_err(Bad::new)?;
            CheckBody::Taken(taken)
        }
        What::Withdrawn(words) => {
            CheckBody::Withdrawn(words.read().map_err(|bad| bad.within("withdrawn"))?)
        }
        What::Noted(text) => CheckBody::Noted(Note::of_mark(text).map_err(Bad::new)?),
        What::Limits(words) => CheckBody::Limits(words.read().map_err(|bad| bad.within("limits"))?),
        What::StartedAnew(reason) => CheckBody::StartedAnew(reason),
    };
    let time = line.time.read().map_err(|bad| bad.within("time"))?;
    Ok(Fact { seq: line.seq, time, hand: line.hand, body })
}
