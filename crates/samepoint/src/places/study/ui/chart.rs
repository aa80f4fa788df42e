//! A study's readings by unit and hand: units side by side, in each a column a hand.

use egui::{Align2, Rect, Sense, Ui, pos2, vec2};
use paper::style::Marker;
use paper::words::number;

use crate::places::study::picture::{AxisView, StudyView};
use crate::theme::Palette;
use crate::widgets::TellOnHover;
use crate::widgets::chart::{Chart, ChartInk, ChartPen, Map, Numbers, around, room_ui};

/// Height of the chart, and of the names below it, points.
const HEIGHT: f32 = 150.0;
const NAMES: f32 = 32.0;
/// Room for the scale's numbers.
const SCALE: f32 = 52.0;
/// How much of the range lies beyond the highest and the lowest.
const EDGE: f64 = 0.08;

pub(crate) fn chart_ui(ui: &mut Ui, palette: &Palette, picture: &StudyView, axis: &AxisView) {
    let all = || axis.readings.iter().flatten().flatten().copied();
    let (Some(range), Some([low, high])) = (around(all(), EDGE), around(all(), 0.0)) else {
        return;
    };
    let told = told(picture, axis);
    let size = vec2(ui.available_width(), HEIGHT + NAMES);
    let (room, response) = room_ui(ui, size, Sense::hover(), &told);
    response.tell_on_hover(&told);
    let field = Rect::from_min_max(room.min + vec2(SCALE, 0.0), room.max - vec2(0.0, NAMES));
    let map = Map::new(field, [0.0, axis.readings.len() as f64], range);
    let mut chart = Chart::new(ui, palette, room, map);
    chart.field(palette.field);
    chart.up(Numbers::Plain, [low, high].map(|value| (value, format!("{}′", number(value, 1)))));
    let step = 1.0 / (picture.hands.len().max(1) as f64 + 1.0);
    for (unit, by_hand) in axis.readings.iter().enumerate() {
        let from = unit as f64;
        if unit > 0 {
            chart.upright(from, ChartPen::new(1.0, palette.line));
        }
        let mut means: Vec<[f64; 2]> = Vec::new();
        for (hand, readings) in by_hand.iter().enumerate() {
            let x = from + step * (hand as f64 + 1.0);
            for value in readings {
                chart.mark([x, *value], Marker::Dot, 2.0, ChartInk::Filled(palette.text));
            }
            let mean = axis.means.get(unit).and_then(|means| means.get(hand)).copied();
            if let Some(mean) = mean.filter(|mean| mean.is_finite()) {
                chart.dash([x, mean], 5.0, ChartPen::new(2.0, palette.here));
                means.push([x, mean]);
            }
            if let Some(name) = picture.hands.get(hand) {
                let name: String = name.chars().take(3).collect();
                let at = pos2(chart.map.x(x), field.bottom() + 8.0);
                chart.number(at, Align2::CENTER_CENTER, &name);
            }
        }
        chart.line(means, ChartPen::new(1.0, palette.quiet));
        if let Some(row) = picture.table.get(unit) {
            let at = pos2(chart.map.x(from + 0.5), field.bottom() + 23.0);
            let width = chart.map.lengths(1.0)[0] - 6.0;
            chart.words_within(at, Align2::CENTER_CENTER, &row.part, palette.text, width);
        }
    }
}

/// What the chart shows, as text: each unit's mean by each hand.
fn told(picture: &StudyView, axis: &AxisView) -> String {
    let mut told = format!("Means of {} by unit and hand:", axis.axis.word());
    for (row, means) in picture.table.iter().zip(&axis.means) {
        let means = picture
            .hands
            .iter()
            .zip(means)
            .map(|(hand, mean)| format!("{hand} {}′", number(*mean, 2)));
        told.push_str(&format!(" {}: {};", row.part, means.collect::<Vec<_>>().join(", ")));
    }
    told
}
