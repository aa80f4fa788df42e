//! A field for text with its name above it, one line or several, and what was refused of it.

use egui::{Align2, Id, Key, Response, RichText, TextEdit, Ui, vec2};

use super::{Changed, LONGEST_LINE, Tell, Tone, changed, message_ui, told_as_number};
use crate::theme::{Palette, TARGET};

/// No paragraph that a hand types is longer, letters; what may be kept is for the record to say.
const LONGEST_PARAGRAPH: usize = 8_000;

/// A text field with its name; true when Enter left it.
pub(crate) fn text_ui(
    ui: &mut Ui,
    palette: &Palette,
    id: Id,
    name: &str,
    text: &mut String,
    hint: &str,
) -> bool {
    field_ui(ui, palette, id, name, text, hint).1
}

/// Words in lines of their own, which Enter makes.
pub(crate) fn paragraph_ui(
    ui: &mut Ui,
    palette: &Palette,
    id: Id,
    name: &str,
    text: &mut String,
    hint: &str,
) {
    let name = ui.tell(RichText::new(name).color(palette.quiet));
    let edit = TextEdit::multiline(text)
        .id(id)
        .hint_text(hint)
        .desired_rows(3)
        .desired_width(f32::INFINITY)
        .char_limit(LONGEST_PARAGRAPH);
    ui.add(edit).labelled_by(name.id);
}

/// A line for a number; assistive technology is told that it is one.
pub(crate) fn number_ui(
    ui: &mut Ui,
    palette: &Palette,
    id: Id,
    name: &str,
    text: &mut String,
    hint: &str,
) -> bool {
    let (response, entered) = field_ui(ui, palette, id, name, text, hint);
    told_as_number(&response, name, text);
    entered
}

fn field_ui(
    ui: &mut Ui,
    palette: &Palette,
    id: Id,
    name: &str,
    text: &mut String,
    hint: &str,
) -> (Response, bool) {
    let name = ui.tell(RichText::new(name).color(palette.quiet));
    let edit = TextEdit::singleline(text)
        .id(id)
        .hint_text(hint)
        .min_size(vec2(0.0, TARGET))
        .align(Align2::LEFT_CENTER)
        .desired_width(f32::INFINITY)
        .char_limit(LONGEST_LINE);
    let response = ui.add(edit).labelled_by(name.id);
    let entered = response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter));
    if entered {
        // What was typed may be refused: the keyboard stays until the sheet goes.
        response.request_focus();
    }
    (response, entered)
}

/// What was refused, if anything was; it comes into sight once, when it is said.
pub(crate) fn refused_ui(ui: &mut Ui, palette: &Palette, refused: Option<&String>) {
    let news = changed(ui, "what was refused", refused.cloned());
    if let Some(refused) = refused {
        let shown = message_ui(ui, palette, Tone::Look, refused, false);
        if news != Changed::No {
            shown.scroll_to_me(None);
        }
    }
}
