//! What was hidden in a practice unit: the score, the truth beside what was found, the millimetres.

use egui::{Button, CollapsingHeader, Grid, RichText, Ui, vec2};
use solver::Channel;

use super::hidden::{HiddenView, PartLine};
use crate::app::action::Action;
use crate::sheets::parts::back_ui;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{Label, Tell, TellOnHover, Tone, channel_label, message_ui};

pub(crate) fn hidden_ui(
    ui: &mut Ui,
    palette: &Palette,
    hidden: &HiddenView,
    actions: &mut Vec<Action>,
) {
    ui.horizontal_wrapped(|ui| {
        ui.tell(RichText::new(&hidden.total).font(theme::bold(34.0)).color(palette.here));
        ui.tell(RichText::new(&hidden.unit).color(palette.quiet));
    });
    if let Some(halved) = &hidden.halved {
        message_ui(ui, palette, Tone::Look, halved, true);
    }
    for part in &hidden.parts {
        part_ui(ui, palette, part);
    }
    ui.separator();
    for sentence in &hidden.reach {
        ui.add(Label::new(sentence).wrap());
    }
    ui.add_space(6.0);
    rows_ui(ui, palette, hidden);
    let about = format!(
        "The field plot ({}) shows the true circles beside those that were found.",
        UiCommand::ViewField.key_words(ui.ctx())
    );
    ui.add(Label::new(RichText::new(about).color(palette.quiet)).wrap());
    ui.add_space(6.0);
    for channel in Channel::BOTH {
        channel_label(ui, palette, channel, "channel, as signed");
        Grid::new(("millimetres", channel))
            .num_columns(2)
            .min_row_height(16.0)
            .spacing([14.0, 2.0])
            .show(ui, |ui| {
                for (name, place) in &hidden.millimetres[channel] {
                    ui.tell(RichText::new(*name).color(palette.quiet));
                    ui.tell(RichText::new(place).font(theme::mono(13.0)));
                    ui.end_row();
                }
            });
    }
    for sentence in &hidden.hands {
        ui.add(Label::new(RichText::new(sentence).color(palette.quiet)).wrap());
    }
    CollapsingHeader::new("How it is scored").id_salt("score rules").show(ui, |ui| {
        for part in &hidden.parts {
            ui.add(Label::new(format!("{}, {}. {}", part.name, part.points, part.rule)).wrap());
        }
    });
    ui.add_space(4.0);
    ui.horizontal(|ui| {
        let list = Button::new("To practice").min_size(vec2(110.0, TARGET));
        if ui.add(list).tell_on_hover(UiCommand::ToPractice.tip()).clicked() {
            actions.push(Action::Do(UiCommand::ToPractice));
        }
        back_ui(ui, actions);
    });
}

fn part_ui(ui: &mut Ui, palette: &Palette, part: &PartLine) {
    let colour = if part.full { palette.inside } else { palette.look };
    ui.horizontal_wrapped(|ui| {
        ui.tell(RichText::new(&part.name).font(theme::bold(14.5)));
        ui.tell(RichText::new(&part.points).font(theme::mono(14.0)).color(colour));
        ui.add(Label::new(RichText::new(&part.why).color(palette.quiet)).wrap());
    })
    .response
    .tell_on_hover(part.rule);
}

fn rows_ui(ui: &mut Ui, palette: &Palette, hidden: &HiddenView) {
    let head = |text: &str| RichText::new(text).small().color(palette.quiet);
    Grid::new("truth beside found").num_columns(3).min_row_height(16.0).spacing([14.0, 2.0]).show(
        ui,
        |ui| {
            ui.tell(head(""));
            ui.tell(head("truth"));
            ui.tell(head("found"));
            ui.end_row();
            for row in &hidden.rows {
                ui.tell(RichText::new(&row.name).color(palette.quiet));
                ui.tell(RichText::new(&row.truth).font(theme::mono(13.0)));
                ui.tell(RichText::new(&row.found).font(theme::mono(13.0)));
                ui.end_row();
            }
        },
    );
}
