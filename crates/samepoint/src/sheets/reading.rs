//! Sheets that are only read: keys and cautions.

use egui::{Button, RichText, Ui, vec2};

use super::keyboard::pages;
use super::parts::SheetContext;
use crate::app::action::Action;
use crate::cautions::CAUTIONS;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{Label, Tell};

pub(crate) fn keys_ui(
    ui: &mut Ui,
    palette: &Palette,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    pages(ui, |ui| {
        for command in UiCommand::ALL {
            let key = command.key_words(ui.ctx());
            // What has no key is in the list of commands.
            if key.is_empty() {
                continue;
            }
            key_ui(ui, palette, &key, command.text(), command.tip());
        }
        for (press, pedal) in &context.preferences.pedals {
            let command = pedal.command();
            key_ui(
                ui,
                palette,
                &press.to_string(),
                command.text(),
                "Given under Pedals and read-back.",
            );
        }
        for (key, text, tip) in [
            ("/", "Keypad: other channel", "In a number field, where no number has been begun."),
            ("+", "Keypad: next field", "Likewise. Enter goes on too, and logs behind the last."),
            (
                "* and a key",
                "Keypad: a command",
                "* in a number field shows which; then one more key of the keypad does it.",
            ),
            (
                "0 to 9",
                "Keypad without Num Lock",
                "In the entry row its keys type digits all the same. 5 and the point need Num Lock: without \
                 it nothing tells them from other keys.",
            ),
            ("↑ ↓", "Walk through the readings", "The chosen one is marked on the plot."),
            ("L  R", "Change channel", "In a number field, where letters have no other meaning."),
            ("I  O", "In the box, outside", "Where the station shows no more than that."),
            ("Page ↑ ↓", "Turn a sheet that is only read", "With Ctrl, ten pages."),
            ("Tab", "On to the next control", "Shift with it goes back."),
            ("↑ ↓ Enter", "In the shop: choose a session, look it over", "Page keys go further."),
            ("← →", "In review: a fact back or on", "Home and End: the first and the last."),
        ] {
            key_ui(ui, palette, key, text, tip);
        }
    });
    back_ui(ui, actions);
}

fn key_ui(ui: &mut Ui, palette: &Palette, key: &str, text: &str, tip: &str) {
    ui.horizontal_top(|ui| {
        let key = RichText::new(key).font(theme::mono(13.5)).color(palette.here);
        ui.allocate_ui(vec2(126.0, 34.0), |ui| {
            ui.set_min_width(126.0);
            ui.tell(key);
        });
        ui.vertical(|ui| {
            ui.spacing_mut().item_spacing.y = 1.0;
            ui.tell(text);
            ui.add(Label::new(RichText::new(tip).small().color(palette.quiet)).wrap());
        });
    });
}

pub(crate) fn cautions_ui(ui: &mut Ui, actions: &mut Vec<Action>) {
    pages(ui, |ui| {
        for caution in CAUTIONS {
            ui.horizontal_top(|ui| {
                ui.label("•");
                ui.add(Label::new(caution).wrap());
            });
        }
    });
    back_ui(ui, actions);
}

fn back_ui(ui: &mut Ui, actions: &mut Vec<Action>) {
    if ui.add(Button::new("Back to the log").min_size(vec2(120.0, TARGET))).clicked() {
        actions.push(Action::Do(UiCommand::Back));
    }
}
