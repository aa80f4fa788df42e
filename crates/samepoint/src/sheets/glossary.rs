//! The words of the trade and of this program, each with what it means.

use egui::{Button, Label, RichText, Ui, vec2};

use super::keyboard::pages;
use crate::app::action::Action;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use paper::glossary::TERMS;

pub(crate) fn glossary_ui(ui: &mut Ui, palette: &Palette, actions: &mut Vec<Action>) {
    pages(ui, |ui| {
        for term in TERMS {
            ui.label(RichText::new(term.word).font(theme::bold(14.5)));
            ui.add(Label::new(RichText::new(term.meaning).color(palette.quiet)).wrap());
            ui.add_space(3.0);
        }
    });
    if ui.add(Button::new("Back to the log").min_size(vec2(120.0, TARGET))).clicked() {
        actions.push(Action::Do(UiCommand::Back));
    }
}
