//! A grade's scores over time: a dot a unit, and the running mean as a line.

use egui::{Rect, Sense, Ui, vec2};
use paper::style::Marker;

use crate::theme::Palette;
use crate::views::course::{Course, percent};
use crate::widgets::chart::{Chart, ChartInk, ChartPen, Map, Numbers, room_ui};
use crate::widgets::{Label, TellOnHover};

/// Height of a chart, points.
const HEIGHT: f32 = 64.0;
/// Room for the scale's numbers, and for half of one above and below the field.
const SCALE: f32 = 46.0;
const EDGE: f32 = 6.0;
/// The last units that are drawn; the table has them all.
const DRAWN: usize = 60;

pub(crate) fn course_ui(ui: &mut Ui, palette: &Palette, course: &Course) {
    ui.add(Label::new(&course.told).wrap());
    if course.totals.is_empty() {
        return;
    }
    let from = course.totals.len().saturating_sub(DRAWN);
    let drawn = course.totals.get(from..).unwrap_or_default();
    let listed: Vec<String> = drawn.iter().map(|(total, _)| percent(*total)).collect();
    let telling = format!("Scores in order: {}. Line: running mean.", listed.join(", "));
    let size = vec2(ui.available_width(), HEIGHT);
    let (room, response) = room_ui(ui, size, Sense::hover(), &telling);
    response.tell_on_hover(&telling);
    let field = Rect::from_min_max(room.min + vec2(SCALE, EDGE), room.max - vec2(0.0, EDGE));
    let map = Map::new(field, [-0.5, drawn.len().max(12) as f64 - 0.5], [0.0, 100.0]);
    let mut chart = Chart::new(ui, palette, room, map);
    chart.field(palette.field);
    chart.up(Numbers::Grid, [0.0, 50.0, 100.0].map(|value| (value, percent(value))));
    let means = drawn.iter().enumerate().map(|(at, (_, mean))| [at as f64, *mean]);
    chart.line(means, ChartPen::new(1.5, palette.quiet));
    for (at, (total, _)) in drawn.iter().enumerate() {
        let at = [at as f64, total.clamp(0.0, 100.0)];
        chart.mark(at, Marker::Dot, 3.5, ChartInk::Filled(palette.here));
    }
}
