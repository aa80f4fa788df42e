//! A word of the glossary where it stands: what it means on hover, all words at a press.

use egui::{CursorIcon, Label, Response, RichText, Sense, Ui};
use paper::glossary::meaning;

use crate::ui_command::UiCommand;

/// Shows a text that is about a word of the glossary.
pub fn term_ui<A: From<UiCommand>>(
    ui: &mut Ui,
    text: RichText,
    word: &'static str,
    actions: &mut Vec<A>,
) {
    let label = ui.add(Label::new(text).sense(Sense::click()));
    leads_on(label, word, actions);
}

/// Shows a whole sentence with such a word in it.
pub fn term_sentence_ui<A: From<UiCommand>>(
    ui: &mut Ui,
    sentence: &str,
    word: &'static str,
    actions: &mut Vec<A>,
) {
    let sentence = record::figures::kept_together(sentence);
    leads_on(ui.add(Label::new(sentence).wrap().sense(Sense::click())), word, actions);
}

fn leads_on<A: From<UiCommand>>(label: Response, word: &'static str, actions: &mut Vec<A>) {
    let about = meaning(word).unwrap_or_default();
    if label.on_hover_text(about).on_hover_cursor(CursorIcon::Help).clicked() {
        actions.push(UiCommand::Glossary.into());
    }
}
