//! `samepoint shop --round-robin`: one unit on several benches, each against their consensus.

use record::shop::survey::round_robin::{COMPARED, RoundRobin};
use record::{RealDisk, Survey};
use solver::uncertainty::Uncertainty;

use super::Outcome;

/// Nothing could be compared.
const NOTHING: u8 = 1;

/// What is said of it.
pub(super) fn told(survey: &Survey, unit: &str, mut passed_over: Vec<String>, code: u8) -> Outcome {
    let Some(found) = RoundRobin::of(survey, unit, &RealDisk) else {
        passed_over
            .push(format!("no session here is of the unit “{}”", record::shown::one_line(unit)));
        return Outcome::Partly { text: String::new(), passed_over, code: NOTHING };
    };
    let compared = found.consensus.iter().any(Option::is_some);
    let code = if compared { code } else { NOTHING };
    Outcome::Partly { text: words(&found), passed_over, code }
}

fn words(found: &RoundRobin) -> String {
    let unit = record::shown::one_line(&found.unit);
    let benches = match found.benches.len() {
        1 => "1 bench".to_owned(),
        many => format!("{many} benches"),
    };
    let mut lines = vec![format!("unit {unit} on {benches}")];
    for (at, what) in COMPARED.iter().enumerate() {
        let mut rows = vec![["", "arcmin", "± 95 %", "less consensus", "E_n"].map(str::to_owned)];
        for bench in &found.benches {
            let Some(value) = bench.value.get(at).copied().flatten() else { continue };
            let day = bench.day.map_or_else(String::new, |day| format!(", {day}"));
            rows.push([
                format!("{}{day}", record::shown::one_line(&bench.station)),
                fine(value),
                half(bench.u.get(at).copied().flatten()),
                bench.difference.get(at).copied().flatten().map_or_else(none, fine),
                bench.en.get(at).copied().flatten().map_or_else(none, fine),
            ]);
        }
        if let Some(Some(consensus)) = found.consensus.get(at) {
            let of = half(Some(consensus.u));
            rows.push([
                "consensus".to_owned(),
                fine(consensus.value),
                of,
                String::new(),
                String::new(),
            ]);
        }
        if rows.len() > 1 {
            lines.extend([String::new(), (*what).to_owned()]);
            lines.extend(aligned(&rows));
        }
    }
    lines.push(String::new());
    lines.extend(found.words());
    lines.join("\n") + "\n"
}

/// Arcminutes to a hundredth, and scores.
fn fine(value: f64) -> String {
    record::figures::number(value, 2)
}

fn none() -> String {
    "–".to_owned()
}

fn half(u: Option<Uncertainty>) -> String {
    u.and_then(|u| u.half_width_95()).map_or_else(none, fine)
}

/// Names from the left, figures from the right.
fn aligned(rows: &[[String; 5]]) -> Vec<String> {
    let widths: [usize; 5] = core::array::from_fn(|column| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    });
    let line = |row: &[String; 5]| {
        let cells = row.iter().zip(widths).enumerate().map(|(column, (cell, width))| {
            if column == 0 { format!("  {cell:<width$}") } else { format!("{cell:>width$}") }
        });
        cells.collect::<Vec<_>>().join("  ").trim_end().to_owned()
    };
    rows.iter().map(line).collect()
}
