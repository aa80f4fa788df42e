//! What the log points at: below the readings, with what can be done about each.

use egui::{Button, ScrollArea, Ui, vec2};

use super::callout::Callout;
use crate::app::action::Action;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{TellOnHover, message_ui, tip};

/// Shows them, scrolling beyond a height.
pub(crate) fn callouts_ui(
    ui: &mut Ui,
    palette: &Palette,
    callouts: &[Callout],
    height: f32,
    actions: &mut Vec<Action>,
) {
    // As tall as its words up to that height: what can be done about them must be in sight.
    let area = ScrollArea::vertical().id_salt("callouts").max_height(height);
    area.min_scrolled_height(height).show(ui, |ui| {
        for callout in callouts {
            message_ui(ui, palette, callout.tone, &callout.text, false);
            if !callout.commands.is_empty() {
                ui.horizontal_wrapped(|ui| commands_ui(ui, &callout.commands, actions));
            }
        }
    });
}

fn commands_ui(ui: &mut Ui, commands: &[UiCommand], actions: &mut Vec<Action>) {
    for &command in commands {
        let button = Button::new(command.text())
            .shortcut_text(command.key_words(ui.ctx()))
            .min_size(vec2(0.0, TARGET));
        if ui.add(button).tell_on_hover(tip(ui, command)).clicked() {
            actions.push(Action::Do(command));
        }
    }
}
