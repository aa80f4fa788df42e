//! What tightening the locks does, housing by housing.

use std::collections::BTreeMap;

use solver::Channel;
use solver::stats::robust::{Middle, middle};

use super::Survey;
use crate::figures::{number, turn};

/// One housing's locks on one side.
#[derive(Clone, Debug, PartialEq)]
pub struct LockTurns {
    /// The housing; empty where nobody named it.
    pub housing: String,
    /// Which side.
    pub channel: Channel,
    /// How far tightening turned the ring, degrees clockwise, with the index of its session.
    pub points: Vec<(usize, f64)>,
    /// Median and spread, degrees.
    pub middle: Middle,
}

impl LockTurns {
    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let name = if self.housing.is_empty() { "not named" } else { &self.housing };
        let turned = self.middle.median;
        let does = if number(turned.abs(), 1) == "0.0" {
            "does not turn the ring".to_owned()
        } else {
            format!("turns the ring {}", turn(turned))
        };
        let from = match self.points.len() {
            1 => "one session".to_owned(),
            count => format!("median of {count}, spread {}°", number(self.middle.spread, 1)),
        };
        format!("{name}, {}: tightening {does} ({from}).", self.channel.word())
    }
}

impl Survey {
    /// What tightening did, by housing, left before right.
    #[must_use]
    pub fn locks(&self) -> Vec<LockTurns> {
        let mut named: BTreeMap<(&str, Channel), Vec<(usize, f64)>> = BTreeMap::new();
        for (index, session) in self.counted() {
            for channel in Channel::BOTH {
                if let Some(turned_deg) = session.lock_turn_deg[channel] {
                    named.entry((&session.housing, channel)).or_default().push((index, turned_deg));
                }
            }
        }
        let turns = |((housing, channel), points): ((&str, Channel), Vec<(usize, f64)>)| {
            let values: Vec<f64> = points.iter().map(|(_, value)| *value).collect();
            let middle = middle(&values).ok()?;
            Some(LockTurns { housing: housing.to_owned(), channel, points, middle })
        };
        named.into_iter().filter_map(turns).collect()
    }
}
