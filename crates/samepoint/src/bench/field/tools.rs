//! What can be done with the plot as a whole: fit, measure, copy, save.

use egui::{Button, Ui, vec2};

use crate::app::action::Action;
use crate::plot::FieldView;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{TellOnHover, tip};

/// Shows the tools, from the right.
pub(crate) fn plot_tools_ui(
    ui: &mut Ui,
    palette: &Palette,
    view: &FieldView,
    actions: &mut Vec<Action>,
) {
    let button = Button::new("Fit").min_size(vec2(48.0, TARGET));
    let fit = tip(ui, UiCommand::Fit);
    if ui.add(button).tell_on_hover(fit).clicked() {
        actions.push(Action::Do(UiCommand::Fit));
    }
    let measuring = view.measured().is_some();
    let button = Button::new("Measure")
        .fill(if measuring { palette.line } else { palette.ground })
        .min_size(vec2(72.0, TARGET));
    let measure = tip(ui, UiCommand::Measure);
    if ui.add(button).tell_on_hover(measure).clicked() {
        actions.push(Action::Do(UiCommand::Measure));
    }
    ui.menu_button("Picture", |ui| {
        for command in [UiCommand::CopySvg, UiCommand::CopyPng, UiCommand::SavePicture] {
            let key = command.shortcut().map(|key| ui.ctx().format_shortcut(&key));
            let button = Button::new(command.text())
                .shortcut_text(key.unwrap_or_default())
                .min_size(vec2(220.0, TARGET));
            if ui.add(button).tell_on_hover(command.tip()).clicked() {
                actions.push(Action::Do(command));
                ui.close();
            }
        }
    });
}
