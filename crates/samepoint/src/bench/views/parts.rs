//! The views that can stand in the middle of the bench beside the field plot.

use egui::{Rect, Response, Sense, Ui, vec2};

pub use super::glass_ui::glass_ui;
pub use super::over_swing_ui::swing_ui;
pub use super::practice_glass_ui::practice_glass_ui;
pub use super::ring_map_ui::ring_map_ui;
pub use super::sources_ui::sources_ui;
pub use crate::bench::differences::plane::differences_ui;

use crate::widgets::chart::room_ui;

/// The least height of a canvas, points; a small window scrolls to its words.
const LEAST: f32 = 150.0;

/// A canvas that leaves `below` of `height` points for words.
pub(crate) fn canvas(ui: &mut Ui, height: f32, below: f32, telling: &str) -> (Rect, Response) {
    let size = vec2(ui.available_width(), (height - below).max(LEAST));
    room_ui(ui, size, Sense::click(), telling)
}
