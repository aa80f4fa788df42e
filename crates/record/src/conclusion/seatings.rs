//! Which seating of the unit each confirm reading was taken in, and how finely it was read.
//!
//! A reading noted as reseated begins a seating. Left and right both noted so, one after the other, are
//! of one seating: both channels are read in it.

use std::collections::BTreeMap;

use solver::decision::Circumstances;
use solver::{Channel, PerChannel};

use super::counted::Counted;
use crate::fact::{Purpose, Seen, Seq};
use crate::fold::{Entry, Round};
use crate::station::{ReadingUnit, Station, StationMap};

/// The seating of every confirm reading of a round that counts, numbered as they came.
pub(super) fn seatings(round: &Round) -> BTreeMap<Seq, usize> {
    let mut found = BTreeMap::new();
    let mut seating = 0;
    // The channels read since the unit was seated, while every one of them was noted as reseated.
    let mut fresh: Option<PerChannel<bool>> = None;
    for entry in round.in_use().filter(|entry| entry.reading.purpose == Purpose::Confirm) {
        let Some(channel) = entry.reading.channel() else { continue };
        if entry.reading.reseated {
            let same = fresh.is_some_and(|read| !read[channel]);
            if !same {
                seating += 1;
                fresh = Some(PerChannel::default());
            }
            if let Some(read) = &mut fresh {
                read[channel] = true;
            }
        } else {
            fresh = None;
        }
        found.insert(entry.seq, seating);
    }
    found
}

/// What is known of the readings of one position beside their values.
pub(super) fn circumstances(
    at: &Counted<'_>,
    seatings: &BTreeMap<Seq, usize>,
    station: Option<&Station>,
) -> Circumstances {
    Circumstances {
        seating_of: at.readings.as_ref().map(|readings| {
            let seating = |entry: &Entry| seatings.get(&entry.seq).copied().unwrap_or_default();
            readings.iter().map(|(entry, _)| seating(entry)).collect()
        }),
        step_arcmin: PerChannel::from_fn(|channel| {
            let entries = at.readings[channel].iter().map(|(entry, _)| *entry);
            step_arcmin(channel, entries, station).unwrap_or_default()
        }),
    }
}

/// The step to which a channel was read, arcminutes: the least part of a division its station says is read,
/// else the last decimal that was typed in any of the readings; through the station's map, the
/// larger of both axes. `None` without a reading of that channel.
pub(crate) fn step_arcmin<'a>(
    channel: Channel,
    entries: impl Iterator<Item = &'a Entry>,
    station: Option<&Station>,
) -> Option<f64> {
    let map = station.map_or(StationMap::PLAIN, |station| station.map[channel]);
    let said = station
        .and_then(|station| station.graticule.as_ref())
        .and_then(|graticule| graticule.read_to_divisions);
    let of = |entry: &Entry| {
        let Seen::Direction(read) = &entry.reading.seen else { return None };
        let typed = match (read.unit, said) {
            (ReadingUnit::Divisions, Some(said)) => said,
            _ => {
                let decimals = read.x.decimals().max(read.y.decimals());
                0.1_f64.powi(i32::try_from(decimals).unwrap_or(i32::MAX))
            }
        };
        let map = map.of_differences();
        let across = map.direction_from_typed(read.unit, [typed, 0.0]).boresight_arcmin();
        let up = map.direction_from_typed(read.unit, [0.0, typed]).boresight_arcmin();
        Some(across.max(up))
    };
    entries.filter_map(of).min_by(f64::total_cmp)
}
