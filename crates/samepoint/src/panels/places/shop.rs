//! The shop: all its sessions, and what they come to.

use egui::Ui;

use crate::app::Action;
use crate::app::places::shop::Surveying;
use crate::theme::Palette;

/// Shows it.
pub fn shop_ui(ui: &mut Ui, palette: &Palette, surveying: &Surveying, actions: &mut Vec<Action>) {
    let _ = (ui, palette, surveying, actions);
}
