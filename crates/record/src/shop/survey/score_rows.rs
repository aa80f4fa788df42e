//! A round robin as rows, for a table on screen or in a terminal.

use solver::uncertainty::Uncertainty;

use super::round_robin::{BenchResult, RoundRobin, ScoreWord};
use crate::figures::number;
use crate::shown;

/// What stands over the rows.
pub const HEAD: [&str; 7] = ["", "read ′", "± 95 %", "the others ′", "± 95 %", "E_n", ""];

/// What each bench measured in one thing, or what all came to.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct ScoreRow {
    /// The bench by its place in [`RoundRobin::benches`]; `None`: the consensus of all.
    pub bench: Option<usize>,
    /// What stands in the row, as under [`HEAD`].
    pub cells: [String; 7],
}

impl RoundRobin {
    /// In one of what is [compared](super::round_robin::COMPARED): a row for each bench that shows it, then that of the
    /// consensus.
    #[must_use]
    pub fn rows(&self, at: usize) -> Vec<ScoreRow> {
        let each = self.benches.iter().enumerate();
        let mut rows: Vec<ScoreRow> = each
            .filter_map(|(bench, of)| Some(ScoreRow { bench: Some(bench), cells: of.cells(at)? }))
            .collect();
        if let Some(Some(consensus)) = self.consensus.get(at) {
            let [all, of] = [fine(consensus.value), half(Some(consensus.u))];
            let [a, b, c, d] = [(); 4].map(|()| String::new());
            let cells = ["consensus of all".to_owned(), all, of, a, b, c, d];
            rows.push(ScoreRow { bench: None, cells });
        }
        rows
    }

    /// Where the consensus lies in one of what is compared, and from where to where at 95 %, arcminutes.
    #[must_use]
    pub fn consensus_at(&self, at: usize) -> Option<(f64, [f64; 2])> {
        let found = self.consensus.get(at)?.as_ref()?;
        Some((found.value, around(found.value, found.u)?))
    }
}

impl BenchResult {
    fn cells(&self, at: usize) -> Option<[String; 7]> {
        let value = self.value_at(at)?;
        let day = self.day.map_or_else(String::new, |day| format!(", {day}"));
        let others = self.others.get(at).copied().flatten();
        let en = self.en.get(at).copied().flatten();
        Some([
            format!("{}{day}", shown::one_line(&self.station)),
            fine(value),
            half(self.u.get(at).copied().flatten()),
            others.map_or_else(none, |(value, _)| fine(value)),
            half(others.map(|(_, u)| u)),
            en.map_or_else(none, fine),
            ScoreWord::of(en).word().to_owned(),
        ])
    }

    /// Whether its score in one of what is compared is more than the uncertainties explain.
    #[must_use]
    pub fn is_off_at(&self, at: usize) -> bool {
        ScoreWord::of(self.en.get(at).copied().flatten()) == ScoreWord::Unsatisfactory
    }

    /// What it read in one of what is compared, arcminutes.
    #[must_use]
    pub fn value_at(&self, at: usize) -> Option<f64> {
        self.value.get(at).copied().flatten()
    }

    /// From where to where that lies at 95 %, its reference included, arcminutes.
    #[must_use]
    pub fn interval_at(&self, at: usize) -> Option<[f64; 2]> {
        around(self.value_at(at)?, self.u.get(at).copied().flatten()?)
    }
}

fn around(value: f64, u: Uncertainty) -> Option<[f64; 2]> {
    u.half_width_95().map(|half| [value - half, value + half])
}

/// Arcminutes to a hundredth, and scores.
fn fine(value: f64) -> String {
    number(value, 2)
}

fn none() -> String {
    "–".to_owned()
}

fn half(u: Option<Uncertainty>) -> String {
    u.and_then(|u| u.half_width_95()).map_or_else(none, fine)
}
