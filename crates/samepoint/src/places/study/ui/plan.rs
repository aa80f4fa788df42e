//! A plan being written.

use egui::{Button, Id, RichText, TextEdit, Ui, vec2};
use solver::Channel;

use super::StudyContext;
use crate::places::study::StudyAction;
use crate::places::study::plan::PlanForm;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{Label, Tell, Tone, channel_colour_text, message_ui, told_as_number};

/// The first field.
const UNITS: &str = "Units";
/// The one that is a number.
const TRIALS: &str = "Trials: how often each hand reads each unit";

pub(crate) fn plan_ui(
    ui: &mut Ui,
    palette: &Palette,
    form: &mut PlanForm,
    context: &StudyContext<'_>,
    actions: &mut Vec<StudyAction>,
) {
    ui.label(RichText::new("A new study").font(theme::bold(17.0)));
    ui.horizontal_wrapped(|ui| {
        for station in &context.offers.stations {
            let chosen = station.name == form.station;
            let button = Button::selectable(chosen, &station.name).min_size(vec2(0.0, TARGET));
            if ui.add(button).clicked() {
                form.station.clone_from(&station.name);
            }
        }
        ui.add_space(12.0);
        for channel in Channel::BOTH {
            let text = channel_colour_text(palette, channel, "");
            let chosen = form.channel == channel;
            if ui.add(Button::selectable(chosen, text).min_size(vec2(0.0, TARGET))).clicked() {
                form.channel = channel;
            }
        }
    });
    let mut entered = field_ui(ui, palette, UNITS, &mut form.parts, "0147, 0152, 0160, …");
    entered |= field_ui(ui, palette, "Hands", &mut form.hands, "initials: KT, MB, …");
    entered |= field_ui(ui, palette, TRIALS, &mut form.trials, "3");
    let usual = "Ten units, three hands and three trials are usual (AIAG, Measurement Systems \
                 Analysis, 4th ed. 2010). Choose units that differ as much as those that come to the \
                 bench. A hand reads every unit once before the next hand comes; the order is drawn \
                 by lot and kept in the file.";
    ui.add(Label::new(RichText::new(usual).small().color(palette.quiet)).wrap());
    if let Some(size) = form.size() {
        ui.tell(size);
    }
    if let Some(why) = &form.refused {
        message_ui(ui, palette, Tone::Look, why, false);
    }
    ui.horizontal(|ui| {
        let begin = Button::new(RichText::new("Draw the order and begin").font(theme::bold(14.5)))
            .min_size(vec2(180.0, TARGET));
        if ui.add(begin).clicked() || entered {
            actions.push(StudyAction::Begin);
        }
        if ui.add(Button::new("Leave it").min_size(vec2(80.0, TARGET))).clicked() {
            actions.push(StudyAction::DropPlan);
        }
    });
}

fn field_ui(ui: &mut Ui, palette: &Palette, name: &str, text: &mut String, hint: &str) -> bool {
    let label = ui.tell(RichText::new(name).color(palette.quiet));
    let edit = TextEdit::singleline(text)
        .id(Id::unique(("study plan", name)))
        .hint_text(hint)
        .min_size(vec2(0.0, TARGET))
        .align(egui::Align2::LEFT_CENTER)
        .desired_width(f32::INFINITY);
    let response = ui.add(edit).labelled_by(label.id);
    if name == TRIALS {
        told_as_number(&response, name, text);
    }
    if name == UNITS && ui.memory(|memory| memory.focused().is_none()) {
        response.request_focus();
    }
    response.lost_focus() && ui.input(|input| input.key_pressed(egui::Key::Enter))
}
