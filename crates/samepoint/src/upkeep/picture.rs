//! A check file as the sheet shows it: how the station stands, a chart an axis, today's readings.
//! Made when facts change, never per frame.

use jiff::civil::Date;
use paper::words::{capital, number};
use record::Axis;
use record::checks::{ChartedDay, CheckPoint, CheckReading, CheckState, Checks};
use record::fact::{Fact, Seq};
use record::recall::{Spell, spells};

use crate::shell::open_journal::JournalView;
use crate::widgets::Tone;

/// Days on a chart: about two months of working days, which a sheet's width can still show apart.
const DAYS_SHOWN: usize = 40;
/// Readings listed, the latest first.
const READINGS_LISTED: usize = 12;

/// What the sheet shows.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct CheckView {
    /// The day it was made for.
    pub day: Option<Date>,
    /// How the station stands, in words.
    pub state: String,
    /// How that is meant.
    pub tone: Tone,
    /// What must be looked at beside it.
    pub remarks: Vec<String>,
    /// A chart for each point and axis.
    pub charts: Vec<CheckChart>,
    /// The latest readings, the last first.
    pub readings: Vec<CheckRow>,
    /// What is to be read next.
    pub next: Option<CheckPoint>,
}

/// The chart of one point and axis.
#[derive(Clone, Debug, PartialEq)]
pub struct CheckChart {
    /// Of what: `left, ring 0°`.
    pub point: CheckPoint,
    /// Along which axis.
    pub axis: Axis,
    /// The latest days.
    pub days: Vec<ChartedDay>,
    /// The same in words.
    pub told: String,
}

/// A reading in the list.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CheckRow {
    /// Which.
    pub seq: Seq,
    /// As typed, with day and hand.
    pub words: String,
    /// Why it does not count, if it was withdrawn.
    pub withdrawn: Option<String>,
}

impl JournalView<Checks> for CheckView {
    /// What checks come to on a day.
    fn of(checks: &Checks, day: Date) -> Self {
        let state = checks.state_on(day);
        let tone = match &state {
            CheckState::InControl { .. } => Tone::Good,
            CheckState::Outside { .. } | CheckState::NotChecked { .. } => Tone::Look,
            CheckState::TooFew { today, .. } | CheckState::NoLimits { today, .. } => {
                if today.whole().is_some() { Tone::Plain } else { Tone::Look }
            }
        };
        let points = checks.points();
        let charts = points
            .iter()
            .flat_map(|point| Axis::BOTH.map(|axis| CheckChart::of(checks, *point, axis)))
            .collect();
        Self {
            day: Some(day),
            state: format!("{}.", capital(&state.to_string())),
            tone,
            remarks: remarks(checks),
            charts,
            readings: checks.readings.iter().rev().take(READINGS_LISTED).map(row).collect(),
            next: checks.next_point(day),
        }
    }
}

fn remarks(checks: &Checks) -> Vec<String> {
    let going_on = spells(checks).into_iter().filter(Spell::goes_on);
    let mut remarks: Vec<String> = going_on.map(|spell| spell.words()).collect();
    let left_aside = checks
        .journal
        .ignored
        .iter()
        .map(|(seq, why)| format!("Fact {seq} of the check file is left aside: {why}"));
    remarks.extend(left_aside);
    remarks.extend(checks.journal.marks.iter().map(mark_words));
    if !checks.withdrawn_from_limits().is_empty() {
        remarks.push(
            "A reading that the limits rest on was withdrawn since: the limits stand as they were \
             decided; draw them anew."
                .to_owned(),
        );
    }
    remarks
}

/// What the program noted about a file, with the fact that notes it.
pub(crate) fn mark_words(mark: &Fact<String>) -> String {
    format!("Fact {}, {}: {}", mark.seq, mark.hand, mark.body)
}

fn row(held: &CheckReading) -> CheckRow {
    let taken = &held.taken;
    CheckRow {
        seq: held.seq,
        words: format!(
            "{} {} · {} · {} · {}",
            held.time.date(),
            held.time.time_of_day().get(..5).unwrap_or_default(),
            taken.point(),
            taken.unit.pair(&taken.x, &taken.y),
            held.hand
        ),
        withdrawn: held.withdrawn.as_ref().map(|withdrawn| withdrawn.reason.clone()),
    }
}

impl CheckChart {
    fn of(checks: &Checks, point: CheckPoint, axis: Axis) -> Self {
        let mut days = checks.chart(point, axis);
        let told = told(point, axis, &days);
        days.drain(..days.len().saturating_sub(DAYS_SHOWN));
        Self { point, axis, days, told }
    }
}

fn told(point: CheckPoint, axis: Axis, days: &[ChartedDay]) -> String {
    let name = format!("Check chart, {point}, {}", axis.word());
    let Some(last) = days.last() else { return format!("{name}: no day yet.") };
    let mut told = format!(
        "{name}: {}, the last {} at {}′",
        paper::words::counted_s(days.len(), "day"),
        last.day,
        number(last.value, 2)
    );
    if let Some(step) = last.step {
        told.push_str(&format!(", {}′ from the day before", number(step, 2)));
    }
    if let Some(average) = last.average {
        told.push_str(&format!(", moving average {}′", number(average, 2)));
    }
    match &last.limits {
        Some(limits) => told.push_str(&format!(
            ". Limits {}′ to {}′, centre {}′, from {}; dotted: where the next day of a sound station lies, \
             {}′ to {}′ (prediction limits, Student’s t).",
            number(limits.value.low, 2),
            number(limits.value.high, 2),
            number(limits.value.centre, 2),
            paper::words::counted_s(limits.days, "day"),
            number(limits.next.low, 2),
            number(limits.next.high, 2)
        )),
        None => told.push_str(". No limits are drawn."),
    }
    let outside: Vec<String> =
        days.iter().filter(|day| !day.findings.is_empty()).map(|day| day.day.to_string()).collect();
    if !outside.is_empty() {
        told.push_str(&format!(" Outside on {}.", outside.join(", ")));
    }
    told
}

/// The limits in force, a sentence a point and axis.
#[must_use]
pub(crate) fn limits_in_words(checks: &Checks) -> Vec<String> {
    let mut told = Vec::new();
    for point in checks.points() {
        for axis in Axis::BOTH {
            let charted = checks.chart(point, axis);
            let Some(limits) = charted.last().and_then(|day| day.limits) else { continue };
            told.push(format!(
                "{}, {}: {}′ to {}′, a day's step up to {}′. From {}: the next day of a sound station lies \
                 within {}′ to {}′.",
                capital(&point.to_string()),
                axis.word(),
                number(limits.value.low, 2),
                number(limits.value.high, 2),
                number(limits.step.high, 2),
                paper::words::counted_s(limits.days, "day"),
                number(limits.next.low, 2),
                number(limits.next.high, 2)
            ));
        }
    }
    told
}
