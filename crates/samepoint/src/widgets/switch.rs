//! A button that is on or off.

use egui::accesskit::Role;
use egui::{Button, Response, Stroke, StrokeKind, Ui, WidgetInfo, vec2};

use crate::theme::{Palette, TARGET};

/// Shows it under a text; assistive technology hears `telling`, and whether it is on.
pub(crate) fn switch_ui(
    ui: &mut Ui,
    palette: &Palette,
    on: bool,
    text: &str,
    telling: &str,
) -> Response {
    let edge = if on { palette.here } else { palette.edge };
    let button = Button::new(text)
        .selected(on)
        .fill(if on { palette.well } else { palette.raised })
        .stroke(Stroke::new(if on { 2.0 } else { 1.0 }, edge))
        .min_size(vec2(0.0, TARGET));
    let shown = ui.add(button);
    keyboard_ring(ui, palette, &shown);
    shown.widget_info(|| WidgetInfo::selected(Role::Button, true, on, telling));
    shown
}

/// Round a button that has the keyboard and an edge of its own, which says something else.
pub(crate) fn keyboard_ring(ui: &Ui, palette: &Palette, shown: &Response) {
    if shown.has_focus() {
        let ring = Stroke::new(1.5, palette.here);
        ui.painter().rect_stroke(shown.rect.expand(3.0), 7.0, ring, StrokeKind::Middle);
    }
}
