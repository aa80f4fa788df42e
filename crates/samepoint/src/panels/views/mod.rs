//! The views that can stand in the middle of the bench beside the field plot.

mod differences;
mod glass;
mod loupe;
mod practice_glass;
mod ring_map;
mod sources;
mod swing;
mod virtual_ring;

use egui::{Rect, Response, Sense, Ui, vec2};

pub use differences::differences_ui;
pub use glass::glass_ui;
pub use practice_glass::practice_glass_ui;
pub use ring_map::ring_map_ui;
pub use sources::sources_ui;
pub use swing::swing_ui;

use crate::widgets::chart::room_ui;

/// The least height of a canvas, points; a small window scrolls to its words.
const LEAST: f32 = 150.0;

/// A canvas that leaves `below` of `height` points for words.
fn canvas(ui: &mut Ui, height: f32, below: f32, telling: &str) -> (Rect, Response) {
    let size = vec2(ui.available_width(), (height - below).max(LEAST));
    room_ui(ui, size, Sense::click(), telling)
}
