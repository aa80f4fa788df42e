//! Why units fail, how long work takes, what waits, and which shim leaves are used, as charts and sentences.

use jiff::civil::Date;
use paper::chart::ChartLook;
use paper::words;
use record::Survey;
use record::shop::survey::work_done::LeavesUsed;

use super::chart::{Curve, ShopChart};
use super::charts::{ShopCharts, day_number, mark_days, none, over_time, point};

/// Sessions that wait, told one by one; of more only how many.
const MOST_WAITING: usize = 20;

/// All of it, seen from a day.
pub(super) fn work(survey: &Survey, today: Option<Date>) -> ShopCharts {
    let mut charts = Vec::new();
    charts.extend(failed(survey));
    charts.extend(took(survey));
    let mut told = waiting(survey, today);
    let leaves = survey.leaves_used();
    told.push(if leaves.is_empty() {
        "No shim leaf was used yet.".to_owned()
    } else {
        "Shim leaves used, by thickness; a full-length shim takes a stack at each end.".to_owned()
    });
    told.extend(leaves.iter().map(LeavesUsed::words));
    if charts.is_empty() && leaves.is_empty() && survey.waiting().is_empty() {
        return none("No session came to anything yet.");
    }
    ShopCharts { told, charts }
}

fn waiting(survey: &Survey, today: Option<Date>) -> Vec<String> {
    let waiting = survey.waiting();
    let Some(today) = today.filter(|_| !waiting.is_empty()) else {
        return vec!["Nothing waits to be signed or countersigned.".to_owned()];
    };
    let mut told =
        vec![format!("{}, the one that waits longest first.", counted_waiting(waiting.len()))];
    let each = waiting.iter().take(MOST_WAITING);
    told.extend(each.map(|one| format!("{}.", one.words(today))));
    if let Some(more) = waiting.len().checked_sub(MOST_WAITING).filter(|more| *more > 0) {
        told.push(format!("And {more} more."));
    }
    told
}

fn counted_waiting(count: usize) -> String {
    words::counted(count, "session waits", "sessions wait")
}

/// By reason: how much of its limit each failed unit used.
fn failed(survey: &Survey) -> Option<ShopChart> {
    let found = survey.why_failed();
    if found.by.is_empty() {
        return None;
    }
    let mut chart = ShopChart {
        title: "Why units failed".to_owned(),
        names: ["reason".to_owned(), "share of the limit used".to_owned()],
        limits: vec![(1.0, "limit".to_owned())],
        ..ShopChart::default()
    };
    for (place, of) in found.by.iter().enumerate() {
        let x = place as f64;
        chart.marks[0].push((x, of.reason.word().to_owned()));
        chart.points.extend(of.points.iter().filter(|point| point.1.is_finite()).map(
            |(index, share)| {
                let value = format!("{} {}", of.reason.word(), words::percent(*share));
                point(survey, *index, [x, *share], &value, ChartLook::Plain)
            },
        ));
    }
    chart.fit([&[-0.5, found.by.len() as f64 - 0.5], &[0.0]]);
    chart.marks[1] = super::chart::round_marks(chart.extent[1], "")
        .into_iter()
        .map(|(at, _)| (at, words::percent(at)))
        .collect();
    chart.told = found.words();
    Some(chart)
}

/// Days from the first fact to the signature, by the day of the signature.
fn took(survey: &Survey) -> Option<ShopChart> {
    let found = survey.turnaround();
    let [half, most] = found.quantiles_days?;
    let mut chart = over_time("From the first fact to the signature", "days");
    let each = found.points.iter().map(|(index, signed, days)| {
        let value = words::counted_s(days.unsigned_abs() as usize, "day");
        let at = [day_number(*signed), f64::from(*days)];
        point(survey, *index, at, &value, ChartLook::Plain)
    });
    chart.points = each.collect();
    chart.fit([&[], &[0.0]]);
    let [from, to] = chart.extent[0];
    for (value, dashed) in [(half, false), (most, true)] {
        let points = vec![[from, value], [to, value]];
        chart.curves.push(Curve { points, dashed, look: ChartLook::Quiet });
    }
    mark_days(&mut chart);
    chart.told = vec![found.words(), "Solid line: half took no longer; dashed: 95 %.".to_owned()];
    Some(chart)
}
