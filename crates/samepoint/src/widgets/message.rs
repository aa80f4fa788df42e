//! A sentence that must be seen, on its own ground.

use egui::{
    Color32, CornerRadius, FontId, Frame, Margin, Pos2, Response, RichText, Stroke, Ui, WidgetInfo,
    accesskit::Role, pos2, vec2,
};
use paper::style::Marker;

use super::Tell;
use super::chart::{ChartInk, ChartPen, marker};
use crate::theme::{BODY, Palette, bold};

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

/// Shows a sentence, bold when it is the answer; announced to assistive technology. What is to be looked at
/// has square corners, a thick edge and a filled triangle; what is good has round corners and a tick: colour
/// is never all that tells them apart.
pub fn message_ui(
    ui: &mut Ui,
    palette: &Palette,
    tone: Tone,
    text: &str,
    strong: bool,
) -> Response {
    let font = if strong { bold(15.0) } else { FontId::proportional(BODY) };
    message_of_size_ui(ui, palette, tone, text, font)
}

/// The same in letters of this size.
pub(crate) fn message_of_size_ui(
    ui: &mut Ui,
    palette: &Palette,
    tone: Tone,
    text: &str,
    font: FontId,
) -> Response {
    let size = font.size;
    let (colour, fill, edge) = match tone {
        Tone::Look => (palette.look, palette.wash(palette.look), palette.look),
        Tone::Good => {
            (palette.inside, palette.wash(palette.inside), palette.wash_edge(palette.inside))
        }
        Tone::Plain => (palette.text, palette.raised, palette.line),
    };
    // As large whatever the tone: the mark stands in the margin, and an edge takes room of its own.
    let (corner, thick, margin) = match tone {
        Tone::Look => (0, 2.0, Margin { left: 18, right: 4, top: 7, bottom: 7 }),
        Tone::Good => (10, 1.0, Margin { left: 19, right: 5, top: 8, bottom: 8 }),
        Tone::Plain => (6, 1.0, Margin::symmetric(12, 8)),
    };
    let shown = Frame::new()
        .fill(fill)
        .stroke(Stroke::new(thick, edge))
        .corner_radius(CornerRadius::same(corner))
        .inner_margin(margin)
        .show(ui, |ui| {
            ui.set_width(ui.available_width());
            ui.tell(RichText::new(text).color(colour).font(font))
        });
    let line = shown.inner.rect.top() + 0.6 * size;
    let middle = pos2(shown.response.rect.left() + 10.5, line);
    mark(ui, tone, middle, colour);
    let shown = shown.response;
    if tone == Tone::Look {
        shown.widget_info(|| WidgetInfo::labeled(Role::Alert, true, text));
    }
    shown
}

/// The mark of a tone, beside the first line.
fn mark(ui: &Ui, tone: Tone, at: Pos2, colour: Color32) {
    match tone {
        Tone::Look => marker(ui.painter(), at, Marker::Triangle, 4.0, ChartInk::Filled(colour)),
        Tone::Good => {
            let tick = [vec2(-4.0, 0.0), vec2(-1.0, 3.5), vec2(4.5, -4.0)].map(|point| at + point);
            ChartPen::new(2.0, colour).draw(ui.painter(), &tick);
        }
        Tone::Plain => {}
    }
}
