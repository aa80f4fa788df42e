//! `samepoint shelf`: which parts of a shop's shelf go together best.

use std::num::NonZeroUsize;
use std::thread;

use record::{Foretold, Matching, match_shelf};
use serde_json::{Value, json};
use solver::remedy::shim::sentence;
use solver::shelf::{Match, Prediction, Totals};
use solver::{Channel, Direction, PerChannel};

use super::arguments::Shelf;
use super::refusal::{Refusal, RefusalKind};
use super::{Outcome, figures};
use crate::report_file;

/// Done, with something passed over or not known.
const NOT_ALL: u8 = 1;

/// Matches what lies on the shelf and says what comes of it.
pub(super) fn run(asked: &Shelf) -> Result<Outcome, Refusal> {
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
    let Matching { plan, housings, tubes, eyepieces, .. } = matching;
    let over = matching.ipd_mm.map_or_else(
        || ", at rest".to_owned(),
        |ipd_mm| format!(", over the swing from {ipd_mm:.1} mm"),
    );
    let mut lines = vec![
        format!(
            "On the shelf: {}, {}, {}; {}{over}",
            figures::counted_s(housings.len(), "housing"),
            figures::counted_s(tubes.len(), "tube"),
            figures::counted_s(eyepieces.len(), "eyepiece"),
            record::shown::one_line(&matching.window.name),
        ),
        format!(
            "Known from {} and from what is stated",
            figures::counted_s(matching.sessions, "session")
        ),
        String::new(),
        totals(&plan.totals),
    ];
    lines.push(if plan.proved {
        "Proved: no other choice of these parts does better.".to_owned()
    } else {
        format!(
            "Not proved: another choice could come to no more than this: {}",
            totals(&plan.bound)
        )
    });
    if !plan.matches.is_empty() {
        lines.push(String::new());
        let mut rows = vec![HEAD.map(str::to_owned)];
        rows.extend(plan.matches.iter().map(|one| row(matching, one)));
        lines.extend(aligned(&rows));
        let shims = plan.matches.iter().flat_map(|one| {
            let unit = record::shown::one_line(matching.names(one).unit).into_owned();
            let said = Channel::BOTH
                .into_iter()
                .filter_map(|channel| Some(sentence(channel, one.shims[channel].as_ref()?)));
            said.map(move |said| format!("{unit}: {said}")).collect::<Vec<_>>()
        });
        lines.extend(shims);
        lines.push(
            "Predicted, not measured: nothing passes before it is read. Misaligned: by how much where the window \
             is used most. Inside: the chance that the rings, once read, can be set inside."
                .to_owned(),
        );
    }
    if let Some(best) = &plan.best_single {
        lines.push(format!("The best single unit now: {}", in_words(matching, best)));
    }
    section(&mut lines, "Not known, and so not matched", &matching.unknown);
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

fn totals(totals: &Totals) -> String {
    let units = figures::counted_s(totals.units, "unit");
    if totals.units == 0 {
        return "0 units come inside".to_owned();
    }
    format!(
        "{units} inside, {} without a shim, {} of shims; window use {:.2} added up",
        totals.without_shim,
        figures::counted(totals.leaves, "leaf", "leaves"),
        totals.window_use()
    )
}

const HEAD: [&str; 10] = [
    "unit",
    "left tube",
    "right tube",
    "left eyepiece",
    "right eyepiece",
    "crossing",
    "misaligned",
    "window use",
    "95 %",
    "inside",
];

fn tube(name: &str, turned: bool) -> String {
    let name = record::shown::one_line(name);
    if turned { format!("{name} turned 180°") } else { name.into_owned() }
}

fn row(matching: &Matching, one: &Match) -> [String; 10] {
    let names = matching.names(one);
    let told = &one.prediction;
    let none = || "–".to_owned();
    [
        record::shown::one_line(names.unit).into_owned(),
        tube(names.tubes.left, one.turned.left),
        tube(names.tubes.right, one.turned.right),
        record::shown::one_line(names.eyepieces.left).into_owned(),
        record::shown::one_line(names.eyepieces.right).into_owned(),
        place(told.crossing),
        place(Direction::new(told.misalignment.x_arcmin, told.misalignment.y_arcmin)),
        figures::percent(told.window_use),
        told.chance.use_95.map_or_else(none, figures::percent),
        figures::probability(told.chance.inside),
    ]
}

fn place(at: Direction) -> String {
    format!("{}, {}", figures::arcmin(at.x_arcmin), figures::arcmin(at.y_arcmin))
}

fn in_words(matching: &Matching, one: &Match) -> String {
    let names = matching.names(one);
    let shims = match one.leaves() {
        0 => "no shim".to_owned(),
        leaves => figures::counted(leaves, "leaf", "leaves"),
    };
    record::shown::one_line(&format!(
        "{}, tubes {} and {}, eyepieces {} and {}, {shims}, window use {}",
        names.unit,
        tube(names.tubes.left, one.turned.left),
        tube(names.tubes.right, one.turned.right),
        names.eyepieces.left,
        names.eyepieces.right,
        figures::percent(one.prediction.window_use)
    ))
    .into_owned()
}

/// A unit's prediction and what was read, line by line.
fn foretold(one: &Foretold) -> Vec<String> {
    let agrees = if one.against.agrees() {
        "as predicted, within the uncertainties"
    } else {
        "farther off than the uncertainties explain"
    };
    let mut lines = vec![format!(
        "{}, round {} of {}: tubes {} and {}, eyepieces {} and {}: {agrees}",
        one.unit,
        one.round,
        one.file,
        turned(&one.tubes.left, one.turned_deg.left),
        turned(&one.tubes.right, one.turned_deg.right),
        one.eyepieces.left,
        one.eyepieces.right,
    )];
    for channel in Channel::BOTH {
        let (told, read) = (&one.prediction, &one.measured[channel]);
        let off = one.against.centre_off[channel];
        let [x, y] = one.against.centre_95[channel];
        lines.push(format!(
            "  {} centre: predicted {}, read {}, off by {} ± {}, {} ± {}; radius: predicted {}, read {}, off by {} \
             ± {}",
            channel.word(),
            place(told.centres[channel]),
            place(read.centre),
            figures::arcmin(off.x_arcmin),
            figures::arcmin(x),
            figures::arcmin(off.y_arcmin),
            figures::arcmin(y),
            figures::arcmin(told.radii[channel].arcmin),
            figures::arcmin(read.radius_arcmin),
            figures::arcmin(one.against.radius_off[channel]),
            figures::arcmin(one.against.radius_95[channel]),
        ));
    }
    let read = one.crossing.map_or_else(
        || "read: the circles do not meet".to_owned(),
        |(at, used)| format!("read {}, window use {}", place(at), figures::percent(used)),
    );
    lines.push(format!(
        "  crossing: predicted {}, window use {}; {read}",
        place(one.prediction.crossing),
        figures::percent(one.prediction.window_use),
    ));
    lines
}

fn turned(name: &str, deg: f64) -> String {
    if deg == 0.0 {
        name.to_owned()
    } else {
        format!("{name} turned {}", figures::degrees_short(deg))
    }
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

fn prediction_json(told: &Prediction) -> Value {
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
