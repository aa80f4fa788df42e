//! The stations: what is due, and the charts of their check standards.

use egui::{Button, RichText, Ui, vec2};
use record::due_list;

use super::ShopContext;
use crate::app::Action;
use crate::app::check_picture::CheckPicture;
use crate::app::checking::CheckAction;
use crate::panels::sheets::{WARNING_DAYS, check_chart_ui};
use crate::theme::{self, Palette, TARGET};
use crate::widgets::{Tone, message_ui};

pub(super) fn stations_ui(
    ui: &mut Ui,
    palette: &Palette,
    context: &ShopContext<'_>,
    actions: &mut Vec<Action>,
) {
    let stations = context.offers.stations.iter();
    let each = stations.map(|station| (station, context.offers.checks_of(&station.name)));
    for due in due_list(each, context.today, WARNING_DAYS) {
        let tone = if due.is_fit() { Tone::Plain } else { Tone::Look };
        message_ui(ui, palette, tone, &format!("{due}."), false);
        let button = Button::new(format!("Check {}…", due.station)).min_size(vec2(0.0, TARGET));
        if ui.add(button).clicked() {
            actions.push(Action::Checks(CheckAction::Open(due.station.clone())));
        }
        let Some(checks) = context.offers.checks_of(&due.station) else { continue };
        let picture = CheckPicture::of(checks, context.today);
        let title = format!("{}, check standard", due.station);
        ui.label(RichText::new(title).font(theme::bold(14.5)));
        let room = ui.available_width();
        for pair in picture.charts.chunks(2) {
            ui.horizontal_top(|ui| {
                let width = (room - ui.spacing().item_spacing.x) / 2.0 - 8.0;
                for chart in pair {
                    check_chart_ui(ui, palette, chart, width);
                }
            });
        }
        ui.add_space(6.0);
    }
}
