//! The views that can stand in the middle of the bench beside the field plot.

use egui::{Rect, RichText, Sense, Ui, WidgetInfo, accesskit::Role, pos2, vec2};

pub use super::glass_ui::glass_ui;
pub use super::over_swing_ui::swing_ui;
pub use super::practice_glass_ui::practice_glass_ui;
pub use super::ring_map_ui::ring_map_ui;
pub use super::sources_ui::sources_ui;
pub use crate::bench::differences::plane::differences_ui;

use crate::theme::Palette;
use crate::widgets::{Label, Tone, message_ui};

/// Why there is nothing to see.
pub(crate) fn missing_ui(ui: &mut Ui, palette: &Palette, why: &str) {
    ui.add_space(12.0);
    message_ui(ui, palette, Tone::Plain, why, false);
}

/// What a picture says, below it.
pub(crate) fn told_ui(ui: &mut Ui, palette: &Palette, told: &[String]) {
    for sentence in told {
        ui.add(Label::new(RichText::new(sentence).color(palette.quiet)).wrap());
    }
}

/// The least height of a canvas, points; a small window scrolls to its words.
const LEAST: f32 = 150.0;

/// A canvas of a given shape (width over height), `height` less `below` points of words high.
pub(crate) fn canvas(
    ui: &mut Ui,
    shape: f32,
    height: f32,
    below: f32,
    telling: &str,
) -> (Rect, egui::Response) {
    let room = vec2(ui.available_width(), (height - below).max(LEAST));
    let (all, response) = ui.allocate_exact_size(room, Sense::click());
    response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, telling));
    let size = if room.x / room.y > shape {
        vec2(room.y * shape, room.y)
    } else {
        vec2(room.x, room.x / shape)
    };
    (Rect::from_center_size(all.center(), size), response)
}

/// A linear map from one range to another.
#[derive(Clone, Copy)]
pub(crate) struct Scale {
    from: [f64; 2],
    to: [f32; 2],
}

impl Scale {
    pub(crate) fn place(&self, value: f64) -> f32 {
        let share = ((value - self.from[0]) / (self.from[1] - self.from[0])) as f32;
        let at = self.to[0] + share * (self.to[1] - self.to[0]);
        // What has no place is put where it is not seen.
        if at.is_finite() { at } else { -1e6 }
    }

    fn value(&self, at: f32) -> f64 {
        let share = f64::from((at - self.to[0]) / (self.to[1] - self.to[0]));
        self.from[0] + share * (self.from[1] - self.from[0])
    }
}

/// Both axes of a canvas: x to the right, y up.
#[derive(Clone, Copy)]
pub(crate) struct Axes {
    pub(crate) x: Scale,
    pub(crate) y: Scale,
}

impl Axes {
    pub(crate) fn new(rect: Rect, x: [f64; 2], y: [f64; 2]) -> Self {
        Self {
            x: Scale { from: x, to: [rect.left(), rect.right()] },
            y: Scale { from: y, to: [rect.bottom(), rect.top()] },
        }
    }

    pub(crate) fn place(&self, at: [f64; 2]) -> egui::Pos2 {
        pos2(self.x.place(at[0]), self.y.place(at[1]))
    }

    pub(crate) fn value(&self, at: egui::Pos2) -> [f64; 2] {
        [self.x.value(at.x), self.y.value(at.y)]
    }
}
