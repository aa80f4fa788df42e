//! The words of a study's lines, in formats 1 and 2; frozen with [them](crate::journal).

use serde::{Deserialize, Serialize};

use super::{CellMeasured, Plan, PlanCell, StudyAbout, StudyBody};
use crate::file::bad_field::BadField;
use crate::file::v1::shop_items::{ReadingUnit, StationMap};
use crate::file::v1::wire::{Side, Wire, wire_enum, wire_struct};
use crate::file::v1::words::{Approach, Withdrawn};
use crate::journal::wire::{Wired, header_line};

impl Wired for StudyBody {
    type Header = HeaderLine;
    type What = What;
}

header_line!(AboutWords {
    station: String,
    channel: Side,
    parts: Vec<String>,
    hands: Vec<String>,
    trials: usize,
    seed: u64,
    order: Vec<u64>,
} continues);

impl Wire<StudyAbout> for AboutWords {
    fn write(from: &StudyAbout) -> Self {
        let plan = &from.plan;
        Self {
            station: from.station.clone(),
            channel: Wire::write(&from.channel),
            parts: plan.parts().to_vec(),
            hands: plan.hands().to_vec(),
            trials: plan.trials(),
            seed: plan.seed(),
            order: plan.numbers().to_vec(),
        }
    }
    fn read(self) -> Result<StudyAbout, BadField> {
        let plan = Plan::recorded(self.parts, self.hands, self.trials, self.seed, self.order);
        Ok(StudyAbout {
            station: self.station,
            channel: self.channel.read()?,
            plan: plan.map_err(BadField::new)?,
        })
    }
}

wire_enum!(What for StudyBody { ; Measured(MeasuredWords), Withdrawn(Withdrawn) });

/// Counted from 0.
#[derive(Clone, Debug, Deserialize, Serialize)]
#[serde(deny_unknown_fields)]
struct CellWords {
    part: usize,
    hand: usize,
    trial: usize,
}

impl Wire<PlanCell> for CellWords {
    fn write(from: &PlanCell) -> Self {
        Self { part: from.part, hand: from.hand, trial: from.trial }
    }
    fn read(self) -> Result<PlanCell, BadField> {
        Ok(PlanCell { part: self.part, hand: self.hand, trial: self.trial })
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
