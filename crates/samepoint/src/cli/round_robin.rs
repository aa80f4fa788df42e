//! `samepoint shop --round-robin`: one unit on several benches, each against their consensus.

use paper::words::counted;
use record::shop::survey::round_robin::{BenchResult, COMPARED, RoundRobin, ScoreWord};
use record::shop::survey::score_rows::HEAD;
use record::{RealDisk, Survey};
use serde_json::{Value, json};

use super::Outcome;

/// Of what is told as JSON of a shop. Raised only when a key changes its meaning, which none should.
pub(super) const FORMAT: u32 = 1;

/// Nothing could be compared.
const NOTHING: u8 = 1;

/// What is said of it, or given to a program.
pub(super) fn told(
    survey: &Survey,
    unit: &str,
    as_json: bool,
    mut passed_over: Vec<String>,
    code: u8,
) -> Outcome {
    let Some(found) = RoundRobin::of(survey, unit, &RealDisk) else {
        passed_over
            .push(format!("no session here is of the unit “{}”", record::shown::one_line(unit)));
        return Outcome::Partly { text: String::new(), passed_over, code: NOTHING };
    };
    let compared = found.consensus.iter().any(Option::is_some);
    let code = if compared { code } else { NOTHING };
    let text = if as_json {
        let value = json!({ "format": FORMAT, "round_robin": of(&found) });
        format!("{value:#}\n")
    } else {
        words(&found)
    };
    Outcome::Partly { text, passed_over, code }
}

/// Those of all units that several benches measured while, as far as is known, nothing was changed.
pub(super) fn all(survey: &Survey) -> Vec<Value> {
    let each = RoundRobin::units(survey).into_iter();
    let found = each.filter_map(|unit| RoundRobin::of(survey, &unit, &RealDisk));
    found.filter(|found| found.benches.len() > 1).map(|found| of(&found)).collect()
}

fn of(found: &RoundRobin) -> Value {
    let compared = COMPARED.iter().enumerate().map(|(at, what)| {
        let consensus = found.consensus.get(at).and_then(Option::as_ref);
        let benches = found.benches.iter().map(|bench| of_bench(bench, at));
        json!({
            "what": what,
            "consensus_arcmin": consensus.map(|one| one.value),
            "u_arcmin": consensus.map(|one| one.u.standard),
            "chi_squared": consensus.map(|one| one.chi_squared),
            "p": consensus.map(|one| one.p_value),
            "benches": benches.collect::<Vec<_>>(),
        })
    });
    json!({
        "unit": found.unit,
        "compared": compared.collect::<Vec<_>>(),
        "notes": found.notes,
        "left_out": found.left_out,
    })
}

fn of_bench(bench: &BenchResult, at: usize) -> Value {
    let of = |each: [Option<f64>; 4]| each.get(at).copied().flatten();
    let u = bench.u.get(at).copied().flatten();
    let others = bench.others.get(at).copied().flatten();
    json!({
        "station": bench.station,
        "day": bench.day.map(|day| day.to_string()),
        "file": bench.file,
        "not_counted": bench.not_counted,
        "read_arcmin": of(bench.value),
        "u_arcmin": u.map(|u| u.standard),
        "freedom": u.map(|u| u.freedom).filter(|freedom| freedom.is_finite()),
        "others_arcmin": others.map(|(value, _)| value),
        "u_others_arcmin": others.map(|(_, u)| u.standard),
        "less_consensus_arcmin": of(bench.difference),
        "en": of(bench.en),
        "word": ScoreWord::of(of(bench.en)).word(),
    })
}

fn words(found: &RoundRobin) -> String {
    let unit = record::shown::one_line(&found.unit);
    let benches = counted(found.benches.len(), "bench", "benches");
    let mut lines = vec![format!("unit {unit} on {benches}")];
    for (at, what) in COMPARED.iter().enumerate() {
        let mut rows = vec![HEAD.map(str::to_owned)];
        rows.extend(found.rows(at).into_iter().map(|row| row.cells));
        if rows.len() > 1 {
            lines.extend([String::new(), (*what).to_owned()]);
            lines.extend(aligned(&rows));
        }
    }
    lines.push(String::new());
    lines.extend(found.words());
    lines.join("\n") + "\n"
}

/// Names from the left, figures from the right.
fn aligned(rows: &[[String; 7]]) -> Vec<String> {
    let widths: [usize; 7] = core::array::from_fn(|column| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    });
    let line = |row: &[String; 7]| {
        let cells = row.iter().zip(widths).enumerate().map(|(column, (cell, width))| {
            if column == 0 { format!("  {cell:<width$}") } else { format!("{cell:>width$}") }
        });
        cells.collect::<Vec<_>>().join("  ").trim_end().to_owned()
    };
    rows.iter().map(line).collect()
}
