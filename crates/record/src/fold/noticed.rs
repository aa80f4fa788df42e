//! What is seen only over several facts: the clock, and what a round is made of.

use solver::Channel;

use crate::fact::{Fact, Seq};
use crate::fold::entry::Entry;
use crate::fold::remark::Remark;
use crate::fold::round::ApproachUsed;
use crate::fold::session::{Session, said_by};
use crate::stamp::Stamp;

impl Remark {
    /// Whether the clock stepped back since the fact before.
    pub(super) fn on_clock(before: Stamp, fact: &Fact) -> Option<Self> {
        let (before, after) = (before.unix_milliseconds(), fact.time.unix_milliseconds());
        let milliseconds = before.saturating_sub(after);
        (milliseconds > 0).then_some(Self::ClockSteppedBack { seq: fact.seq, milliseconds })
    }
}

impl Session {
    /// Whether two stations in force read the same graticule otherwise.
    fn read_otherwise(&self, before: Option<Seq>, after: Option<Seq>) -> bool {
        before != after
            && match (said_by(&self.stations, before), said_by(&self.stations, after)) {
                (Some(before), Some(after)) => !after.reads_as(before),
                (before, after) => before.is_some() != after.is_some(),
            }
    }

    /// What there is to say about each round.
    pub(super) fn remarks_on_rounds(&self) -> Vec<Remark> {
        let mut remarks = Vec::new();
        let rebuilt: Vec<Seq> = self
            .units
            .windows(2)
            .filter_map(|pair| match pair {
                [before, after] if after.body.is_rebuilt_from(&before.body) => Some(after.seq),
                _ => None,
            })
            .collect();
        for round in &self.rounds {
            let in_use = || round.in_use();
            let mut pairs = in_use().zip(in_use().skip(1));
            let read_otherwise = |(before, after): &(&Entry, &Entry)| {
                self.read_otherwise(before.station, after.station)
            };
            if round.readings.of_several_stations()
                && let Some((_, after)) = pairs.find(read_otherwise)
            {
                remarks.push(Remark::StationChanged { round: round.id, seq: after.seq });
            }
            // The first rebuilding that has readings on either side.
            let changed = in_use().next().and_then(|first| {
                let unit = rebuilt.get(rebuilt.partition_point(|unit| *unit < first.seq))?;
                in_use().find(|entry| entry.seq > *unit)
            });
            if let Some(after) = changed {
                remarks.push(Remark::UnitChanged { round: round.id, seq: after.seq });
            }
            for channel in Channel::BOTH {
                let elsewhere = round.readings.elsewhere(channel);
                if let [seq, ..] = elsewhere {
                    let (round, seq, count) = (round.id, *seq, elsewhere.len());
                    remarks.push(Remark::NotAtSetUp { round, channel, seq, count });
                }
                if round.approach(channel) == ApproachUsed::Mixed {
                    remarks.push(Remark::MixedApproaches { round: round.id, channel });
                }
            }
        }
        remarks
    }
}
