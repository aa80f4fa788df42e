//! How finely a channel was read: readings that are all alike are no better known than that.

use solver::Channel;

use crate::fact::Seen;
use crate::fold::Entry;
use crate::station::{ReadingUnit, Station, StationMap};

/// How finely a reading was typed: its unit, and how many decimals.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct ReadTo {
    unit: ReadingUnit,
    decimals: usize,
}

impl ReadTo {
    /// Of a reading of one channel; `None` of any other.
    pub(crate) fn of(entry: &Entry) -> Option<Self> {
        let Seen::Direction(read) = &entry.reading.seen else { return None };
        Some(Self { unit: read.unit, decimals: read.x.decimals().max(read.y.decimals()) })
    }
}

/// The step to which a channel was read, arcminutes: the least part of a division its station says is read,
/// else the last decimal that was typed in any of the readings; through the station's map, the
/// larger of both axes. `None` without a reading of that channel.
pub(crate) fn step_arcmin(
    channel: Channel,
    read_to: impl Iterator<Item = ReadTo>,
    station: Option<&Station>,
) -> Option<f64> {
    let map = station.map_or(StationMap::PLAIN, |station| station.map[channel]).of_differences();
    let said = station
        .and_then(|station| station.graticule.as_ref())
        .and_then(|graticule| graticule.read_to_divisions);
    let of = |ReadTo { unit, decimals }: ReadTo| {
        let typed = match (unit, said) {
            (ReadingUnit::Divisions, Some(said)) => said,
            _ => 0.1_f64.powi(i32::try_from(decimals).unwrap_or(i32::MAX)),
        };
        let across = map.direction_from_typed(unit, [typed, 0.0]).boresight_arcmin();
        let up = map.direction_from_typed(unit, [0.0, typed]).boresight_arcmin();
        across.max(up)
    };
    read_to.map(of).min_by(f64::total_cmp)
}
