//! Anything but a ring was touched: the next round.

use egui::{Button, Ui, vec2};
use record::fact::RoundReason;

use super::parts::{buttons_ui, first_field};
use crate::app::action::Action;
use crate::theme::{Palette, TARGET};
use crate::widgets::text_ui;

/// Why a round ends.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundSheet {
    /// What was touched.
    pub why: RoundReason,
    /// In the hand's words.
    pub note: String,
}

pub(crate) fn round_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut RoundSheet,
    actions: &mut Vec<Action>,
) {
    ui.label("What was touched? Earlier readings are kept apart and never fitted with later ones.");
    for why in [
        RoundReason::Reseated,
        RoundReason::Remedy,
        RoundReason::Dioptre,
        RoundReason::EyepieceOut,
        RoundReason::StationZeroed,
        RoundReason::Other,
    ] {
        let button = Button::selectable(sheet.why == why, why.word())
            .min_size(vec2(ui.available_width() - 8.0, TARGET));
        if ui.add(button).clicked() {
            sheet.why = why;
        }
    }
    let enter = text_ui(ui, palette, first_field(), "Note", &mut sheet.note, "what was done");
    if buttons_ui(ui, "Open round", actions) || enter {
        actions.push(Action::OpenRound);
    }
}
