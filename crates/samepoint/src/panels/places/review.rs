//! Review: one session looked over from its first fact to its signature.

use egui::Ui;

use crate::app::Action;
use crate::app::places::review::Reviewing;
use crate::theme::Palette;

/// Shows it.
pub fn review_ui(ui: &mut Ui, palette: &Palette, reviewing: &Reviewing, actions: &mut Vec<Action>) {
    let _ = (ui, palette, reviewing, actions);
}
