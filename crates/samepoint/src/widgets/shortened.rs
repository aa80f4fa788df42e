//! Texts from outside in places of one line: shortened with `…` where there is no room, whole on hover,
//! and whole for a screen reader.

use std::borrow::Cow;

use egui::{Button, Response, RichText, Sense, TextStyle, Ui, vec2};

use super::{Label, TellOnHover};
use crate::theme::TARGET;

/// The most letters of a name that stands among others on a line.
const NAME_LETTERS: usize = 32;

/// A name that stands among others on a line, its end left away where it is long.
#[must_use]
pub(crate) fn cut(name: &str) -> Cow<'_, str> {
    match name.char_indices().nth(NAME_LETTERS) {
        None => Cow::Borrowed(name),
        Some((end, _)) => Cow::Owned(format!("{}…", name.get(..end).unwrap_or_default())),
    }
}

/// The most letters of a place that stands in a sentence.
const PLACE_LETTERS: usize = 44;

/// A place on the disk, its beginning left away where it is long: the name of the file is what is looked for.
#[must_use]
pub(crate) fn cut_place(place: &str) -> Cow<'_, str> {
    let letters = place.chars().count();
    if letters <= PLACE_LETTERS {
        return Cow::Borrowed(place);
    }
    let from = place.char_indices().nth(letters - PLACE_LETTERS).map_or(0, |(at, _)| at);
    let end = place.get(from..).unwrap_or(place);
    // From a folder's name on, where one begins there.
    let end = end.find(std::path::is_separator).map_or(end, |at| end.get(at..).unwrap_or(end));
    Cow::Owned(format!("…{end}"))
}

/// Shows words on one line, no wider than `most` points.
pub(crate) fn shortened_ui(ui: &mut Ui, words: RichText, most: f32) -> Response {
    shortened_label_ui(ui, Label::new(words), most)
}

/// The same of words that can be pressed.
pub(crate) fn shortened_term_ui(ui: &mut Ui, words: RichText, most: f32) -> Response {
    shortened_label_ui(ui, Label::new(words).sense(Sense::click()), most)
}

fn shortened_label_ui(ui: &mut Ui, label: Label, most: f32) -> Response {
    // The toolkit's own label shows on hover what was left out.
    ui.scope(|ui| {
        ui.set_max_width(most.min(ui.available_width()).max(0.0));
        ui.add(label.truncate())
    })
    .inner
}

/// Shows a button of one line, at least `least` points wide and no wider than there is room.
pub(crate) fn shortened_button_ui(ui: &mut Ui, words: &str, least: f32) -> Response {
    let font = TextStyle::Button.resolve(ui.style());
    let colour = ui.visuals().text_color();
    let whole = ui.painter().layout_no_wrap(words.to_owned(), font, colour).size().x;
    // A menu grows with what is in it; no wider than most of the window.
    let most = ui.available_width().min(0.8 * ui.ctx().content_rect().width());
    let room = most - 2.0 * ui.spacing().button_padding.x;
    let button = Button::new(words).min_size(vec2(least.min(most), TARGET));
    if whole <= room {
        return ui.add(button);
    }
    let shown = ui.scope(|ui| {
        ui.set_max_width(most);
        ui.add(button.truncate())
    });
    shown.inner.tell_on_hover(words)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_long_place_keeps_its_end_from_a_folder_on() {
        assert_eq!(cut_place("/home/kt/0171.pdf"), "/home/kt/0171.pdf");
        let long = format!("/home/{}/shop/sessions/0171.pdf", "a".repeat(60));
        assert_eq!(cut_place(&long), "…/shop/sessions/0171.pdf");
        // A file's name without end is cut, too.
        let name = cut_place(&"ä".repeat(200)).chars().count();
        assert_eq!(name, PLACE_LETTERS + 1);
    }
}
