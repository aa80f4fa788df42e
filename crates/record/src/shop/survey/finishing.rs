//! How far from boresight units leave the shop.

use std::collections::BTreeMap;

use solver::stats::order::quantile;

use super::{By, Survey};
use crate::figures::{arcmin, counted_s};

/// The distances from boresight as left of some sessions.
#[derive(Clone, Debug, PartialEq)]
pub struct Finishing {
    /// What they have in common.
    pub by: By,
    /// Its name; empty where nobody gave one.
    pub name: String,
    /// Each distance, arcminutes, with the index of its session; in the order of the sessions.
    pub points: Vec<(usize, f64)>,
    /// A quarter, half, three quarters and 95 % of them finish nearer, arcminutes.
    pub quantiles_arcmin: [f64; 4],
}

/// The shares of [`Finishing::quantiles_arcmin`].
pub const SHARES: [f64; 4] = [0.25, 0.5, 0.75, 0.95];

impl Finishing {
    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let [quarter, half, three, most] = self.quantiles_arcmin.map(arcmin);
        let name = match (self.by, self.name.as_str()) {
            (By::All, _) => "All",
            (_, "") => "Not named",
            (_, name) => name,
        };
        let count = counted_s(self.points.len(), "session");
        if self.points.len() == 1 {
            return format!("{name}: 1 session, finished {half} from boresight.");
        }
        format!(
            "{name}: half of {count} finish within {half} of boresight, the middle half between \
             {quarter} and {three}, 95 % within {most}."
        )
    }
}

impl Survey {
    /// How far from boresight units were left, by one thing their sessions have in common, by name.
    #[must_use]
    pub fn finishing(&self, by: By) -> Vec<Finishing> {
        let mut named: BTreeMap<&str, Vec<(usize, f64)>> = BTreeMap::new();
        for (index, session) in self.counted() {
            if let Some(boresight_arcmin) = session.boresight_arcmin {
                named.entry(by.name(session)).or_default().push((index, boresight_arcmin));
            }
        }
        let finishing = |(name, points): (&str, Vec<(usize, f64)>)| {
            let values: Vec<f64> = points.iter().map(|(_, value)| *value).collect();
            let [quarter, half, three, most] = SHARES.map(|share| quantile(&values, share).ok());
            let quantiles_arcmin = [quarter?, half?, three?, most?];
            Some(Finishing { by, name: name.to_owned(), points, quantiles_arcmin })
        };
        named.into_iter().filter_map(finishing).collect()
    }
}
