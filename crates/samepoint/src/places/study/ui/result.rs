//! What a study tells once its table is full.

use egui::{Grid, RichText, Ui};
use record::NamedWindow;

use super::chart::chart_ui;
use crate::places::study::OpenStudy;
use crate::places::study::picture::{AxisView, StudyView, window_words};
use crate::theme;
use crate::theme::Palette;
use crate::widgets::{Label, Tell};

pub(crate) fn result_ui(
    ui: &mut Ui,
    palette: &Palette,
    open: &OpenStudy,
    window: Option<&NamedWindow>,
) {
    let picture = open.picture();
    for axis in &picture.axes {
        axis_ui(ui, palette, picture, axis);
    }
    if let Some(window) = window {
        for words in window_words(open.study(), window) {
            ui.add(Label::new(words).wrap());
        }
    }
    if !picture.axes.is_empty() {
        let source = "After AIAG, Measurement Systems Analysis, 4th ed. (2010), chapter III \
                      section B; the two ways may differ, so each is named.";
        ui.add(Label::new(RichText::new(source).small().color(palette.quiet)).wrap());
        ui.add_space(8.0);
    }
}

fn axis_ui(ui: &mut Ui, palette: &Palette, picture: &StudyView, axis: &AxisView) {
    let name = if axis.axis == record::Axis::X { "Across, x" } else { "Up, y" };
    ui.tell(RichText::new(name).font(theme::bold(15.0)));
    for words in &axis.told {
        ui.add(Label::new(words).wrap());
    }
    Grid::new(("study parts", axis.axis)).num_columns(3).spacing([18.0, 4.0]).show(ui, |ui| {
        for head in ["", "standard deviation", "of all"] {
            ui.tell(RichText::new(head).small().color(palette.quiet));
        }
        ui.end_row();
        for [name, deviation, share] in &axis.parts {
            ui.tell(name);
            // A monospaced face: blanks in front align the numbers to the right.
            ui.tell(RichText::new(format!("{deviation:>16}")).font(theme::mono(13.5)));
            ui.tell(RichText::new(format!("{share:>6}")).font(theme::mono(13.5)));
            ui.end_row();
        }
    });
    chart_ui(ui, palette, picture, axis);
    ui.add_space(8.0);
}
