//! The room everything else serves: the field plot with its one line of explanation.

use egui::{Align, Layout, RichText, Ui};
use paper::words;

use crate::app::Action;
use crate::app::picture::Picture;
use crate::panels::plot_tools::plot_tools_ui;
use crate::plot::{FieldPlot, FieldView, PlotAct, field_plot_ui};
use crate::theme::{self, Palette};

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
        let measured = view.measured();
        // What was measured is long: it has the line to itself.
        let times =
            picture.scene.residuals_times.filter(|times| *times > 1.0 && measured.is_none());
        let measured_now = measured.is_some();
        let (text, colour) = match measured {
            Some(measured) => (measured, palette.here),
            None => ("from the eye side".to_owned(), palette.quiet),
        };
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
            plot_tools_ui(ui, palette, view, actions);
            if let Some(times) = times {
                let text = format!("residuals drawn × {}", words::number(times, 0));
                aside_ui(ui, RichText::new(text).color(palette.quiet));
            }
            ui.with_layout(Layout::left_to_right(Align::Center), |ui| {
                let told = RichText::new(&text).color(colour);
                if measured_now {
                    ui.add(egui::Label::new(told).truncate()).on_hover_text(&text);
                } else {
                    aside_ui(ui, told);
                }
            });
        });
    });
    let shown =
        FieldPlot { scene: &picture.scene, telling: &picture.telling, handles: &picture.handles };
    actions.extend(field_plot_ui(ui, palette, view, shown).into_iter().map(|act| match act {
        PlotAct::Pressed(seq) => Action::Select(Some(seq)),
        PlotAct::Tried(channel, towards) => Action::Try(channel, towards),
    }));
}

/// Words that are left out where there is no room for all of them.
fn aside_ui(ui: &mut Ui, text: RichText) {
    let galley = egui::WidgetText::from(text).into_galley(
        ui,
        Some(egui::TextWrapMode::Extend),
        f32::INFINITY,
        egui::TextStyle::Body,
    );
    if galley.size().x + ui.spacing().item_spacing.x <= ui.available_width() {
        ui.label(galley);
    }
}
