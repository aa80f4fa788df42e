//! What is asked and told above everything else about the working day: who is at the bench, what the hand
//! before left to be read, and whether anything was touched while work rested.

use egui::{Button, Key, RichText, TextEdit, Ui, vec2};
use paper::words::form_for;
use record::{Handover, Rested};

use super::DayAction;
use crate::app::action::Action;
use crate::shell::who::{Who, who_field};
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{Tell, TellOnHover, Tone, message_ui, select_all, tip};

/// Who is at the bench? Initials, or one of those the shop lists.
pub(crate) fn who_ui(
    ui: &mut Ui,
    palette: &Palette,
    who: &mut Who,
    hands: &[String],
    actions: &mut Vec<Action>,
) {
    ui.horizontal_wrapped(|ui| {
        let name = ui.tell(RichText::new("Who are you?").color(palette.text));
        let edit = TextEdit::singleline(&mut who.typed)
            .id(who_field())
            .hint_text("initials")
            .char_limit(24)
            .desired_width(72.0)
            .min_size(vec2(0.0, TARGET))
            .align(egui::Align2::LEFT_CENTER);
        let focused = ui.memory(egui::Memory::focused).filter(|id| *id != who_field());
        let field = ui.add(edit).labelled_by(name.id);
        who.has_keyboard = field.has_focus();
        let field = field.tell_on_hover(
            "What is logged, noted or signed from here on bears these initials. Enter answers; Esc goes \
             back to where you were.",
        );
        if field.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
            actions.push(Action::Day(DayAction::Hand(who.typed.clone())));
        }
        if std::mem::take(&mut who.take_keyboard) {
            who.before = focused.or(who.before);
            who.has_keyboard = true;
            field.request_focus();
            ui.request_repaint();
            select_all(ui.ctx(), who_field());
        }
        for hand in hands {
            if ui.add(Button::new(hand).min_size(vec2(TARGET, TARGET))).clicked() {
                actions.push(Action::Day(DayAction::Hand(hand.clone())));
            }
        }
        let key = UiCommand::Who.key_words(ui.ctx());
        let told = format!("Until you say so nothing is added. {key} comes here.");
        ui.tell(RichText::new(told).small().color(palette.quiet));
    });
    if let Some(refused) = &who.refused {
        message_ui(ui, palette, Tone::Look, refused, false);
    }
}

/// What the hand before left to be read.
pub(crate) fn handover_strip_ui(
    ui: &mut Ui,
    palette: &Palette,
    handover: &Handover,
    more: usize,
    actions: &mut Vec<Action>,
) {
    let others = match more {
        0 => String::new(),
        more => form_for(
            more,
            " One more waits behind it.".to_owned(),
            format!(" {more} more wait behind it."),
        ),
    };
    let text = format!(
        "Handover by {}, {} {}: {}.{others}",
        handover.hand,
        handover.time.date(),
        handover.time.time_of_day().get(..5).unwrap_or_default(),
        handover.text.trim_end_matches('.')
    );
    message_ui(ui, palette, Tone::Plain, &text, false);
    command_ui(ui, "I have read it", UiCommand::HandoverRead, actions);
}

/// That a supervisor sent the session back: it stands there until it is signed anew.
pub(crate) fn returned_strip_ui(ui: &mut Ui, palette: &Palette, words: &str) {
    message_ui(ui, palette, Tone::Look, words, false);
}

/// Whether anything but rings was touched since the last reading.
pub(crate) fn rested_ui(
    ui: &mut Ui,
    palette: &Palette,
    rested: &Rested,
    in_force: &str,
    actions: &mut Vec<Action>,
) {
    let text = format!(
        "The last reading of this round was taken {} ago, on {} at {}, by {}{in_force}. Was the unit moved, \
         a dioptre or a lock touched since?",
        rested.long(),
        rested.since.date(),
        rested.since.time_of_day().get(..5).unwrap_or_default(),
        rested.hand,
    );
    message_ui(ui, palette, Tone::Look, &text, false);
    ui.horizontal_wrapped(|ui| {
        command_ui(ui, "Yes: a new round", UiCommand::Touched, actions);
        command_ui(ui, "No, nothing was touched", UiCommand::Untouched, actions);
    });
}

fn command_ui(ui: &mut Ui, text: &str, command: UiCommand, actions: &mut Vec<Action>) {
    let shown = ui.add(Button::new(text).min_size(vec2(0.0, TARGET)));
    let about = tip(ui, command);
    if shown.tell_on_hover(about).clicked() {
        actions.push(Action::Do(command));
    }
}
