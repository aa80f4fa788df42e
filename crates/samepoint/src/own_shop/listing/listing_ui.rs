//! The sheet for a list from a spreadsheet: what it may be, what each row will be, and the way on.

use egui::{Button, RichText, ScrollArea, Ui, vec2};
use record::lists::ListKind;

use super::{ListAction, ListSheet, counted_of, row_words};
use crate::app::action::Action;
use crate::own_shop::OwnAction;
use crate::sheets::keyboard::LOG_BLOCK;
use crate::sheets::parts::{back_ui, first_field};
use crate::sheets::paths::ask_ui;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, Tell, TellOnHover, Tone, message_ui, refused_ui, text_ui};

/// Shows it.
pub(crate) fn listing_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut ListSheet,
    actions: &mut Vec<Action>,
) {
    let path = &mut sheet.path;
    let enter = text_ui(ui, palette, first_field(), "Path of a CSV file", &mut path.path, "");
    ui.horizontal_wrapped(|ui| {
        let read = ui.add(Button::new("Read it").min_size(vec2(80.0, TARGET))).clicked();
        if read || enter {
            push(actions, ListAction::Read);
        }
        ask_ui(ui, palette, path.asking, actions);
    });
    refused_ui(ui, palette, path.refused.as_ref());
    if !sheet.done.is_empty() {
        message_ui(ui, palette, Tone::Plain, &sheet.done, true);
    }
    match &sheet.list {
        None => about_ui(ui, palette),
        Some(_) => rows_ui(ui, palette, sheet),
    }
    let ready = sheet.ready();
    ui.horizontal_wrapped(|ui| {
        let kind = sheet.list.as_ref().map_or(ListKind::Units, |list| list.kind);
        let text = format!("Keep {}", counted_of(ready, kind));
        let text = RichText::new(text).font(theme::bold(14.5));
        let keep = ui.add_enabled(ready > 0, Button::new(text).min_size(vec2(140.0, TARGET)));
        let key = ui.input_mut(|input| input.consume_shortcut(&LOG_BLOCK));
        let tip = "Ctrl+Enter. What is refused or kept already stays as it is; the list can be read again.";
        if keep.tell_on_hover(tip).clicked() || (key && ready > 0) {
            push(actions, ListAction::Keep);
        }
        back_ui(ui, actions);
    });
}

fn push(actions: &mut Vec<Action>, action: ListAction) {
    actions.push(Action::Own(OwnAction::List(action)));
}

/// What a list may be, before one is read.
fn about_ui(ui: &mut Ui, palette: &Palette) {
    let quiet = |ui: &mut Ui, text: &str| {
        ui.add(Label::new(RichText::new(text).small().color(palette.quiet)).wrap());
    };
    quiet(
        ui,
        "A table saved as CSV in UTF-8. Its first row names the columns, in any order; which there are says what it is a \
         list of. Reading shows what each row would be and keeps nothing.",
    );
    for (kind, what) in [
        (ListKind::Units, "Units"),
        (ListKind::Hands, "Hands"),
        (ListKind::Sessions, "Sessions that wait"),
    ] {
        quiet(ui, &format!("{what}: {}", kind.columns().join(", ")));
    }
    quiet(
        ui,
        "Results signed elsewhere are not taken over: without their readings nothing follows from them.",
    );
}

/// What each row will be.
fn rows_ui(ui: &mut Ui, palette: &Palette, sheet: &ListSheet) {
    let Some(list) = &sheet.list else { return };
    let (ready, refused) = (sheet.ready(), list.refused());
    let known = list.rows.len() - ready - refused;
    let mut told = format!("{} new", counted_of(ready, list.kind));
    for (count, what) in [(known, "kept already"), (refused, "refused")] {
        if count > 0 {
            told.push_str(&format!(", {} {what}", paper::words::counted_s(count, "row")));
        }
    }
    ui.tell(RichText::new(told).font(theme::bold(14.5)));
    let room = (ui.available_height() - 48.0).max(60.0);
    ScrollArea::vertical().id_salt("list").max_height(room).show(ui, |ui| {
        for row in &list.rows {
            let (words, look) = row_words(row);
            let colour = if look { palette.look } else { palette.text };
            let text = RichText::new(words).font(theme::mono(13.0)).color(colour);
            ui.add(Label::new(text).wrap());
        }
    });
}
