//! The bottom bar: where the job stands, to be walked in any order.

use egui::{
    Align, Button, Color32, Layout, RichText, Stroke, Ui, WidgetInfo, accesskit::Role, vec2,
};

use super::action::Action;
use crate::shell::layout_size::LayoutSize;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{TellOnHover, keyboard_ring, tip};

/// A step of the job.
#[derive(Clone, Debug, PartialEq)]
pub(crate) struct JobStep {
    /// Its name.
    pub name: &'static str,
    /// Whether it is done.
    pub done: bool,
    /// Whether the hand is at it.
    pub here: bool,
    /// What goes there.
    pub command: UiCommand,
}

/// Shows the bar.
pub(crate) fn bottom_bar_ui(
    ui: &mut Ui,
    palette: &Palette,
    steps: &[JobStep],
    room: LayoutSize,
    actions: &mut Vec<Action>,
) {
    ui.horizontal_centered(|ui| {
        if room == LayoutSize::Small {
            ui.spacing_mut().item_spacing.x = 2.0;
            ui.spacing_mut().button_padding.x = 4.0;
        }
        for step in steps {
            step_ui(ui, palette, step, actions);
        }
        if room == LayoutSize::Small {
            return;
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            for command in [UiCommand::Commands, UiCommand::Keys, UiCommand::Cautions] {
                let text = format!("{} {}", command.text(), command.key_words(ui.ctx()));
                let button = Button::new(RichText::new(text).color(palette.quiet))
                    .fill(palette.ground)
                    .stroke(Stroke::NONE)
                    .min_size(vec2(0.0, TARGET));
                // Where there is no room for all, the list of commands leads to the others.
                if command != UiCommand::Commands && ui.available_width() < 170.0 {
                    continue;
                }
                let shown = ui.add(button).tell_on_hover(command.tip());
                keyboard_ring(ui, palette, &shown);
                if shown.clicked() {
                    actions.push(Action::Do(command));
                }
            }
        });
    });
}

fn step_ui(ui: &mut Ui, palette: &Palette, step: &JobStep, actions: &mut Vec<Action>) {
    let colour = if step.here {
        palette.here
    } else if step.done {
        palette.inside
    } else {
        palette.quiet
    };
    let mark = if step.done { "●" } else { "○" };
    let text = RichText::new(format!("{mark} {}", step.name)).color(colour);
    let edge = if step.here { palette.here } else { Color32::TRANSPARENT };
    let button = Button::new(text)
        .fill(palette.ground)
        .stroke(Stroke::new(1.0, edge))
        .min_size(vec2(0.0, TARGET));
    let shown = ui.add(button).tell_on_hover(tip(ui, step.command));
    keyboard_ring(ui, palette, &shown);
    let state = match (step.done, step.here) {
        (true, true) => "done, here now",
        (true, false) => "done",
        (false, true) => "here now",
        (false, false) => "open",
    };
    let telling = format!("Step {}: {state}", step.name);
    shown.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
    if shown.clicked() {
        actions.push(Action::Do(step.command));
    }
}
