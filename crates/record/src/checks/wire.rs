//! The words of a check file's lines, in formats 1 and 2; frozen with [them](crate::journal).

use super::{Accepted, CheckAbout, CheckBody, CheckLimits, CheckPoint, CheckTaken, SpreadFrom};
use crate::file::v1::shop_items::{ReadingUnit, StationMap};
use crate::file::v1::wire::{Side, wire_enum, wire_struct};
use crate::file::v1::words::{Approach, Withdrawn};
use crate::journal::wire::{Wired, header_line};

impl Wired for CheckBody {
    type Header = HeaderLine;
    type What = What;
}

header_line!(AboutWords for CheckAbout {
    station: String,
    standard: String,
    accepted: Vec<AcceptedWords>,
} continues);
wire_enum!(What for CheckBody {
    ; Taken(TakenWords), Withdrawn(Withdrawn), Limits(LimitsWords), StartedAnew(String)
});
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
