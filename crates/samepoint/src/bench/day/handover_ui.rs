//! A handover: what was done and what is next, for the hand that goes on.

use egui::{Id, RichText, Ui};
use record::Handover;

use super::{DayAction, HandoverSheet};
use crate::app::action::Action;
use crate::sheets::parts::{buttons_ui, first_field};
use crate::theme::Palette;
use crate::widgets::{Label, refused_ui, text_ui};

pub(crate) fn handover_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut HandoverSheet,
    before: &[Handover],
    actions: &mut Vec<Action>,
) {
    let quiet = |ui: &mut Ui, text: &str| {
        ui.add(Label::new(RichText::new(text).color(palette.quiet)).wrap());
    };
    quiet(
        ui,
        "It stays with this session. Whoever opens it next sees it first and can say that it was read.",
    );
    let mut enter =
        text_ui(ui, palette, first_field(), "Done", &mut sheet.done, "what was done and found");
    enter |= text_ui(
        ui,
        palette,
        Id::unique("handover next"),
        "Next",
        &mut sheet.next,
        "what is to be done next, and what to mind",
    );
    refused_ui(ui, palette, sheet.refused.as_ref());
    if buttons_ui(ui, "Leave it", actions) || enter {
        actions.push(Action::Day(DayAction::HandOver));
    }
    for handover in before.iter().rev() {
        let read: Vec<String> = handover
            .read
            .iter()
            .map(|(hand, time)| format!("read by {hand}, {}", time.date()))
            .collect();
        let read = if read.is_empty() { "not read yet".to_owned() } else { read.join("; ") };
        quiet(
            ui,
            &format!("{} {}: {} · {read}", handover.time.date(), handover.hand, handover.text),
        );
    }
}
