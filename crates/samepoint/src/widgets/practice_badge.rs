//! The mark of practice, wherever an invented unit could be taken for a real one.

use egui::{Sense, Stroke, StrokeKind, Ui, WidgetInfo, accesskit::Role, vec2};

use crate::theme;
use crate::theme::Palette;

/// Shows the word in a frame of its own.
pub(crate) fn practice_badge_ui(ui: &mut Ui, palette: &Palette) {
    let text = "practice";
    let galley = ui.painter().layout_no_wrap(text.to_owned(), theme::bold(13.0), palette.look);
    let (rect, response) = ui.allocate_exact_size(galley.size() + vec2(14.0, 6.0), Sense::hover());
    response.widget_info(|| WidgetInfo::labeled(Role::Label, true, text));
    let painter = ui.painter();
    painter.rect(
        rect,
        4.0,
        palette.wash(palette.look),
        Stroke::new(1.0, palette.look),
        StrokeKind::Inside,
    );
    painter.galley(rect.min + vec2(7.0, 3.0), galley, palette.look);
    response.on_hover_text("An invented unit: nothing here is said of a real one.");
}
