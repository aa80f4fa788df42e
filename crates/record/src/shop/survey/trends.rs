//! Whether a shop gets better or worse: units that pass in their first round, and how far from boresight they are
//! left, over time. Of each unit its first visit.

use std::collections::BTreeMap;

use jiff::civil::Date;
use solver::stats::trend::{ShareAt, Trend, cochran_armitage, mann_kendall};
use solver::words::counted_s;

use super::differ::p_words;
use super::{SIGNIFICANT, SessionSummary, Survey};
use crate::figures::number;

/// Fewer months, or values, tell no trend: common practice, no source.
const ENOUGH: usize = 4;

/// A trend told.
#[derive(Clone, Debug, PartialEq)]
pub struct TrendTold {
    /// What the test gave; `None` where there is too little.
    pub trend: Option<Trend>,
    /// It in a sentence.
    pub words: String,
}

impl TrendTold {
    /// Whether a trend is shown, as far as 5 % tells.
    #[must_use]
    pub fn is_shown(&self) -> bool {
        self.trend.is_some_and(|trend| trend.p_value < SIGNIFICANT)
    }
}

/// What a z says: up, down, or nothing that is shown.
fn says(trend: Trend, [up, down, none]: [&str; 3]) -> &str {
    match trend {
        Trend { p_value, .. } if p_value >= SIGNIFICANT => none,
        Trend { z, .. } if z > 0.0 => up,
        _ => down,
    }
}

impl Survey {
    /// Whether the share of units that pass in their first round rises or falls from month to month, by the test
    /// of Cochran and Armitage.
    #[must_use]
    pub fn pass_trend(&self) -> TrendTold {
        let decided = self.counted().filter(|(_, session)| session.is_decided());
        let (units, _) = self.first_visits(decided.collect());
        let mut months: BTreeMap<i32, (usize, usize)> = BTreeMap::new();
        for (_, session) in units {
            let Some(day) = session.day else { continue };
            let month = i32::from(day.year()) * 12 + i32::from(day.month());
            let (passed, all) = months.entry(month).or_default();
            *passed += usize::from(session.passed_first());
            *all += 1;
        }
        let shares: Vec<ShareAt> = months
            .into_iter()
            .map(|(month, (successes, trials))| ShareAt { at: f64::from(month), successes, trials })
            .collect();
        let trend = cochran_armitage(&shares).ok().filter(|_| shares.len() >= ENOUGH);
        let words = trend.map_or_else(
            || format!("Trend: {} of {ENOUGH} months needed to tell.", shares.len()),
            |trend| {
                let is = says(
                    trend,
                    [
                        "the share that passes in the first round rises",
                        "the share that passes in the first round falls",
                        "that the share that passes in the first round rises or falls is not shown",
                    ],
                );
                format!(
                    "Trend: {is} (Cochran–Armitage z {}, p {}; {}, of each unit its first visit).",
                    number(trend.z, 1),
                    p_words(trend.p_value),
                    counted_s(shares.len(), "month")
                )
            },
        );
        TrendTold { trend, words }
    }

    /// Whether units are left nearer or farther from boresight as time goes on, by the test of Mann and Kendall.
    #[must_use]
    pub fn boresight_trend(&self) -> TrendTold {
        let left = self.counted().filter_map(|(index, session)| {
            Some((index, (session.day?, session.boresight_arcmin?)))
        });
        let (units, _) = self.first_visits(left.collect());
        let points: Vec<(f64, f64)> = units
            .into_iter()
            .map(|(_, (day, boresight_arcmin))| (days(day), boresight_arcmin))
            .collect();
        let found = mann_kendall(&points).ok().filter(|_| points.len() >= ENOUGH);
        let words = found.map_or_else(
            || format!("Trend: {} of {ENOUGH} units needed to tell.", points.len()),
            |(tau, trend)| {
                let is = says(
                    trend,
                    [
                        "units are left farther from boresight as time goes on",
                        "units are left nearer to boresight as time goes on",
                        "that units are left nearer or farther as time goes on is not shown",
                    ],
                );
                format!(
                    "Trend: {is} (Mann–Kendall, τ {}, p {}; {}, each with its first visit).",
                    number(tau, 2),
                    p_words(trend.p_value),
                    counted_s(points.len(), "unit")
                )
            },
        );
        TrendTold { trend: found.map(|(_, trend)| trend), words }
    }

    /// The limits from boresight that sessions were judged by, arcminutes, each once with its window's name.
    #[must_use]
    pub fn boresight_limits(&self) -> Vec<(f64, String)> {
        let limit = |session: &SessionSummary| {
            let limit = session.as_measured?.limits.boresight_arcmin()?;
            Some((limit, session.window.to_string()))
        };
        let mut limits: Vec<(f64, String)> =
            self.counted().filter_map(|(_, session)| limit(session)).collect();
        limits.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.cmp(&b.1)));
        limits.dedup();
        limits
    }
}

fn days(day: Date) -> f64 {
    f64::from(super::visits::days_between(Date::constant(1970, 1, 1), day))
}
