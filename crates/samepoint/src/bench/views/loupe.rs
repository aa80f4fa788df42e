//! A loupe over one crosshair of an invented unit: divisions with their numbers, and tenths.

use egui::{Align2, FontId, Painter, Rect, Shape, Stroke, Ui, pos2};
use solver::Channel;

use super::parts::Axes;
use super::practice_glass::{LOUPE_REACH, Loupe};
use crate::theme::Palette;

/// A part of the graticule, larger: a number at each division, a short mark at each tenth.
pub(crate) fn loupe_ui(ui: &Ui, palette: &Palette, rect: Rect, loupe: &Loupe) {
    let range = |axis: usize| {
        let middle = loupe.middle.get(axis).copied().unwrap_or_default();
        [middle - LOUPE_REACH, middle + LOUPE_REACH]
    };
    let (x, y) = (range(0), range(1));
    let axes = Axes::new(rect, x, y);
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 0.0, palette.well);
    scale(&painter, palette, rect, &axes, loupe.middle);
    painter.rect_stroke(rect, 0.0, Stroke::new(1.0, palette.edge), egui::StrokeKind::Inside);
    let at = axes.place(loupe.at);
    let stroke = Stroke::new(1.5, palette.drawn(loupe.channel));
    let lines = [
        [pos2(rect.left(), at.y), pos2(rect.right(), at.y)],
        [pos2(at.x, rect.top()), pos2(at.x, rect.bottom())],
    ];
    for line in lines {
        match loupe.channel {
            Channel::Left => {
                painter.line_segment(line, stroke);
            }
            Channel::Right => {
                painter.extend(Shape::dashed_line(&line, stroke, 9.0, 5.0));
            }
        }
    }
}

fn scale(painter: &Painter, palette: &Palette, rect: Rect, axes: &Axes, middle: [f64; 2]) {
    let font = FontId::proportional(11.0);
    let line = Stroke::new(1.0, palette.line);
    let mark = Stroke::new(1.0, palette.quiet);
    let tenths = (10.0 * LOUPE_REACH) as i32;
    let [middle_x, middle_y] = middle;
    for tenth in -tenths..=tenths {
        let off = f64::from(tenth) / 10.0;
        let length = match tenth % 10 {
            0 => 12.0,
            5 | -5 => 9.0,
            _ => 5.0,
        };
        let x = axes.place([middle_x + off, middle_y]).x;
        let y = axes.place([middle_x, middle_y + off]).y;
        if tenth % 10 == 0 {
            painter.vline(x, rect.y_range(), line);
            painter.hline(rect.x_range(), y, line);
        }
        painter.line_segment([pos2(x, rect.bottom()), pos2(x, rect.bottom() - length)], mark);
        painter.line_segment([pos2(rect.left(), y), pos2(rect.left() + length, y)], mark);
        if tenth % 10 != 0 {
            continue;
        }
        // In the corner the two scales would write over each other.
        let number = |value: f64| paper::words::number(value, 0);
        if x > rect.left() + 40.0 {
            let below = pos2(x, rect.bottom() - 13.0);
            let text = number(middle_x + off);
            painter.text(below, Align2::CENTER_BOTTOM, text, font.clone(), palette.text);
        }
        if y < rect.bottom() - 30.0 {
            let beside = pos2(rect.left() + 15.0, y);
            let text = number(middle_y + off);
            painter.text(beside, Align2::LEFT_CENTER, text, font.clone(), palette.text);
        }
    }
}
