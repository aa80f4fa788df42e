//! A round's readings, and what is asked of them all after every fact: kept up reading by reading, so that
//! one more among very many costs what one more among few does.
//!
//! Everything kept beside the readings follows from them and nothing else; [`Readings::change`] works it out
//! anew.

use core::ops::Deref;
use std::collections::BTreeMap;

use solver::{Channel, PerChannel};

use super::entry::{Entry, Withdrawal};
use crate::fact::{Approach, Purpose, Seen, Seq};
use crate::step::ReadTo;

/// The readings of a round in the order logged, withdrawn ones too.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Readings {
    all: Vec<Entry>,
    /// Where those of each purpose stand, withdrawn ones too.
    places: [Vec<usize>; 3],
    /// How many were numbered, by purpose and channel.
    numbered: [[usize; 3]; 3],
    /// Of those in use.
    channels: PerChannel<OfChannel>,
    stations: BTreeMap<Option<Seq>, usize>,
    in_use: usize,
    /// Those in use that show one channel's direction.
    of_one_channel: usize,
}

/// What is kept of one channel's readings in use.
#[derive(Clone, Debug, Default, PartialEq)]
struct OfChannel {
    fitted: FittedReadings,
    /// Log readings taken elsewhere than where the unit was set up.
    elsewhere: Vec<Seq>,
    /// Log readings whose ring was approached clockwise, and counter.
    approached: [usize; 2],
}

/// The readings that a circle is fitted to, in the order logged.
#[derive(Clone, Debug, Default, PartialEq)]
pub(crate) struct FittedReadings {
    /// Where each stands among all.
    pub(crate) places: Vec<usize>,
    /// What each says.
    pub(crate) readings: Vec<solver::Reading>,
    /// How finely they were read, and how many so.
    pub(crate) read_to: BTreeMap<ReadTo, usize>,
}

impl Deref for Readings {
    type Target = [Entry];

    fn deref(&self) -> &[Entry] {
        &self.all
    }
}

impl<'a> IntoIterator for &'a Readings {
    type Item = &'a Entry;
    type IntoIter = core::slice::Iter<'a, Entry>;

    fn into_iter(self) -> Self::IntoIter {
        self.all.iter()
    }
}

impl Readings {
    /// One more, which gets its number.
    pub(super) fn push(&mut self, mut entry: Entry) {
        let purpose = entry.reading.purpose as usize;
        let number = &mut self.numbered[purpose][whose(&entry)];
        *number += 1;
        entry.number = *number;
        self.places[purpose].push(self.all.len());
        self.all.push(entry);
        self.count_in(self.all.len() - 1);
    }

    /// Takes the last one off again.
    pub(super) fn pop(&mut self) {
        if let Some(last) = self.all.len().checked_sub(1) {
            self.count_out(last);
        }
        if let Some(entry) = self.all.pop() {
            let purpose = entry.reading.purpose as usize;
            self.places[purpose].pop();
            self.numbered[purpose][whose(&entry)] -= 1;
        }
    }

    /// Withdraws one, or counts it again.
    pub(super) fn set_withdrawn(&mut self, place: usize, withdrawn: Option<Withdrawal>) {
        self.count_out(place);
        if let Some(entry) = self.all.get_mut(place) {
            entry.withdrawn = withdrawn;
        }
        self.count_in(place);
    }

    /// Changes whatever there is to change, for a session that only might be: readings may go, too.
    pub(crate) fn change(&mut self, change: impl FnOnce(&mut Vec<Entry>)) {
        let mut all = core::mem::take(self).all;
        change(&mut all);
        for entry in all {
            let number = entry.number;
            self.push(entry);
            // They keep the number that they were logged under.
            if let Some(entry) = self.all.last_mut() {
                entry.number = number;
            }
        }
    }

    /// Those taken for a purpose, withdrawn ones too.
    pub(super) fn for_purpose(&self, purpose: Purpose) -> impl DoubleEndedIterator<Item = &Entry> {
        self.places[purpose as usize].iter().filter_map(|&place| self.all.get(place))
    }

    /// Those that a channel's circle is fitted to.
    pub(crate) const fn fitted(&self, channel: Channel) -> &FittedReadings {
        match channel {
            Channel::Left => &self.channels.left.fitted,
            Channel::Right => &self.channels.right.fitted,
        }
    }

