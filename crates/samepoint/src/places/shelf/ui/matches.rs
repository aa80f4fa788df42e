//! Units to be built, each with its prediction and a button that begins its session.

use egui::{RichText, Ui};
use record::shop::parts::told;
use solver::Channel;

use super::at_hand;
use crate::places::shelf::picked::PickedUnits;
use crate::places::shelf::picture::{MatchView, ShelfView};
use crate::places::shelf::{ShelfAction, ShelfRow};
use crate::theme;
use crate::theme::Palette;
use crate::widgets::{Label, Tell, Tone, channel_label, message_ui, shortened_button_ui};

pub(super) fn matches_ui(
    ui: &mut Ui,
    palette: &Palette,
    picture: &ShelfView,
    actions: &mut Vec<ShelfAction>,
) {
    for said in &picture.about {
        ui.add(Label::new(RichText::new(said).color(palette.quiet)).wrap());
    }
    message_ui(ui, palette, Tone::Plain, &picture.totals, true);
    let tone = if picture.proved { Tone::Plain } else { Tone::Look };
    message_ui(ui, palette, tone, &picture.proof, false);
    if picture.to_look_at() > 0 {
        let more = "Parts of which too little is known take no part; Not known says which reading would tell.";
        ui.add(Label::new(RichText::new(more).color(palette.quiet)).wrap());
    }
    for (place, one) in picture.matches.iter().enumerate() {
        one_ui(ui, palette, one, PickedUnits::OfPlan(place), actions);
    }
    if let Some(best) = &picture.best {
        ui.add_space(8.0);
        ui.tell(RichText::new("The best single unit now").font(theme::bold(15.0)));
        one_ui(ui, palette, best, PickedUnits::Best, actions);
    }
    if !picture.matches.is_empty() {
        ui.add(Label::new(RichText::new(told::PREDICTED).color(palette.quiet)).wrap());
    }
}

fn one_ui(
    ui: &mut Ui,
    palette: &Palette,
    one: &MatchView,
    which: PickedUnits,
    actions: &mut Vec<ShelfAction>,
) {
    ui.add_space(8.0);
    egui::Frame::new().fill(palette.raised).corner_radius(6).inner_margin(10).show(ui, |ui| {
        ui.set_width(ui.available_width());
        ui.add(Label::new(RichText::new(&one.title).font(theme::bold(15.0))).wrap());
        for channel in Channel::BOTH {
            ui.horizontal_wrapped(|ui| {
                channel_label(ui, palette, channel, "");
                ui.add(Label::new(&one.pods[channel]).wrap());
            });
        }
        for shim in &one.shims {
            ui.add(Label::new(shim).wrap());
        }
        ui.add(Label::new(&one.figures).wrap());
        if let Some(caution) = &one.caution {
            message_ui(ui, palette, Tone::Look, caution, false);
        }
        let begins = shortened_button_ui(ui, &one.button, 120.0);
        at_hand(&begins, || ShelfRow::NotBegun, actions);
        let tip = "New session with these parts, turns and shims filled in; nothing is on record before you start it.";
        if begins.on_hover_text(tip).clicked() {
            actions.push(ShelfAction::Begin(which));
        }
    });
}
