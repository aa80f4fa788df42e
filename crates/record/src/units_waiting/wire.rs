//! Format 1 of a list of units. Frozen as a session's are: what it wrote it reads for ever.

use serde::{Deserialize, Serialize};

use super::{Moved, WaitingBody, WaitingFact, WaitingHeader, WaitingStep, WaitingUnit};
use crate::fact::{Fact, Mark, Note};
use crate::file::LineFormat;
use crate::file::bad_field::BadField;
use crate::file::v1::wire::{Wire, wire_struct};
use crate::file::v1::words::Continued;

const TAG: &str = "units waiting";

#[derive(Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct HeaderLine {
    format: u32,
    file: String,
    program: String,
    name: String,
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
    Noted(String),
    Added(UnitWords),
    Moved(u64, StepWords),
}

#[derive(Deserialize, Serialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
enum StepWords {
    Waits,
    Begun(String),
    Interrupted(String),
    Ready,
    TakenOff(String),
}

wire_struct!(UnitWords for WaitingUnit {
    unit: String,
    due: Option<String>,
    purpose: String,
    condition: String,
});

impl LineFormat for WaitingBody {
    const FILE: &'static str = "list of units waiting";
    const TAG: &'static str = TAG;
    const FORMAT: u32 = super::FORMAT;

    fn is_header(&self) -> bool {
        matches!(self, Self::Header(_))
    }

    fn format(&self) -> u32 {
        match self {
            Self::Header(header) => header.format,
            _ => super::FORMAT,
        }
    }

    fn noted(mark: &Mark, _format: u32) -> Option<Self> {
        Some(Self::Noted(mark.note()))
    }

    fn write(fact: &WaitingFact, _format: u32) -> Result<String, BadField> {
        let (seq, time, hand) = (fact.seq, Wire::write(&fact.time), fact.hand.clone());
        let what = match &fact.body {
            Self::Header(header) => {
                let line = HeaderLine {
                    format: header.format,
                    file: TAG.to_owned(),
                    program: header.program.clone(),
                    name: header.name.clone(),
                    continues: Wire::write(&header.continues),
                    seq,
                    time,
                    hand,
                };
                return ron::to_string(&line).map_err(BadField::new);
            }
            Self::Noted(note) => What::Noted(note.text.clone()),
            Self::Added(unit) => What::Added(Wire::write(unit)),
            Self::Moved(moved) => What::Moved(moved.entry, step_words(&moved.to)),
        };
        ron::to_string(&FactLine { seq, time, hand, what }).map_err(BadField::new)
    }

    fn read_header(body: &str) -> Result<WaitingFact, BadField> {
        let line: HeaderLine = ron::from_str(body).map_err(BadField::new)?;
        header_of(line)
    }

    fn read(body: &str, _format: u32) -> Result<WaitingFact, BadField> {
        let line: FactLine = ron::from_str(body).map_err(BadField::new)?;
        fact_of(line)
    }
}

fn step_words(step: &WaitingStep) -> StepWords {
    match step {
        WaitingStep::Waits => StepWords::Waits,
        WaitingStep::Begun(session) => StepWords::Begun(session.clone()),
        WaitingStep::Interrupted(why) => StepWords::Interrupted(why.clone()),
        WaitingStep::Ready => StepWords::Ready,
        WaitingStep::TakenOff(why) => StepWords::TakenOff(why.clone()),
    }
}

fn header_of(line: HeaderLine) -> Result<WaitingFact, BadField> {
    let header = WaitingHeader {
        format: line.format,
        program: line.program,
        name: line.name,
        continues: line.continues.read().map_err(|bad| bad.within("continues"))?,
    };
    let time = line.time.read().map_err(|bad| bad.within("time"))?;
    Ok(Fact { seq: line.seq, time, hand: line.hand, body: WaitingBody::Header(header) })
}

fn fact_of(line: FactLine) -> Result<WaitingFact, BadField> {
    let body = match line.what {
        What::Noted(text) => WaitingBody::Noted(Note::of_mark(text)?),
        What::Added(words) => WaitingBody::Added(words.read().map_err(|bad| bad.within("added"))?),
        What::Moved(entry, words) => {
            let to = match words {
                StepWords::Waits => WaitingStep::Waits,
                StepWords::Begun(session) => WaitingStep::Begun(session),
                StepWords::Interrupted(why) => WaitingStep::Interrupted(why),
                StepWords::Ready => WaitingStep::Ready,
                StepWords::TakenOff(why) => WaitingStep::TakenOff(why),
            };
            WaitingBody::Moved(Moved { entry, to })
        }
    };
    let time = line.time.read().map_err(|bad| bad.within("time"))?;
    Ok(Fact { seq: line.seq, time, hand: line.hand, body })
}
