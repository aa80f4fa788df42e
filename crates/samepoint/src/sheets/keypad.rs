//! Which key of the keypad gives which command.

use egui::{Button, RichText, Ui, vec2};

use super::parts::SheetContext;
use crate::app::action::Action;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{Label, TellOnHover};

/// What one more key of the keypad does behind `*`.
pub(crate) const KEYPAD: [(char, UiCommand); 13] = [
    ('0', UiCommand::Undo),
    ('1', UiCommand::AsFound),
    ('2', UiCommand::Logging),
    ('3', UiCommand::Meet),
    ('4', UiCommand::Confirm),
    ('5', UiCommand::NextCheck),
    ('6', UiCommand::ConfirmLock),
    ('7', UiCommand::ConfirmReseated),
    ('8', UiCommand::SwingStop),
    ('9', UiCommand::DioptresZero),
    ('.', UiCommand::BenchMode),
    ('/', UiCommand::Choose),
    ('+', UiCommand::NextPlace),
];

pub(crate) fn keypad_ui(
    ui: &mut Ui,
    palette: &Palette,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let words = "Press one more key of the keypad; * or Enter goes back.";
    ui.add(Label::new(RichText::new(words).color(palette.quiet)).wrap());
    ui.spacing_mut().item_spacing.y = 2.0;
    for (key, command) in KEYPAD {
        let unavailable = context.unavailable(command);
        let colour = if unavailable.is_some() { palette.quiet } else { palette.text };
        ui.horizontal(|ui| {
            let key = RichText::new(key).font(theme::mono(17.0)).color(palette.here);
            ui.add_sized(vec2(24.0, TARGET), Label::new(key));
            let width = ui.available_width();
            let button = Button::new(RichText::new(command.text()).color(colour))
                .min_size(vec2(width, TARGET));
            let tip = unavailable.unwrap_or(command.tip());
            if ui.add(button).tell_on_hover(tip).clicked() {
                actions.push(Action::Run(command));
            }
        });
    }
    ui.add_space(4.0);
    let back = Button::new("Back to the log").min_size(vec2(120.0, TARGET));
    if ui.add(back).clicked() {
        actions.push(Action::Do(UiCommand::Back));
    }
}
