//! A grade's scores over time: a dot a unit, and the running mean as a line.

use egui::accesskit::Role;
use egui::{Align2, FontId, Pos2, Sense, Shape, Stroke, Ui, WidgetInfo, pos2, vec2};

use crate::places::practice::course::{Course, percent};
use crate::theme::Palette;
use crate::widgets::{Label, TellOnHover};

/// Height of a chart, points.
const HEIGHT: f32 = 64.0;
/// Room for the scale's numbers.
const SCALE: f32 = 46.0;
/// The last units that are drawn; the table has them all.
const DRAWN: usize = 60;

pub(crate) fn course_ui(ui: &mut Ui, palette: &Palette, course: &Course) {
    ui.add(Label::new(&course.told).wrap());
    if course.totals.is_empty() {
        return;
    }
    let (rect, response) =
        ui.allocate_exact_size(vec2(ui.available_width(), HEIGHT), Sense::hover());
    let from = course.totals.len().saturating_sub(DRAWN);
    let drawn = course.totals.get(from..).unwrap_or_default();
    let listed: Vec<String> = drawn.iter().map(|(total, _)| percent(*total)).collect();
    let telling = format!("Scores in order: {}. Line: running mean.", listed.join(", "));
    response.widget_info(|| WidgetInfo::labeled(Role::Image, true, &telling));
    response.tell_on_hover(&telling);
    let painter = ui.painter_at(rect);
    let mut field = rect.shrink2(vec2(0.0, 6.0));
    field.min.x += SCALE;
    painter.rect_filled(field.expand2(vec2(0.0, 6.0)), 3.0, palette.field);
    let y = |value: f64| field.bottom() - (value / 100.0).clamp(0.0, 1.0) as f32 * field.height();
    for value in [0.0, 50.0, 100.0] {
        painter.hline(field.x_range(), y(value), Stroke::new(1.0, palette.line));
        if value != 50.0 {
            let at = pos2(field.left() - 4.0, y(value));
            let font = FontId::proportional(11.5);
            painter.text(at, Align2::RIGHT_CENTER, percent(value), font, palette.quiet);
        }
    }
    let step = field.width() / DRAWN.min(drawn.len().max(12)) as f32;
    let x = |at: usize| field.left() + step * (at as f32 + 0.5);
    let mean: Vec<Pos2> =
        drawn.iter().enumerate().map(|(at, (_, mean))| pos2(x(at), y(*mean))).collect();
    painter.add(Shape::line(mean, Stroke::new(1.5, palette.quiet)));
    for (at, (total, _)) in drawn.iter().enumerate() {
        painter.circle_filled(pos2(x(at), y(*total)), 3.5, palette.here);
    }
}
