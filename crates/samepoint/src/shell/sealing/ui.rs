//! With which key something is sealed, and where the seal stands.

use crate::widgets::{refused_ui, text_ui};
use egui::{Button, Id, RichText, Ui, vec2};

use super::choice::SealChoice;
use super::running::{RunningSeal, SealProgress};
use crate::sealing::KeyOffer;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{Label, TellOnHover, Tone, message_ui, tip};

/// What is asked for where a key is chosen.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) enum SealAsk {
    /// Enter left the key's file.
    Enter,
    /// A file dialog for the private part of this key.
    KeyFile(String),
}

/// With which key a hand seals, if it does.
pub(crate) fn seal_choice_ui(
    ui: &mut Ui,
    palette: &Palette,
    choice: &mut SealChoice,
    hand: &str,
    key_file: Id,
) -> Option<SealAsk> {
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
    let chosen = choice.key(hand).map(|key| key.fingerprint.clone())?;
    let hint = "empty: your agent holds it";
    let enter = text_ui(ui, palette, key_file, "Key file", choice.file_mut(&chosen), hint);
    let mut asked = enter.then_some(SealAsk::Enter);
    if choice.is_asking() {
        ui.label(RichText::new("The file dialog is open…").color(palette.quiet));
    } else if ui.add(Button::new("Choose the key file…").min_size(vec2(0.0, TARGET))).clicked() {
        asked = Some(SealAsk::KeyFile(chosen));
    }
    refused_ui(ui, palette, choice.refused());
    asked
}

/// Where a seal stands, and what can be done about it: the command asked for.
pub(crate) fn seal_progress_ui(
    ui: &mut Ui,
    palette: &Palette,
    running: Option<&RunningSeal>,
) -> Option<UiCommand> {
    let running = running?;
    let (tone, told) = running.told();
    message_ui(ui, palette, tone, &told, true);
    let (text, command) = match running.progress {
        SealProgress::Waiting(_) => ("Stop waiting", UiCommand::Back),
        SealProgress::Not(_) => (UiCommand::Seal.text(), UiCommand::Seal),
        _ => return None,
    };
    let button = Button::new(text).min_size(vec2(110.0, TARGET));
    let tip = tip(ui, command);
    ui.add(button).tell_on_hover(tip).clicked().then_some(command)
}
