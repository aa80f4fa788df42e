//! The words of a list's lines, in format 1; frozen with [them](crate::journal).

use serde::{Deserialize, Serialize};

use super::{Moved, WaitingAbout, WaitingBody, WaitingStep, WaitingUnit};
use crate::file::bad_field::BadField;
use crate::file::v1::wire::{Wire, wire_enum, wire_struct};
use crate::journal::wire::{Wired, header_line};

impl Wired for WaitingBody {
    type Header = HeaderLine;
    type What = What;
}

header_line!(AboutWords {} continues);

impl Wire<WaitingAbout> for AboutWords {
    fn write(_: &WaitingAbout) -> Self {
        Self {}
    }
    fn read(self) -> Result<WaitingAbout, BadField> {
        Ok(WaitingAbout {})
    }
}

#[derive(Deserialize, Serialize)]
#[serde(rename_all = "camelCase", deny_unknown_fields)]
pub(crate) enum What {
    Added(UnitWords),
    Moved(u64, StepWords),
}

impl Wire<WaitingBody> for What {
    fn write(from: &WaitingBody) -> Self {
        match from {
            WaitingBody::Added(unit) => Self::Added(Wire::write(unit)),
            WaitingBody::Moved(moved) => Self::Moved(moved.entry, Wire::write(&moved.to)),
        }
    }
    fn read(self) -> Result<WaitingBody, BadField> {
        Ok(match self {
            Self::Added(unit) => {
                WaitingBody::Added(unit.read().map_err(|bad| bad.within("added"))?)
            }
            Self::Moved(entry, to) => {
                let to = to.read().map_err(|bad| bad.within("moved"))?;
                WaitingBody::Moved(Moved { entry, to })
            }
        })
    }
}

wire_enum!(StepWords for WaitingStep {
    Waits, Ready; Begun(String), Interrupted(String), TakenOff(String)
});

wire_struct!(UnitWords for WaitingUnit {
    unit: String,
    due: Option<String>,
    purpose: String,
    condition: String,
});
