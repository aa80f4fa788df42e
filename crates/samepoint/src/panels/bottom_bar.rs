//! The bottom bar: where the job stands, to be walked in any order, and the last notice.

use egui::{
    Align, Button, Color32, Layout, RichText, Stroke, Ui, WidgetInfo, accesskit::Role, vec2,
};

use crate::app::Action;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;

/// A step of the job.
#[derive(Clone, Debug, PartialEq)]
pub struct Step {
    /// Its name.
    pub name: &'static str,
    /// What the step is, in one sentence.
    pub tip: &'static str,
    /// Whether it is done.
    pub done: bool,
    /// Whether the hand is at it.
    pub here: bool,
    /// What pressing it does.
    pub action: Action,
}

/// Shows the bar.
pub fn bottom_bar_ui(
    ui: &mut Ui,
    palette: &Palette,
    steps: &[Step],
    notice: Option<&str>,
    actions: &mut Vec<Action>,
) {
    ui.horizontal_centered(|ui| {
        for step in steps {
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
                .min_size(vec2(92.0, TARGET));
            let shown = ui.add(button).on_hover_text(step.tip);
            let state = match (step.done, step.here) {
                (true, true) => "done, here now",
                (true, false) => "done",
                (false, true) => "here now",
                (false, false) => "open",
            };
            let telling = format!("Step {}: {state}", step.name);
            shown.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
            if shown.clicked() {
                actions.push(step.action.clone());
            }
        }
        ui.add_space(12.0);
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            for command in [UiCommand::Keys, UiCommand::Cautions] {
                let key = command.key_words(ui.ctx());
                let text = RichText::new(format!("{} {key}", command.text())).color(palette.quiet);
                let button = Button::new(text)
                    .fill(palette.ground)
                    .stroke(Stroke::NONE)
                    .min_size(vec2(0.0, TARGET));
                if ui.add(button).on_hover_text(command.tip()).clicked() {
                    actions.push(Action::Do(command));
                }
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                if let Some(notice) = notice {
                    let text = RichText::new(notice).color(palette.text);
                    ui.add(egui::Label::new(text).truncate()).on_hover_text(notice);
                }
            });
        });
    });
}
