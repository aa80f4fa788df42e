//! The room of a chart, and its words.

use egui::{Rect, Response, RichText, Sense, Ui, Vec2, WidgetInfo, accesskit::Role, vec2};

use crate::theme::Palette;
use crate::widgets::{Label, Tone, message_ui};

/// Room for a chart, told in words to whom does not see it.
pub(crate) fn room_ui(ui: &mut Ui, size: Vec2, sense: Sense, told: &str) -> (Rect, Response) {
    let (room, response) = ui.allocate_exact_size(size, sense);
    let role = if sense.senses_click() { Role::Canvas } else { Role::Image };
    response.widget_info(|| WidgetInfo::labeled(role, true, told));
    (room, response)
}

/// The least height of a canvas, points; a small window scrolls to its words.
const LEAST: f32 = 150.0;

/// A canvas that leaves `below` of `height` points for words.
pub(crate) fn canvas_ui(ui: &mut Ui, height: f32, below: f32, told: &str) -> (Rect, Response) {
    let size = vec2(ui.available_width(), (height - below).max(LEAST));
    room_ui(ui, size, Sense::click(), told)
}

/// The largest part of a room that is `shape` times as wide as high, in its middle.
pub(crate) fn fitted(room: Rect, shape: f32) -> Rect {
    if !(shape.is_finite() && shape > 0.0) {
        return room;
    }
    let size = room.size();
    let size = if size.x > size.y * shape {
        vec2(size.y * shape, size.y)
    } else {
        vec2(size.x, size.x / shape)
    };
    Rect::from_center_size(room.center(), size)
}

/// Why there is nothing to see.
pub(crate) fn empty_ui(ui: &mut Ui, palette: &Palette, why: &str) {
    ui.add_space(12.0);
    message_ui(ui, palette, Tone::Plain, why, false);
}

/// What a chart says, below it.
pub(crate) fn told_ui(ui: &mut Ui, palette: &Palette, told: &[String]) {
    for sentence in told {
        key_ui(ui, palette, sentence);
    }
}

/// What its lines and marks mean.
pub(crate) fn key_ui(ui: &mut Ui, palette: &Palette, key: &str) {
    ui.add(Label::new(RichText::new(key).color(palette.quiet)).wrap());
}
