//! Put a setting by hand on record, with the reason.

use egui::{RichText, Ui};

use super::parts::{buttons_ui, first_field};
use crate::app::action::Action;
use crate::theme::Palette;
use crate::widgets::{Tell, refused_ui, text_ui};

/// A setting by hand to put on record, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct ChooseSheet {
    /// Which, in words.
    pub words: String,
    /// Why not the recommended one.
    pub reason: String,
    /// What was refused.
    pub refused: Option<String>,
}

pub(crate) fn choose_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut ChooseSheet,
    actions: &mut Vec<Action>,
) {
    ui.tell(&sheet.words);
    ui.tell(
        RichText::new("The targets will follow it for this round. Undo takes it back.")
            .color(palette.quiet),
    );
    let hint = "why not the recommended one";
    let enter = text_ui(ui, palette, first_field(), "Reason", &mut sheet.reason, hint);
    refused_ui(ui, palette, sheet.refused.as_ref());
    if buttons_ui(ui, "Choose", actions) || enter {
        actions.push(Action::ChooseNow);
        if sheet.reason.trim().is_empty() {
            // It will be refused: the field waits for the reason.
            ui.memory_mut(|memory| memory.request_focus(first_field()));
        }
    }
}
