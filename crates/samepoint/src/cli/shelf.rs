//! `samepoint shelf`: which parts of a shop's shelf go together best.

use std::num::NonZeroUsize;
use std::thread;

use record::shop::parts::told;
use record::{Foretold, Matching, match_shelf};
use serde_json::{Value, json};
use solver::shelf::{Match, MatchPrediction, Totals};
use solver::{Channel, Direction, PerChannel};

use super::Outcome;
use super::arguments::ShelfArguments;
use super::refusal::{CommandRefusal, RefusalKind};
use crate::report_file;

/// Done, with something passed over or not known.
const NOT_ALL: u8 = 1;

/// Matches what lies on the shelf and says what comes of it.
pub(super) fn run(asked: &ShelfArguments) -> Result<Outcome, CommandRefusal> {
    let workers = thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let matching = match_shelf(&asked.folder, workers)
        .map_err(|why| RefusalKind::Record(why).of(&asked.folder))?;
    if let Some(file) = &asked.csv {
        let bytes = matching.csv().map_err(|why| RefusalKind::Record(why).of(file))?;
        report_file::write_shelf_table(file, &bytes)?;
    }
    let all = matching.left_out.is_empty() && matching.unknown.is_empty() && matching.plan.proved;
    let text = if asked.json { as_json(&matching) } else { words(&matching) };
    Ok(Outcome::Partly {
        text,
        passed_over: matching.left_out.clone(),
        code: if all { 0 } else { NOT_ALL },
    })
}

fn words(matching: &Matching) -> String {
    let plan = &matching.plan;
    let mut lines = matching.about().to_vec();
    lines.extend([String::new(), told::totals(&plan.totals), told::proof(plan)]);
    if !plan.matches.is_empty() {
        lines.push(String::new());
        let mut rows = vec![HEAD.map(str::to_owned)];
        rows.extend(plan.matches.iter().map(|one| row(matching, one)));
        lines.extend(aligned(&rows));
        let shims = plan.matches.iter().flat_map(|one| {
            let unit = record::shown::one_line(matching.names(one).unit).into_owned();
            let said = matching.shim_words(one).into_iter();
            said.map(move |said| format!("{unit}: {said}")).collect::<Vec<_>>()
        });
        lines.extend(shims);
        lines.extend([told::PREDICTED, told::MISALIGNED_AXES].map(str::to_owned));
    }
    if let Some(best) = &plan.best_single {
        lines.push(format!("The best single unit now: {}", matching.in_words(best)));
    }
    section(&mut lines, told::NOT_KNOWN, &matching.unknown);
    section(&mut lines, "To look at", &matching.remarks);
    let built: Vec<String> = matching.foretold.iter().flat_map(foretold).collect();
    section(&mut lines, "Built since, predicted and measured", &built);
    lines.join("\n") + "\n"
}

fn section(lines: &mut Vec<String>, head: &str, each: &[String]) {
    if each.is_empty() {
        return;
    }
    lines.push(String::new());
    lines.push(head.to_owned());
    lines.extend(each.iter().map(|said| format!("  {}", record::shown::one_line(said))));
}

const HEAD: [&str; 10] = [
    "unit",
    "left tube",
    "right tube",
    "left eyepiece",
    "right eyepiece",
    "crossing x, y",
    "misaligned x, y",
    "window use",
    "95 %",
    "inside",
];

fn row(matching: &Matching, one: &Match) -> [String; 10] {
    let names = matching.names(one);
    let [crossing, misaligned, used, most, inside] = told::figures(one);
    [
        record::shown::one_line(names.unit).into_owned(),
        matching.tube_words(one, Channel::Left),
        matching.tube_words(one, Channel::Right),
        record::shown::one_line(names.eyepieces.left).into_owned(),
        record::shown::one_line(names.eyepieces.right).into_owned(),
        crossing,
        misaligned,
        used,
        most,
        inside,
    ]
}

/// A unit's prediction and what was read, line by line.
fn foretold(one: &Foretold) -> Vec<String> {
    let circles = Channel::BOTH.map(|channel| one.circle_words(channel));
    let below = circles.into_iter().chain([one.crossing_words()]);
    [one.title()].into_iter().chain(below.map(|said| format!("  {said}"))).collect()
}

/// Names from the left, figures from the right, each column as wide as its widest cell.
fn aligned(rows: &[[String; 10]]) -> Vec<String> {
    let widths: [usize; 10] = core::array::from_fn(|column| {
        let cells = rows.iter().filter_map(|row| row.get(column));
        cells.map(|cell| cell.chars().count()).max().unwrap_or(0)
    });
    rows.iter()
        .map(|row| {
            let cells = row.iter().zip(widths).enumerate().map(|(column, (cell, width))| {
                if column < 5 { format!("{cell:<width$}") } else { format!("{cell:>width$}") }
            });
            cells.collect::<Vec<_>>().join("  ").trim_end().to_owned()
        })
        .collect()
}

