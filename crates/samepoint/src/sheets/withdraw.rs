//! Leave a reading out, with the reason.

use egui::{Button, RichText, Ui, vec2};
use record::fact::Seq;

use super::parts::{buttons_ui, first_field};
use crate::app::action::Action;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Tell, refused_ui, text_ui};

/// Reasons that are often right; anything else is typed.
pub(crate) const WITHDRAW_REASONS: [&str; 4] =
    ["graticule misread", "ring misread", "unit moved", "channel mixed up"];

/// A reading to withdraw and why.
#[derive(Clone, Debug, PartialEq)]
pub struct WithdrawSheet {
    /// Which.
    pub seq: Seq,
    /// Which, in words.
    pub words: String,
    /// Why.
    pub reason: String,
    /// What was refused.
    pub refused: Option<String>,
}

/// What becomes of what is withdrawn.
pub(crate) const STAYS_WITHDRAWN: &str =
    "It stays in the file with the reason; it no longer counts.";

pub(crate) fn withdraw_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut WithdrawSheet,
    actions: &mut Vec<Action>,
) {
    ui.tell(&sheet.words);
    ui.tell(RichText::new(STAYS_WITHDRAWN).color(palette.quiet));
    ui.horizontal_wrapped(|ui| {
        for reason in WITHDRAW_REASONS {
            if ui.add(Button::new(reason).min_size(vec2(0.0, TARGET))).clicked() {
                reason.clone_into(&mut sheet.reason);
            }
        }
    });
    let enter =
        text_ui(ui, palette, first_field(), "Reason", &mut sheet.reason, "why it is not to count");
    refused_ui(ui, palette, sheet.refused.as_ref());
    if buttons_ui(ui, "Withdraw", actions) || enter {
        actions.push(Action::WithdrawNow);
    }
}
