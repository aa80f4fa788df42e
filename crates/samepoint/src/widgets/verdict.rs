//! The verdict in large words.

use egui::{RichText, Ui, WidgetInfo, accesskit::Role};

use super::{Tell, Tone};
use crate::theme;
use crate::theme::Palette;

/// Shows a verdict's word, legible from two metres.
pub(crate) fn verdict_ui(ui: &mut Ui, palette: &Palette, tone: Tone, word: &str) {
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

/// Shows in a line that there is no verdict yet.
pub(crate) fn verdict_line_ui(ui: &mut Ui, palette: &Palette, word: &str) {
    let shown = ui.tell(RichText::new(word).font(theme::bold(15.0)).color(palette.quiet));
    let telling = format!("Verdict: {word}");
    shown.widget_info(|| WidgetInfo::labeled(Role::Label, true, &telling));
}
