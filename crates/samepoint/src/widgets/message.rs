//! A sentence that must be seen, on its own ground.

use egui::{
    CornerRadius, Frame, Margin, Response, RichText, Stroke, Ui, WidgetInfo, accesskit::Role,
};

use super::Tell;
use crate::theme::Palette;

/// What kind of sentence.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Tone {
    /// Look at this.
    Look,
    /// Inside; done.
    Good,
    /// Neither.
    #[default]
    Plain,
}

/// Shows a sentence, bold when it is the answer; announced to assistive technology.
pub fn message_ui(
    ui: &mut Ui,
    palette: &Palette,
    tone: Tone,
    text: &str,
    strong: bool,
) -> Response {
    let (colour, fill, edge) = match tone {
        Tone::Look => (palette.look, palette.wash(palette.look), palette.wash_edge(palette.look)),
        Tone::Good => {
            (palette.inside, palette.wash(palette.inside), palette.wash_edge(palette.inside))
        }
        Tone::Plain => (palette.text, palette.raised, palette.line),
    };
    let shown = Frame::new()
        .fill(fill)
        .stroke(Stroke::new(1.0, edge))
        .corner_radius(CornerRadius::same(6))
        .inner_margin(Margin::symmetric(12, 8))
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            let words = RichText::new(text).color(colour);
            ui.tell(if strong { words.font(crate::theme::bold(15.0)) } else { words });
        })
        .response;
    if tone == Tone::Look {
        shown.widget_info(|| WidgetInfo::labeled(Role::Alert, true, text));
    }
    shown
}
