//! The room everything else serves: the field plot with its one line of explanation.

use egui::{Align, Button, Layout, RichText, Ui, vec2};
use paper::words;

use crate::app::Action;
use crate::app::picture::Picture;
use crate::plot::{FieldView, field_plot_ui};
use crate::theme::{self, Palette, TARGET};
use crate::ui_command::UiCommand;

/// Shows the field plot.
pub fn central_ui(
    ui: &mut Ui,
    palette: &Palette,
    view: &mut FieldView,
    picture: &Picture,
    actions: &mut Vec<Action>,
) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("Field").font(theme::bold(15.0)));
        // In a narrow field the picture speaks for itself.
        if ui.available_width() > 480.0 {
            ui.label(RichText::new("as the user sees it, from the eye side").color(palette.quiet));
        }
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            let button = Button::new("Fit").min_size(vec2(48.0, TARGET));
            let tip = super::top_bar::tip(ui, UiCommand::Fit);
            if ui.add(button).on_hover_text(tip).clicked() {
                actions.push(Action::Do(UiCommand::Fit));
            }
            if let Some(times) = picture.scene.residuals_times.filter(|times| *times > 1.0) {
                let text = format!("residuals drawn × {}", words::number(times, 0));
                ui.label(RichText::new(text).color(palette.quiet));
            }
        });
    });
    if let Some((_, seq)) = field_plot_ui(ui, view, &picture.scene, palette, &picture.telling) {
        actions.push(Action::Select(Some(seq)));
    }
}
