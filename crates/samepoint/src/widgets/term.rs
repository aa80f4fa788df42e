//! A word of the glossary where it stands: what it means on hover, all words at a press.

use egui::{CursorIcon, Label, RichText, Sense, Ui};

use crate::app::Action;
use crate::glossary::meaning;
use crate::ui_command::UiCommand;

/// Shows a text that is about a word of the glossary.
pub fn term_ui(ui: &mut Ui, text: RichText, word: &'static str, actions: &mut Vec<Action>) {
    let label = ui.add(Label::new(text).sense(Sense::click()));
    let about = meaning(word).unwrap_or_default();
    if label.on_hover_text(about).on_hover_cursor(CursorIcon::Help).clicked() {
        actions.push(Action::Do(UiCommand::Glossary));
    }
}
