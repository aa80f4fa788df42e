//! A button that is on or off.

use egui::accesskit::Role;
use egui::{Button, Response, Stroke, Ui, WidgetInfo, vec2};

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
    shown.widget_info(|| WidgetInfo::selected(Role::Button, true, on, telling));
    shown
}
