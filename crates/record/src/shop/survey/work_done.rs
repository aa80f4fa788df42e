//! What work on units took: shim leaves, by thickness.

use std::collections::BTreeMap;

use solver::words::counted_s;

use super::Survey;
use super::visits::days_between;
use crate::figures::number;

/// The leaves of one thickness.
#[derive(Clone, Debug, PartialEq)]
pub struct LeavesUsed {
    /// How thick, mm.
    pub leaf_mm: f64,
    /// Sessions that took some: index, and how many.
    pub points: Vec<(usize, usize)>,
    /// How many in all.
    pub leaves: usize,
    /// How many in 30 days, over the time in which any were used; `None` where that is shorter.
    pub in_30_days: Option<f64>,
}

impl LeavesUsed {
    /// It in a sentence.
    #[must_use]
    pub fn words(&self) -> String {
        let rate = self
            .in_30_days
            .map_or_else(String::new, |rate| format!(", about {} in 30 days", number(rate, 1)));
        // A leaf thinner than a hundredth has a third digit.
        let decimals = if (100.0 * self.leaf_mm).fract().abs() < 1e-9 { 2 } else { 3 };
        let leaves = solver::words::counted(self.leaves, "leaf", "leaves");
        format!(
            "{} mm: {leaves} in {}{rate}.",
            number(self.leaf_mm, decimals),
            counted_s(self.points.len(), "session")
        )
    }
}

impl Survey {
    /// The shim leaves that sessions took, those that count, thinnest first.
    #[must_use]
    pub fn leaves_used(&self) -> Vec<LeavesUsed> {
        // By millionths of a millimetre: leaves typed alike are of one kind.
        let mut by: BTreeMap<i64, (f64, Vec<(usize, usize)>)> = BTreeMap::new();
        let mut days = Vec::new();
        for (index, session) in self.counted() {
            for &leaf_mm in &session.leaves_used_mm {
                days.extend(session.day);
                let kind = (1e6 * leaf_mm).round() as i64;
                let (_, points) = by.entry(kind).or_insert_with(|| (leaf_mm, Vec::new()));
                match points.last_mut() {
                    Some((last, count)) if *last == index => *count += 1,
                    _ => points.push((index, 1)),
                }
            }
        }
        let span = days.iter().min().zip(days.iter().max());
        let span_days = span.map_or(0, |(first, last)| days_between(*first, *last));
        by.into_values()
            .map(|(leaf_mm, points)| {
                let leaves: usize = points.iter().map(|point| point.1).sum();
                let rate = 30.0 * leaves as f64 / f64::from(span_days.max(1));
                let in_30_days = (span_days >= 30).then_some(rate);
                LeavesUsed { leaf_mm, points, leaves, in_30_days }
            })
            .collect()
    }
}
