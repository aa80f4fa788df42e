//! A remedy's prediction beside what the round after it measured.

use egui::{Grid, RichText, Ui};

use crate::bench::remedy::lines::ComparedLine;
use crate::theme;
use crate::theme::Palette;
use crate::widgets::Tell;

/// Shows it; nothing where there is none.
pub(crate) fn compared_ui(ui: &mut Ui, palette: &Palette, compared: &[ComparedLine]) {
    if compared.is_empty() {
        return;
    }
    ui.label(RichText::new("The remedy: predicted, measured").font(theme::bold(14.5)));
    let quiet = |text: &str| RichText::new(text).small().color(palette.quiet);
    let figure = |text: &str| RichText::new(text).font(theme::mono(12.0));
    Grid::new("predicted beside measured")
        .num_columns(4)
        .spacing([6.0, 2.0])
        .min_row_height(20.0)
        .show(ui, |ui| {
            for head in ["", "predicted", "measured", "apart"] {
                ui.tell(quiet(head));
            }
            ui.end_row();
            for line in compared {
                ui.tell(quiet(line.name));
                ui.tell(figure(&line.predicted));
                ui.tell(figure(&line.measured));
                ui.tell(figure(&line.difference));
                ui.end_row();
            }
        });
    ui.add_space(6.0);
}
