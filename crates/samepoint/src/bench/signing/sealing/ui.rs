//! Sealing: with which key, and where the seal stands; on a sheet of its own for what was signed earlier.

use egui::{Button, Id, RichText, Ui, vec2};

use super::SealSheet;
use super::choice::SealChoice;
use super::running::{Progress, Running};
use crate::app::action::Action;
use crate::app::top_bar::tip;
use crate::sealing::KeyOffer;
use crate::sheets::parts::{back_ui, buttons_ui, first_field, refused_ui, text_ui};
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{Label, TellOnHover, Tone, message_ui};

/// With which key a hand seals, if it does; true when Enter left the key's file.
pub(crate) fn seal_choice_ui(
    ui: &mut Ui,
    palette: &Palette,
    choice: &mut SealChoice,
    hand: &str,
    key_file: Id,
    actions: &mut Vec<Action>,
) -> bool {
    let offered: Vec<KeyOffer> = choice.offered(hand).into_iter().cloned().collect();
    let chosen = choice.key(hand).map(|key| key.fingerprint.clone());
    if !offered.is_empty() {
        ui.horizontal_wrapped(|ui| {
            let unsealed = Button::selectable(chosen.is_none(), "Not sealed");
            let tip = "Signed by its initials alone; it can be sealed later.";
            if !choice.is_only_to_seal()
                && ui.add(unsealed.min_size(vec2(0.0, TARGET))).tell_on_hover(tip).clicked()
            {
                choice.choose(None);
            }
            for key in &offered {
                let is_chosen = chosen.as_ref() == Some(&key.fingerprint);
                let text = format!("Seal with {}", key.words);
                let button = Button::selectable(is_chosen, text).min_size(vec2(0.0, TARGET));
                if ui.add(button).tell_on_hover(&key.fingerprint).clicked() {
                    choice.choose(Some(key.fingerprint.clone()));
                }
            }
        });
    }
    for (tone, said) in choice.sentences(hand) {
        let colour = if tone == Tone::Look { palette.look } else { palette.quiet };
        ui.add(Label::new(RichText::new(said).small().color(colour)).wrap());
    }
    let Some(chosen) = choice.key(hand).map(|key| key.fingerprint.clone()) else { return false };
    let hint = "empty: your agent holds it";
    let enter = text_ui(ui, palette, key_file, "Key file", choice.file_mut(&chosen), hint);
    if choice.is_asking() {
        ui.label(RichText::new("The file dialog is open…").color(palette.quiet));
    } else if ui.add(Button::new("Choose the key file…").min_size(vec2(0.0, TARGET))).clicked() {
        actions.push(Action::AskKey(chosen));
    }
    refused_ui(ui, palette, choice.refused());
    enter
}

/// Where a seal stands, and what can be done about it.
pub(crate) fn seal_progress_ui(
    ui: &mut Ui,
    palette: &Palette,
    running: Option<&Running>,
    actions: &mut Vec<Action>,
) {
    let Some(running) = running else { return };
    let (tone, told) = running.told();
    message_ui(ui, palette, tone, &told, true);
    let (text, command) = match running.progress {
        Progress::Waiting(_) => ("Stop waiting", UiCommand::Back),
        Progress::Not(_) => (UiCommand::Seal.text(), UiCommand::Seal),
        _ => return,
    };
    let button = Button::new(text).min_size(vec2(110.0, TARGET));
    let tip = tip(ui, command);
    if ui.add(button).tell_on_hover(tip).clicked() {
        actions.push(Action::Do(command));
    }
}

/// Seals what was signed or answered earlier.
pub(crate) fn seal_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut SealSheet,
    running: Option<&Running>,
    actions: &mut Vec<Action>,
) {
    let name = crate::places::review::other::name_of(&sheet.path);
    let what = &sheet.what;
    let told = format!(
        "{name}: {} by {} on {}, fact {}, and not sealed.",
        what.word,
        record::shown::one_line(what.hand.trim()),
        what.day,
        what.seq
    );
    ui.add(Label::new(told).wrap());
    let about = "A seal is an OpenSSH signature over that line and all before it, by a key that the shop \
                 lists for this hand. ssh-keygen makes it; nothing here sees a private key.";
    ui.add(Label::new(RichText::new(about).small().color(palette.quiet)).wrap());
    ui.add_space(4.0);
    if let Some(running) = running.filter(|seal| seal.path == sheet.path) {
        seal_progress_ui(ui, palette, Some(running), actions);
        if running.is_going_on() || matches!(running.progress, Progress::Sealed(_)) {
            ui.add_space(4.0);
            back_ui(ui, actions);
            return;
        }
    }
    let enter =
        seal_choice_ui(ui, palette, &mut sheet.seal, &sheet.what.hand, first_field(), actions);
    if std::mem::take(&mut sheet.come_back) {
        ui.memory_mut(|memory| memory.request_focus(first_field()));
    }
    refused_ui(ui, palette, sheet.refused.as_ref());
    if sheet.seal.key(&sheet.what.hand).is_none() {
        ui.add_space(4.0);
        back_ui(ui, actions);
    } else if buttons_ui(ui, "Seal it", actions) || enter {
        actions.push(Action::SealNow);
    }
}
