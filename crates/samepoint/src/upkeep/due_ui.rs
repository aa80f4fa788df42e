//! What is due: every station's calibration and check, the most urgent first.

use egui::Ui;
use record::due_list;
use solver::upkeep::calibration::CalibrationState;

use super::CheckAction;
use crate::app::action::Action;
use crate::sheets::parts::{SheetContext, back_ui, scrolled};
use crate::theme::Palette;
use crate::ui_command::UiCommand;
use crate::widgets::{TellOnHover, Tone, message_ui, shortened_button_ui};

/// Days before the last day on which a calibration is said to be due soon: common practice, no
/// source.
pub(crate) const WARNING_DAYS: u32 = 30;

pub(crate) fn due_ui(
    ui: &mut Ui,
    palette: &Palette,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    let stations = context.offers.stations.iter();
    let each = stations.map(|station| (station, context.offers.checks_of(&station.name)));
    let list = due_list(each, context.now.date(), WARNING_DAYS);
    scrolled(ui, |ui| {
        for unread in &context.offers.unread_checks {
            message_ui(ui, palette, Tone::Look, unread, false);
        }
        if list.is_empty() {
            ui.label("This shop has no stations.");
        }
        for due in list {
            let soon = matches!(due.calibration, Some(CalibrationState::DueSoon { .. }));
            let tone = match (due.is_fit(), soon) {
                (false, _) => Tone::Look,
                (true, true) => Tone::Plain,
                (true, false) => Tone::Good,
            };
            message_ui(ui, palette, tone, &format!("{due}."), false);
            let button = shortened_button_ui(ui, &format!("Check {}…", due.station), 0.0);
            if button.tell_on_hover(UiCommand::CheckStation.tip()).clicked() {
                actions.push(Action::Checks(CheckAction::Open(due.station)));
            }
        }
        ui.add_space(4.0);
        back_ui(ui, actions);
    });
}
