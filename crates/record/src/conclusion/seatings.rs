//! Which seating of the unit each confirm reading was taken in.
//!
//! A reading noted as reseated begins a seating. Left and right both noted so, one after the other, are
//! of one seating: both channels are read in it.

use std::collections::BTreeMap;

use solver::PerChannel;
use solver::decision::Circumstances;

use super::counted::Counted;
use crate::fact::{Purpose, Seq};
use crate::fold::{Entry, Round};
use crate::station::Station;
use crate::step::{ReadTo, step_arcmin};

/// The seating of every confirm reading of a round that counts, numbered as they came.
pub(super) fn seatings(round: &Round) -> BTreeMap<Seq, usize> {
    let mut found = BTreeMap::new();
    let mut seating = 0;
    // The channels read since the unit was seated, while every one of them was noted as reseated.
    let mut fresh: Option<PerChannel<bool>> = None;
    for entry in round.taken_for(Purpose::Confirm) {
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
            let read_to = at.readings[channel].iter().filter_map(|(entry, _)| ReadTo::of(entry));
            step_arcmin(channel, read_to, station).unwrap_or_default()
        }),
    }
}
