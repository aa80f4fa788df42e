//! How finely a channel was read: readings that are all alike are no better known than that.

use solver::Channel;

use crate::fact::Seen;
use crate::fold::Entry;
use crate::station::{ReadingUnit, Station, StationMap};

/// The step to which a channel (or the difference, by the map of the right one) was read, arcminutes: the least part of a division its station says is read,
/// else the last decimal that was typed in any of the readings; through the station's map, the
/// larger of both axes. `None` without a reading of that channel.
pub(crate) fn step_arcmin<'a>(
    channel: Channel,
    entries: impl Iterator<Item = &'a Entry>,
    station: Option<&Station>,
) -> Option<f64> {
    let map = station.map_or(StationMap::PLAIN, |station| station.map[channel]);
    let of = |entry: &Entry| {
        let (x, y, unit) = match &entry.reading.seen {
            Seen::Direction(read) => (&read.x, &read.y, read.unit),
            Seen::Relative(read) => (&read.x, &read.y, read.unit),
            Seen::Box(_) => return None,
        };
        let said = station
            .and_then(|station| station.graticule.as_ref())
            .and_then(|graticule| graticule.read_to_divisions);
        let typed = match (unit, said) {
            (ReadingUnit::Divisions, Some(said)) => said,
            _ => {
                let decimals = x.decimals().max(y.decimals());
                0.1_f64.powi(i32::try_from(decimals).unwrap_or(i32::MAX))
            }
        };
        let map = map.of_differences();
        let across = map.direction_from_typed(unit, [typed, 0.0]).boresight_arcmin();
        let up = map.direction_from_typed(unit, [0.0, typed]).boresight_arcmin();
        Some(across.max(up))
    };
    entries.filter_map(of).min_by(f64::total_cmp)
}
