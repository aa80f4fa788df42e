//! The chart of one point and axis of a check standard: days, their limits and moving average above,
//! the day's steps below.

use egui::{Align2, Rect, RichText, Sense, Ui, pos2, vec2};
use paper::style::Marker;
use paper::words::{degrees_short, number};
use record::checks::{ChartedDay, PointLimits};

use super::picture::CheckChart;
use crate::theme::Palette;
use crate::widgets::chart::{Chart, ChartInk, ChartPen, Map, around, channel_marker, room_ui};
use crate::widgets::{Tell, TellOnHover, channel_colour_text};

/// Height of the days' values and of their steps, points.
const VALUES: f32 = 104.0;
const STEPS: f32 = 34.0;
const BETWEEN: f32 = 6.0;
/// Room for the limits' numbers.
const NUMBERS: f32 = 46.0;
/// How much of a range lies beyond what is in it.
const EDGE: f64 = 0.08;

pub(crate) fn check_chart_ui(ui: &mut Ui, palette: &Palette, chart: &CheckChart, width: f32) {
    ui.vertical(|ui| {
        ui.set_width(width);
        let ring = chart.point.ring_deg;
        let ring = ring.map_or_else(String::new, |deg| format!("ring {}, ", degrees_short(deg)));
        let after = format!("{ring}{}", chart.axis.word());
        ui.tell(channel_colour_text(palette, chart.point.channel, &after));
        let size = vec2(width, VALUES + BETWEEN + STEPS);
        let (room, response) = room_ui(ui, size, Sense::hover(), &chart.told);
        response.tell_on_hover(&chart.told);
        if ui.is_rect_visible(room) {
            let fields = room.with_max_x(room.right() - NUMBERS);
            values(ui, palette, chart, room, fields.with_max_y(room.top() + VALUES));
            steps(ui, palette, chart, room, fields.with_min_y(room.bottom() - STEPS));
        }
        let last = chart.days.last().map_or_else(
            || "no day yet".to_owned(),
            |day| format!("{}: {}′", day.day, number(day.value, 2)),
        );
        ui.tell(RichText::new(last).small().color(palette.quiet));
    });
}

/// A field whose x are the days, with half a marker's room at its ends.
fn field<'a>(
    ui: &Ui,
    palette: &'a Palette,
    room: Rect,
    field: Rect,
    (days, values): (usize, impl Iterator<Item = f64>),
) -> Chart<'a> {
    let last = days.saturating_sub(1).max(1) as f64;
    let beyond = last * f64::from(6.0 / (field.width() - 12.0).max(1.0));
    let range = around(values, EDGE).unwrap_or([0.0, 1.0]);
    let chart = Chart::new(ui, palette, room, Map::new(field, [-beyond, last + beyond], range));
    chart.field(palette.field);
    chart
}

fn values(ui: &Ui, palette: &Palette, of: &CheckChart, room: Rect, rect: Rect) {
    let days = &of.days;
    let limits = days.iter().filter_map(|day| day.limits.as_ref());
    let every = days
        .iter()
        .flat_map(|day| [Some(day.value), day.average])
        .flatten()
        .chain(limits.flat_map(|held| [held.next.low, held.next.high]));
    let mut chart = field(ui, palette, room, rect, (days.len(), every));
    for (ends, limits) in runs(days) {
        let level = |value: f64, pen: ChartPen| chart.line(ends.map(|x| [x, value]), pen);
        level(limits.value.centre, ChartPen::new(1.0, palette.line));
        for value in [limits.value.low, limits.value.high] {
            level(value, ChartPen::new(1.5, palette.quiet).fine());
        }
        for value in [limits.next.low, limits.next.high] {
            level(value, ChartPen::new(1.0, palette.quiet).dotted());
        }
    }
    months(&mut chart, days);
    let averages = days.iter().enumerate();
    let averages = averages.filter_map(|(day, held)| Some([day as f64, held.average?]));
    chart.line(averages, ChartPen::new(1.5, palette.text));
    let channel = of.point.channel;
    for (day, held) in days.iter().enumerate() {
        let at = [day as f64, held.value];
        let ink = ChartInk::Filled(palette.channel(channel));
        chart.mark(at, channel_marker(channel), 3.0, ink);
        // A ring where a limit is broken.
        if !held.findings.is_empty() {
            chart.mark(at, Marker::Dot, 6.5, ChartInk::Open(palette.look));
        }
    }
    // The limits of the last day, as numbers beside them; where they lie close together their edges are
    // told, not their centre.
    if let Some(limits) = days.last().and_then(|day| day.limits) {
        for value in [limits.value.high, limits.value.low, limits.value.centre] {
            let at = pos2(room.right(), chart.map.y(value).clamp(rect.top(), rect.bottom()));
            chart.number(at, Align2::RIGHT_CENTER, &format!("{}′", number(value, 2)));
        }
    }
}

/// A mark and its number where a month begins, the year with the first and each January.
fn months(chart: &mut Chart<'_>, days: &[ChartedDay]) {
    let mut before: Option<(i16, i8)> = None;
    for (day, held) in days.iter().enumerate() {
        let (year, month) = (held.day.year(), held.day.month());
        if before == Some((year, month)) {
            continue;
        }
        let text = if before.is_none() || month == 1 {
            format!("{year}-{month:02}")
        } else {
            format!("{month:02}")
        };
        before = Some((year, month));
        let at = pos2(chart.map.x(day as f64), chart.map.rect().bottom());
        chart.path(&[at, at - vec2(0.0, 4.0)], ChartPen::new(1.0, chart.palette.quiet));
        chart.number(at - vec2(0.0, 3.0), Align2::LEFT_BOTTOM, &text);
    }
}

fn steps(ui: &Ui, palette: &Palette, of: &CheckChart, room: Rect, rect: Rect) {
    let days = &of.days;
    let limits = days.iter().filter_map(|day| day.limits.map(|held| held.step.high));
    let sizes = days.iter().filter_map(|day| day.step.map(f64::abs));
    let every = (days.len(), sizes.chain(limits).chain([0.0]));
    let mut chart = field(ui, palette, room, rect, every);
    for (ends, limits) in runs(days) {
        let limit = ends.map(|x| [x, limits.step.high]);
        chart.line(limit, ChartPen::new(1.0, palette.quiet).fine());
    }
    for (day, held) in days.iter().enumerate() {
        let Some(step) = held.step.map(f64::abs) else { continue };
        let outside = held.limits.is_some_and(|limits| step > limits.step.high);
        let pen = if outside {
            ChartPen::new(4.0, palette.look)
        } else {
            ChartPen::new(2.0, palette.edge)
        };
        chart.line([[day as f64, 0.0], [day as f64, step]], pen);
    }
    chart.number(pos2(room.right(), rect.center().y), Align2::RIGHT_CENTER, "steps");
}

/// Runs of days that are held against the same limits: where each begins and ends, and the limits.
fn runs(days: &[ChartedDay]) -> Vec<([f64; 2], PointLimits)> {
    let held = days.iter().enumerate().filter_map(|(day, held)| Some((day, held.limits?)));
    let held: Vec<(usize, PointLimits)> = held.collect();
    let same = |(day, limits): &(usize, PointLimits), next: &(usize, PointLimits)| {
        *limits == next.1 && day + 1 == next.0
    };
    let ends = |run: &[(usize, PointLimits)]| {
        let (&(from, limits), &(to, _)) = (run.first()?, run.last()?);
        Some(([from as f64 - 0.3, to as f64 + 0.3], limits))
    };
    held.chunk_by(same).filter_map(ends).collect()
}
