//! The verdict in large words.

use egui::{RichText, Ui, WidgetInfo, accesskit::Role};

use super::Tell;
use super::Tone;
use crate::theme::{self, Palette};

/// Shows a verdict's word, legible from two metres.
pub fn verdict_ui(ui: &mut Ui, palette: &Palette, tone: Tone, word: &str) {
    let colour = match tone {
        Tone::Good => palette.inside,
        Tone::Look => palette.look,
        Tone::Plain => palette.quiet,
    };
    let size = (ui.available_width() / 7.0).clamp(34.0, 54.0);
    let shown = ui.tell(RichText::new(word).font(theme::bold(size)).color(colour));
    let telling = format!("Verdict: {word}");
    shown.widget_info(|| WidgetInfo::labeled(Role::Label, true, &telling));
}