fn as_json(matching: &Matching) -> String {
    let plan = &matching.plan;
    let sums = |totals: &Totals| {
        json!({
            "units": totals.units,
            "without_shim": totals.without_shim,
            "leaves": totals.leaves,
            "window_use": totals.window_use(),
        })
    };
    let radius = |number: usize| matching.known.radii.get(number).copied().flatten();
    let eyepieces: Vec<Value> = matching
        .eyepieces
        .iter()
        .enumerate()
        .map(|(number, one)| {
            json!({
                "serial": one.serial,
                "housing": one.housing,
                "radius_arcmin": radius(number).map(|radius| radius.arcmin),
                "u_arcmin": radius(number).map(|radius| radius.u_arcmin),
            })
        })
        .collect();
    let value = json!({
        "format": 1,
        "window": matching.window.name,
        "ipd_mm": matching.ipd_mm,
        "sessions": matching.sessions,
        "totals": sums(&plan.totals),
        "bound": sums(&plan.bound),
        "proved": plan.proved,
        "matches": plan.matches.iter().map(|one| match_json(matching, one)).collect::<Vec<_>>(),
        "best_single": plan.best_single.as_ref().map(|one| match_json(matching, one)),
        "eyepieces": eyepieces,
        "unknown": matching.unknown,
        "remarks": matching.remarks,
        "left_out": matching.left_out,
        "foretold": matching.foretold.iter().map(foretold_json).collect::<Vec<_>>(),
    });
    format!("{value:#}\n")
}

fn pair<T>(both: &PerChannel<T>, of: impl Fn(&T) -> Value) -> Value {
    json!({ "left": of(&both.left), "right": of(&both.right) })
}

fn at(direction: &Direction) -> Value {
    json!([direction.x_arcmin, direction.y_arcmin])
}

fn match_json(matching: &Matching, one: &Match) -> Value {
    let names = matching.names(one);
    json!({
        "unit": names.unit,
        "housing": names.housing,
        "tubes": pair(&names.tubes, |name| json!(name)),
        "turned": pair(&one.turned, |turned| json!(turned)),
        "eyepieces": pair(&names.eyepieces, |name| json!(name)),
        "shims": pair(&one.shims, |shim| shim.as_ref().map_or(Value::Null, |shim| json!({
            "clock_deg": shim.clock_deg,
            "leaves_mm": shim.leaves_mm,
            "ends": shim.ends.word(),
        }))),
        "prediction": prediction_json(&one.prediction),
    })
}

fn prediction_json(told: &MatchPrediction) -> Value {
    json!({
        "centre_arcmin": pair(&told.centres, at),
        "covariance_arcmin2": told.covariance_arcmin2,
        "radius_arcmin": pair(&told.radii, |radius| json!(radius.arcmin)),
        "radius_u_arcmin": pair(&told.radii, |radius| json!(radius.u_arcmin)),
        "crossing_arcmin": at(&told.crossing),
        "crossing_u_arcmin": told.chance.crossing_u_arcmin,
        "window_use": told.window_use,
        "window_use_95": told.chance.use_95,
        "misalignment_arcmin": [told.misalignment.x_arcmin, told.misalignment.y_arcmin],
        "at_swing_deg": told.at_swing_deg,
        "inside": told.chance.inside,
        "meets": told.chance.meets,
    })
}

fn foretold_json(one: &Foretold) -> Value {
    json!({
        "file": one.file,
        "round": one.round,
        "time": one.time.to_string(),
        "unit": one.unit,
        "tubes": pair(&one.tubes, |name| json!(name)),
        "turned_deg": pair(&one.turned_deg, |deg| json!(deg)),
        "eyepieces": pair(&one.eyepieces, |name| json!(name)),
        "prediction": prediction_json(&one.prediction),
        "centre_arcmin": pair(&one.measured, |circle| at(&circle.centre)),
        "radius_arcmin": pair(&one.measured, |circle| json!(circle.radius_arcmin)),
        "crossing_arcmin": one.crossing.map(|(crossing, _)| at(&crossing)),
        "window_use": one.crossing.map(|(_, used)| used),
        "centre_off_arcmin": pair(&one.against.centre_off, at),
        "centre_off_95_arcmin": pair(&one.against.centre_95, |both| json!(both)),
        "radius_off_arcmin": pair(&one.against.radius_off, |off| json!(off)),
        "radius_off_95_arcmin": pair(&one.against.radius_95, |off| json!(off)),
        "chance": one.against.chance,
        "agrees": one.against.agrees(),
    })
}
