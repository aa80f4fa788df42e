//! A remedy that is on no list: what was done, and the round that follows.

use egui::{Button, Id, RichText, Ui, vec2};
use record::ShimEnds;
use record::remedies::by_hand::{ByHand, Done};
use solver::Channel;

use super::parts::{buttons_ui, first_field};
use crate::app::action::Action;
use crate::bench::remedy::own::OWN_CAUTION;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, channel_colour_text, number_ui, refused_ui, text_ui};

/// A remedy that is on no list, as the hand says it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnRemedySheet {
    /// As typed.
    pub typed: ByHand,
    /// What was refused.
    pub refused: Option<String>,
}

impl OwnRemedySheet {
    pub(super) fn holds_work(&self) -> bool {
        let ByHand { clock, leaves, turned, serial, note, .. } = &self.typed;
        [clock, leaves, turned, serial, note].iter().any(|text| !text.is_empty())
    }
}

const CLOCK: &str = "Clock position, ° clockwise from up, seen from the eye side";
const LEAVES: &str = "Leaves, mm each";
const TURNED: &str = "Turned by, ° clockwise, seen from the eye side";

pub(crate) fn own_remedy_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut OwnRemedySheet,
    actions: &mut Vec<Action>,
) {
    let words = "What was done? Nothing is predicted of it; the next round measures what it did.";
    ui.add(Label::new(words).wrap());
    ui.add(Label::new(RichText::new(OWN_CAUTION).small().color(palette.quiet)).wrap());
    let typed = &mut sheet.typed;
    choices_ui(ui, &mut typed.done, Done::ALL.map(|done| (done, done.words())));
    if typed.done.is_of_one_channel() {
        let each =
            Channel::BOTH.map(|channel| (channel, channel_colour_text(palette, channel, "")));
        choices_ui(ui, &mut typed.channel, each);
    }
    let mut enter = false;
    let mut field = |ui: &mut Ui, id: Id, name: &str, text: &mut String, hint: &str| {
        let is_number = [CLOCK, LEAVES, TURNED].contains(&name);
        let show = if is_number { number_ui } else { text_ui };
        enter |= show(ui, palette, id, name, text, hint);
    };
    let mut first = Some(first_field());
    let mut id = |name: &'static str| first.take().unwrap_or_else(|| Id::unique(("remedy", name)));
    match typed.done {
        Done::Shim => {
            field(ui, id("clock"), CLOCK, &mut typed.clock, "such as 130");
            field(ui, id("leaves"), LEAVES, &mut typed.leaves, "such as 0.10 + 0.05");
            choices_ui(
                ui,
                &mut typed.ends,
                [
                    (ShimEnds::Both, "full length"),
                    (ShimEnds::Front, "front end"),
                    (ShimEnds::Rear, "rear end"),
                ],
            );
        }
        Done::TurnTube => {
            field(ui, id("turned"), TURNED, &mut typed.turned, "such as 180");
        }
        Done::ReplaceTube | Done::ReplaceEyepiece => {
            let serial = "Serial number of what was fitted";
            field(ui, id("serial"), serial, &mut typed.serial, "may stay empty");
        }
        Done::SwapTubes | Done::SwapEyepieces | Done::Other => {}
    }
    let hint = if typed.done == Done::Other { "what was done" } else { "may stay empty" };
    field(ui, id("note"), "Note", &mut typed.note, hint);
    refused_ui(ui, palette, sheet.refused.as_ref());
    if buttons_ui(ui, "Record", actions) || enter {
        actions.push(Action::NoteRemedy);
    }
}

/// One of a few, side by side where there is room.
fn choices_ui<T: Copy + PartialEq, W: Into<RichText>, const N: usize>(
    ui: &mut Ui,
    chosen: &mut T,
    offered: [(T, W); N],
) {
    ui.horizontal_wrapped(|ui| {
        for (choice, words) in offered {
            let button = Button::selectable(*chosen == choice, words.into());
            if ui.add(button.min_size(vec2(0.0, TARGET))).clicked() {
                *chosen = choice;
            }
        }
    });
}