    /// The log readings of a channel that were taken elsewhere than where the unit was set up.
    pub(super) fn elsewhere(&self, channel: Channel) -> &[Seq] {
        &self.channels[channel].elsewhere
    }

    /// How many log readings' rings were approached clockwise, and counter.
    pub(super) fn approached(&self, channel: Channel) -> [usize; 2] {
        self.channels[channel].approached
    }

    /// How many count.
    #[must_use]
    pub const fn in_use(&self) -> usize {
        self.in_use
    }

    /// How many of those that count show one channel's direction: the others show both channels at once.
    #[must_use]
    pub const fn of_one_channel(&self) -> usize {
        self.of_one_channel
    }

    /// Whether those that count went through more than one station's map.
    pub(super) fn of_several_stations(&self) -> bool {
        self.stations.len() > 1
    }

    fn count_in(&mut self, place: usize) {
        let Some(entry) = self.all.get(place).filter(|entry| entry.in_use()) else { return };
        self.in_use += 1;
        self.of_one_channel += usize::from(entry.reading.channel().is_some());
        *self.stations.entry(entry.station).or_default() += 1;
        for channel in Channel::BOTH {
            let kept = &mut self.channels[channel];
            for (count, one) in kept.approached.iter_mut().zip(approached(entry, channel)) {
                *count += usize::from(one);
            }
            if !is_logged(entry, channel) {
                continue;
            }
            if !entry.at_set_up_position() {
                let at = kept.elsewhere.partition_point(|seq| *seq < entry.seq);
                kept.elsewhere.insert(at, entry.seq);
            } else if let Some((ring_deg, direction)) = entry.direction(channel) {
                let at = kept.fitted.places.partition_point(|other| *other < place);
                kept.fitted.places.insert(at, place);
                kept.fitted.readings.insert(at, solver::Reading { direction, ring_deg });
                if let Some(read_to) = ReadTo::of(entry) {
                    *kept.fitted.read_to.entry(read_to).or_default() += 1;
                }
            }
        }
    }

    fn count_out(&mut self, place: usize) {
        let Some(entry) = self.all.get(place).filter(|entry| entry.in_use()) else { return };
        self.in_use -= 1;
        self.of_one_channel -= usize::from(entry.reading.channel().is_some());
        one_less(&mut self.stations, entry.station);
        for channel in Channel::BOTH {
            let kept = &mut self.channels[channel];
            for (count, one) in kept.approached.iter_mut().zip(approached(entry, channel)) {
                *count -= usize::from(one);
            }
            if let Ok(at) = kept.elsewhere.binary_search(&entry.seq) {
                kept.elsewhere.remove(at);
            }
            if let Ok(at) = kept.fitted.places.binary_search(&place) {
                kept.fitted.places.remove(at);
                kept.fitted.readings.remove(at);
                if let Some(read_to) = ReadTo::of(entry) {
                    one_less(&mut kept.fitted.read_to, read_to);
                }
            }
        }
    }
}

fn one_less<K: Ord>(counts: &mut BTreeMap<K, usize>, key: K) {
    if let Some(count) = counts.get_mut(&key) {
        *count -= 1;
        if *count == 0 {
            counts.remove(&key);
        }
    }
}

/// Among whose readings it is numbered: left, right, or both at one look.
fn whose(entry: &Entry) -> usize {
    entry.reading.channel().map_or(2, |channel| channel as usize)
}

/// Whether it is a log reading of one channel.
fn is_logged(entry: &Entry, channel: Channel) -> bool {
    entry.reading.purpose == Purpose::Log && entry.reading.channel() == Some(channel)
}

/// Whether a channel's ring was approached clockwise, or counter, for a log reading.
fn approached(entry: &Entry, channel: Channel) -> [bool; 2] {
    let approach = match &entry.reading.seen {
        _ if entry.reading.purpose != Purpose::Log => Approach::NotNoted,
        Seen::Direction(read) if read.channel == channel => read.approach,
        Seen::Direction(_) => Approach::NotNoted,
        Seen::Relative(read) => read.approach[channel],
        Seen::Box(read) => read.approach[channel],
    };
    [approach == Approach::Clockwise, approach == Approach::Counter]
}
