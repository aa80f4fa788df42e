//! A word of the glossary where it stands: what it means on hover, all words at a press.

use egui::{CursorIcon, Label, Response, RichText, Sense, Ui};
use paper::glossary::meaning;

use super::TellOnHover as _;
use crate::ui_command::UiCommand;

/// Shows a text that is about a word of the glossary.
pub(crate) fn term_ui<A: From<UiCommand>>(
    ui: &mut Ui,
    text: RichText,
    word: &'static str,
    actions: &mut Vec<A>,
) {
    let label = ui.add(Label::new(text).sense(Sense::click()));
    leads_to_words(label, word, "", actions);
}

/// Shows a whole sentence with such a word in it.
pub(crate) fn term_sentence_ui<A: From<UiCommand>>(
    ui: &mut Ui,
    sentence: &str,
    word: &'static str,
    actions: &mut Vec<A>,
) {
    term_sentence_as_ui(ui, sentence, |text| text, word, actions);
}

/// The same in another look.
pub(crate) fn term_sentence_as_ui<A: From<UiCommand>>(
    ui: &mut Ui,
    sentence: &str,
    look: impl FnOnce(RichText) -> RichText,
    word: &'static str,
    actions: &mut Vec<A>,
) {
    let text = look(RichText::new(record::figures::kept_together(sentence)));
    let label = ui.add(Label::new(text).wrap().sense(Sense::click()));
    leads_to_words(label, word, "", actions);
}

/// What is shown, and can be pressed, is about a word of the glossary: its meaning and a sentence more on
/// hover, all words at a press.
pub(crate) fn leads_to_words<A: From<UiCommand>>(
    shown: Response,
    word: &'static str,
    more: &str,
    actions: &mut Vec<A>,
) {
    let about = [meaning(word).unwrap_or_default(), more].join(" ");
    if shown.tell_on_hover(about.trim_end()).on_hover_cursor(CursorIcon::Help).clicked() {
        actions.push(UiCommand::Glossary.into());
    }
}
