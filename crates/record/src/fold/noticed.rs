//! What is seen only over several facts: the clock, and what a round is made of.

use solver::Channel;

use crate::fact::{Fact, Purpose, Seq};
use crate::fold::remark::Remark;
use crate::fold::round::{ApproachUsed, Entry};
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
            let in_use: Vec<&Entry> = round.in_use().collect();
            let station_changed = in_use
                .windows(2)
                .find(|pair| matches!(pair, [a, b] if self.read_otherwise(a.station, b.station)));
            if let Some([_, after]) = station_changed {
                remarks.push(Remark::StationChanged { round: round.id, seq: after.seq });
            }
            // The first rebuilding that has readings on either side.
            let changed = in_use.first().and_then(|first| {
                let unit = rebuilt.get(rebuilt.partition_point(|unit| *unit < first.seq))?;
                in_use.get(in_use.partition_point(|entry| entry.seq <= *unit))
            });
            if let Some(after) = changed {
                remarks.push(Remark::UnitChanged { round: round.id, seq: after.seq });
            }
            for channel in Channel::BOTH {
                let elsewhere = round.of(channel, Purpose::Log).filter(|e| !e.at_set_up_position());
                let elsewhere: Vec<Seq> = elsewhere.map(|entry| entry.seq).collect();
                if let [seq, ..] = elsewhere.as_slice() {
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
