//! Practice: invented units to solve, and how it went.

use egui::Ui;

use crate::app::Action;
use crate::app::places::practice::Practising;
use crate::theme::Palette;

/// Shows it.
pub fn practice_ui(
    ui: &mut Ui,
    palette: &Palette,
    practising: &Practising,
    actions: &mut Vec<Action>,
) {
    let _ = (ui, palette, practising, actions);
}
