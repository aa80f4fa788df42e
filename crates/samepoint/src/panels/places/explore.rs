//! The optics opened up: what each millimetre does to the circles.

use egui::Ui;

use crate::app::Action;
use crate::app::places::explore::Exploring;
use crate::theme::Palette;

/// Shows it.
pub fn explore_ui(
    ui: &mut Ui,
    palette: &Palette,
    exploring: &Exploring,
    actions: &mut Vec<Action>,
) {
    let _ = (ui, palette, exploring, actions);
}
