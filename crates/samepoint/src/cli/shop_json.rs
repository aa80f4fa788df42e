//! What a shop's sessions tell, for a program: the same questions as the queries beside `samepoint tables` ask.

use record::Survey;
use record::shop::survey::SIGNIFICANT;
use record::shop::survey::drift::Drift;
use record::shop::survey::pass_rate::HousingMonth;
use record::shop::survey::shims::ShimsFound;
use record::{By, SurveyGroup};
use serde_json::{Value, json};

use super::round_robin;

/// The answer as JSON. Keys are only ever added to, numbers are at full precision, null where nothing is known.
pub(super) fn told(survey: &Survey, in_practice: usize) -> String {
    let among = survey.sessions.iter().filter(|session| session.practice).count();
    let housings: Vec<SurveyGroup> = survey.by(By::Housing);
    let shims = |group: &SurveyGroup| of_shims(&group.name, &survey.shims(Some(&group.name)));
    let value = json!({
        "format": round_robin::FORMAT,
        "sessions": survey.sessions.len() - among,
        "practice": among + in_practice,
        "passed_over": survey.skipped.len(),
        "folders": (0..survey.folders.len()).map(|at| of_folder(survey, at)).collect::<Vec<_>>(),
        "together": survey.together,
        "doubled": survey.doubled_words(),
        "forked": survey.forked_words(),
        "first_pass": survey.pass_rate_by_housing().iter().map(of_month).collect::<Vec<_>>(),
        "stations": survey.drift().iter().map(of_station).collect::<Vec<_>>(),
        "shims": housings.iter().filter_map(shims).collect::<Vec<_>>(),
        "round_robin": round_robin::all(survey),
    });
    format!("{value:#}\n")
}

/// One of the folders that are looked at as one, and what lies in it, practice apart.
fn of_folder(survey: &Survey, at: usize) -> Value {
    let [sessions, counted] = survey.held(at);
    json!({
        "folder": survey.folders.get(at).map(|folder| record::shown::path(folder)),
        "sessions": sessions,
        "counted": counted,
    })
}

fn named(name: &str) -> Value {
    if name.is_empty() { Value::Null } else { json!(name) }
}

fn of_month(of: &HousingMonth) -> Value {
    let HousingMonth { housing, rate } = of;
    json!({
        "housing": named(housing),
        "month": format!("{:04}-{:02}", rate.year, rate.month),
        "units": rate.passed_first.trials,
        "passed_first": rate.passed_first.successes,
        "share": rate.passed_first.share(),
        "low": rate.passed_first.low,
        "high": rate.passed_first.high,
    })
}

fn of_station(drift: &Drift) -> Value {
    let per_month = |per_day: f64| per_day * record::shop::survey::drift::MONTH_DAYS;
    let u = drift.line.and_then(|line| line.u_of_slope());
    json!({
        "station": drift.station,
        "axis": drift.axis.word(),
        "units": drift.points.len(),
        "later_visits": drift.later_visits,
        "in_30_days_arcmin": drift.line.map(|line| per_month(line.slope)),
        "u_in_30_days_arcmin": u.map(per_month),
        "corrected_p": drift.corrected_p,
        "wanders": drift.wanders(),
    })
}

/// `None` of a housing without a measured shim.
fn of_shims(housing: &str, found: &ShimsFound) -> Option<Value> {
    let all = found.points.len() + found.later_visits;
    let p = found.p_as_predicted();
    (all > 0).then(|| {
        json!({
            "housing": named(housing),
            "shims": found.points.len(),
            "later_visits": found.later_visits,
            "slope": found.line.map(|line| line.slope),
            "at_zero_arcmin": found.line.map(|line| line.intercept),
            "p_as_predicted": p,
            "as_predicted": p.map(|p| p >= SIGNIFICANT),
            "standing_out": found.points.iter().filter(|point| found.stands_out(point)).count(),
        })
    })
}
