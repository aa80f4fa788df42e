//! A study's readings by unit and hand: units side by side, in each a column a hand.

use egui::accesskit::Role;
use egui::{Align2, FontId, Pos2, Sense, Stroke, Ui, WidgetInfo, pos2, vec2};
use paper::words::number;

use crate::places::study::picture::{AxisPicture, StudyPicture};
use crate::theme::Palette;
use crate::widgets::TellOnHover;

/// Height of the chart, and of the names below it, points.
const HEIGHT: f32 = 150.0;
const NAMES: f32 = 32.0;
/// Room for the scale's numbers.
const SCALE: f32 = 52.0;

pub(crate) fn chart_ui(ui: &mut Ui, palette: &Palette, picture: &StudyPicture, axis: &AxisPicture) {
    let all = || axis.readings.iter().flatten().flatten().copied();
    let (low, high) = all().fold((f64::MAX, f64::MIN), |(low, high), v| (low.min(v), high.max(v)));
    let units = axis.readings.len();
    if units == 0 || low > high {
        return;
    }
    let edge = if high > low { 0.08 * (high - low) } else { 0.5 };
    let (low, high) = (low - edge, high + edge);
    let size = vec2(ui.available_width(), HEIGHT + NAMES);
    let (rect, response) = ui.allocate_exact_size(size, Sense::hover());
    let told = told(picture, axis);
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &told));
    response.tell_on_hover(&told);
    let painter = ui.painter_at(rect);
    let field =
        egui::Rect::from_min_size(rect.min + vec2(SCALE, 0.0), vec2(rect.width() - SCALE, HEIGHT));
    painter.rect_filled(field, 3.0, palette.field);
    let y = |value: f64| field.bottom() - ((value - low) / (high - low)) as f32 * field.height();
    let small = FontId::proportional(11.5);
    for value in [low + edge, high - edge] {
        let at = pos2(field.left() - 4.0, y(value));
        let text = format!("{}′", number(value, 1));
        painter.text(at, Align2::RIGHT_CENTER, text, small.clone(), palette.quiet);
    }
    let width = field.width() / units as f32;
    let hands = picture.hands.len().max(1);
    let step = width / (hands as f32 + 1.0);
    for (unit, by_hand) in axis.readings.iter().enumerate() {
        let from = field.left() + width * unit as f32;
        if unit > 0 {
            painter.vline(from, field.y_range(), Stroke::new(1.0, palette.line));
        }
        let mut means: Vec<Pos2> = Vec::new();
        for (hand, readings) in by_hand.iter().enumerate() {
            let x = from + step * (hand as f32 + 1.0);
            for value in readings {
                painter.circle_filled(pos2(x, y(*value)), 2.0, palette.text);
            }
            let mean = axis.means.get(unit).and_then(|means| means.get(hand)).copied();
            if let Some(mean) = mean.filter(|mean| mean.is_finite()) {
                let bar = [pos2(x - 5.0, y(mean)), pos2(x + 5.0, y(mean))];
                painter.line_segment(bar, Stroke::new(2.0, palette.here));
                means.push(pos2(x, y(mean)));
            }
            if step > 16.0
                && let Some(name) = picture.hands.get(hand)
            {
                let name: String = name.chars().take(3).collect();
                let at = pos2(x, field.bottom() + 8.0);
                painter.text(at, Align2::CENTER_CENTER, name, small.clone(), palette.quiet);
            }
        }
        painter.line(means, Stroke::new(1.0, palette.quiet));
        if let Some(row) = picture.table.get(unit) {
            let most = ((width / 7.0) as usize).max(2);
            let name: String = row.part.chars().take(most).collect();
            let at = pos2(from + width / 2.0, field.bottom() + 23.0);
            painter.text(at, Align2::CENTER_CENTER, name, small.clone(), palette.text);
        }
    }
}

/// What the chart shows, as text: each unit's mean by each hand.
fn told(picture: &StudyPicture, axis: &AxisPicture) -> String {
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
