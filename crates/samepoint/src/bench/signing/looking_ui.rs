//! The looking test: what was seen at a far point, beside the cautions for it.

use egui::{Button, Id, RichText, Stroke, Ui, vec2};
use record::fact::LookingResult;

use super::{LookingSheet, RESULT_LETTERS};
use crate::app::action::Action;
use crate::bench::confirm::picture::ConfirmView;
use crate::sheets::parts::{buttons_ui, first_field};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{
    Label, TellOnHover, Tone, keyboard_ring, message_ui, number_ui, refused_ui, take_commands,
    text_ui,
};

/// The caution that belongs beside it, first of all.
const CAUTION: &str = "Stand still, after dark, no bright lights in view. Do not walk or drive. Stop \
                       on headache or lasting double vision.";

const RESULTS: [(LookingResult, &str, &str); 3] = [
    (LookingResult::Fused, "Fused", "One image. It passes nothing: eyes fuse far too much."),
    (LookingResult::Double, "Double", "Two images: a pass becomes undecided."),
    (LookingResult::Stopped, "Broken off", "Headache or lasting double vision: as double."),
];

/// In the field of the distance, where no letter has another meaning, each result has one: what was seen is
/// noted without leaving the row of digits. Before a number is begun the letter is taken; behind one it stays in
/// sight until the sheet is noted, so that a letter among digits is refused with them.
fn take_letters(ui: &Ui, sheet: &mut LookingSheet) {
    let begins = sheet.distance.trim().is_empty();
    if begins && ui.memory(|memory| memory.has_focus(first_field())) {
        for letter in take_commands(ui, &RESULT_LETTERS) {
            note_letter(sheet, letter);
        }
    }
}

fn note_letter(sheet: &mut LookingSheet, letter: char) {
    let places = RESULT_LETTERS.iter().zip(RESULTS);
    for (_, (result, ..)) in places.filter(|(own, _)| own.eq_ignore_ascii_case(&letter)) {
        sheet.result = Some(result);
        sheet.refused = None;
    }
}

pub(crate) fn looking_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut LookingSheet,
    confirm: Option<&ConfirmView>,
    actions: &mut Vec<Action>,
) {
    message_ui(ui, palette, Tone::Look, CAUTION, false);
    if let Some(shows) = sheet.shows {
        let words =
            format!("Practice. Through the invented unit at a far point: {}", shows.words());
        message_ui(ui, palette, Tone::Plain, &words, true);
    }
    if let Some(confirm) = confirm {
        ui.add(Label::new(RichText::new(&confirm.far_point).color(palette.quiet)).wrap());
    }
    take_letters(ui, sheet);
    let before = sheet.distance.clone();
    let mut enter = number_ui(
        ui,
        palette,
        first_field(),
        "Distance of the point, m",
        &mut sheet.distance,
        "as well as it is known; F, D or B: fused, double, broken off",
    );
    if sheet.distance != before
        && let Some(letter) = sheet.distance.trim().chars().next_back()
    {
        note_letter(sheet, letter);
    }
    ui.horizontal(|ui| {
        for (result, text, tip) in RESULTS {
            let chosen = sheet.result == Some(result);
            let edge = if chosen { palette.here } else { palette.edge };
            let button = Button::new(RichText::new(text).font(theme::bold(15.0)))
                .selected(chosen)
                .fill(if chosen { palette.line } else { palette.raised })
                .stroke(Stroke::new(if chosen { 2.0 } else { 1.0 }, edge))
                .min_size(vec2(112.0, TARGET));
            let shown = ui.add(button).tell_on_hover(tip);
            keyboard_ring(ui, palette, &shown);
            if shown.clicked() {
                sheet.distance = sheet.metres().to_owned();
                sheet.result = Some(result);
                sheet.refused = None;
            }
        }
    });
    let field = |name: &'static str| Id::unique(("looking", name));
    enter |= text_ui(
        ui,
        palette,
        field("observer"),
        "Who looked",
        &mut sheet.observer,
        "empty: the hand that logs",
    );
    enter |= text_ui(ui, palette, field("note"), "In their words", &mut sheet.note, "");
    if std::mem::take(&mut sheet.come_back) {
        ui.memory_mut(|memory| memory.request_focus(first_field()));
    }
    refused_ui(ui, palette, sheet.refused.as_ref());
    if buttons_ui(ui, "Note it", actions) || enter {
        actions.push(Action::LookedNow);
    }
}
