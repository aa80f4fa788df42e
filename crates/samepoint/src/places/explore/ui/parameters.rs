//! What can be moved: for one channel at a time, sliders with a field for the number beside each.

use egui::{
    Align, Align2, Button, Id, Key, Layout, RichText, Slider, Stroke, TextEdit, Ui, WidgetInfo,
    vec2,
};
use paper::words;
use record::practice::explore::{ModelChannel, Plane};
use solver::Channel;
use solver::optics::ShimEnds;

use crate::places::explore::parameter::{OffAxisPart, Parameter};
use crate::places::explore::{ExploreAction, Exploring};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{
    LONGEST_NUMBER, Tell, Tone, channel_colour_text, keyboard_ring, message_ui, switch_ui,
    told_as_number,
};

/// Width of a number's field, points.
const FIELD: f32 = 70.0;
/// Width of a slider's name.
const NAME: f32 = 58.0;

pub(crate) fn knobs_ui(
    ui: &mut Ui,
    palette: &Palette,
    exploring: &mut Exploring,
    actions: &mut Vec<ExploreAction>,
) {
    channel_ui(ui, palette, exploring);
    let channel = exploring.channel;
    let Some(explored) = &exploring.explored else { return };
    let made = explored.model.channels[channel].clone();
    let counter = explored.counter[channel];
    ui.spacing_mut().item_spacing.y = 3.0;
    for part in OffAxisPart::ALL {
        group_ui(ui, palette, part.word());
        for plane in [Plane::Across, Plane::Up] {
            knob_ui(ui, palette, exploring, (channel, Parameter::At(part, plane)), &made, actions);
        }
    }
    group_ui(ui, palette, "lens cell of the eyepiece, ring at zero");
    for knob in [Parameter::Decentre, Parameter::DecentreClock] {
        knob_ui(ui, palette, exploring, (channel, knob), &made, actions);
    }
    group_ui(ui, palette, "shim under the tube: it pushes the tube away");
    for knob in [Parameter::Shim, Parameter::ShimClock] {
        knob_ui(ui, palette, exploring, (channel, knob), &made, actions);
    }
    ends_ui(ui, palette, channel, &made, actions);
    group_ui(ui, palette, "ring");
    knob_ui(ui, palette, exploring, (channel, Parameter::Play), &made, actions);
    ui.horizontal_wrapped(|ui| {
        let text = "target reached ↺";
        let telling = format!("{channel} target reached counter-clockwise");
        if switch_ui(ui, palette, counter, text, &telling).clicked() {
            actions.push(ExploreAction::Approach(channel));
        }
    });
    group_ui(ui, palette, "dioptre and the eye behind it");
    for knob in [Parameter::Dioptre, Parameter::Eye(Plane::Across), Parameter::Eye(Plane::Up)] {
        knob_ui(ui, palette, exploring, (channel, knob), &made, actions);
    }
    group_ui(ui, palette, "station");
    let telling = format!("{channel} station map has x the wrong way round");
    if switch_ui(ui, palette, made.map_flipped, "map has x the wrong way round", &telling).clicked()
    {
        actions.push(ExploreAction::Flip(channel));
    }
}

fn group_ui(ui: &mut Ui, palette: &Palette, name: &str) {
    ui.add_space(3.0);
    ui.tell(RichText::new(words::capital(name)).small().color(palette.quiet));
}

/// Whose numbers are in sight.
fn channel_ui(ui: &mut Ui, palette: &Palette, exploring: &mut Exploring) {
    ui.horizontal(|ui| {
        let width = (ui.available_width() - ui.spacing().item_spacing.x) / 2.0;
        for channel in Channel::BOTH {
            let chosen = exploring.channel == channel;
            let edge = if chosen { palette.channel(channel) } else { palette.edge };
            let button = Button::new(channel_colour_text(palette, channel, ""))
                .selected(chosen)
                .fill(if chosen { palette.well } else { palette.raised })
                .stroke(Stroke::new(if chosen { 2.0 } else { 1.0 }, edge))
                .min_size(vec2(width.min(160.0), TARGET));
            let shown = ui.add(button);
            keyboard_ring(ui, palette, &shown);
            if shown.clicked() {
                exploring.channel = channel;
            }
        }
    });
}

/// A slider and its number.
fn knob_ui(
    ui: &mut Ui,
    palette: &Palette,
    exploring: &mut Exploring,
    (channel, knob): (Channel, Parameter),
    made: &ModelChannel,
    actions: &mut Vec<ExploreAction>,
) {
    let value = knob.value(made);
    let [low, high] = knob.range();
    let full_name = format!("{channel} {}", knob.name());
    ui.horizontal(|ui| {
        ui.spacing_mut().item_spacing.x = 5.0;
        let room = vec2(NAME, TARGET);
        ui.allocate_ui_with_layout(room, Layout::left_to_right(Align::Center), |ui| {
            ui.set_min_width(NAME);
            ui.tell(knob.word());
        });
        let unit = 22.0;
        ui.spacing_mut().slider_width =
            (ui.available_width() - FIELD - unit - 14.0).clamp(60.0, 320.0);
        // A slider stands at whole steps; a number between them stays as it is until it is moved.
        let step = knob.step();
        let stands = (value.clamp(low, high) / step).round() * step;
        let mut moved = stands;
        let response = ui.add(Slider::new(&mut moved, low..=high).step_by(step).show_value(false));
        response.widget_info(|| WidgetInfo::slider(true, value, &full_name));
        if response.changed() && (moved - stands).abs() > step / 2.0 {
            let begins = response.drag_started() || response.gained_focus();
            let set = ExploreAction::Set(channel, knob, moved, begins);
            actions.push(set);
        }
        number_ui(ui, exploring, (channel, knob), value, &full_name, actions);
        ui.tell(RichText::new(knob.unit()).small().color(palette.quiet));
    });
    if let Some((_, _, why)) =
        exploring.refused.as_ref().filter(|(of, which, _)| (*of, *which) == (channel, knob))
    {
        message_ui(ui, palette, Tone::Look, why, false);
    }
}

/// The number as it can be typed: taken on Enter or when the keyboard leaves.
fn number_ui(
    ui: &mut Ui,
    exploring: &mut Exploring,
    (channel, knob): (Channel, Parameter),
    value: f64,
    full_name: &str,
    actions: &mut Vec<ExploreAction>,
) {
    let typing =
        exploring.typing.as_ref().filter(|(of, which, _)| (*of, *which) == (channel, knob));
    let mut text =
        typing.map_or_else(|| words::number(value, knob.decimals()), |(_, _, typed)| typed.clone());
    let edit = TextEdit::singleline(&mut text)
        .id(Id::unique(("explored number", channel, knob)))
        .font(theme::mono(13.0))
        .align(Align2::RIGHT_CENTER)
        .min_size(vec2(FIELD, TARGET))
        .desired_width(FIELD - 8.0)
        .char_limit(LONGEST_NUMBER);
    let response = ui.add(edit);
    told_as_number(&response, &format!("{full_name}, {}", told_unit(knob)), &text);
    if response.changed() {
        exploring.typing = Some((channel, knob, text.clone()));
    }
    if response.lost_focus() && exploring.typing.take().is_some() {
        actions.push(ExploreAction::Typed(channel, knob, text));
        if ui.input(|input| input.key_pressed(Key::Enter)) {
            response.request_focus();
        }
    }
}

/// The unit in full, for a name.
const fn told_unit(knob: Parameter) -> &'static str {
    match knob {
        Parameter::At(..) | Parameter::Decentre | Parameter::Shim | Parameter::Eye(_) => {
            "millimetres"
        }
        Parameter::DecentreClock | Parameter::ShimClock | Parameter::Play => "degrees",
        Parameter::Dioptre => "dioptres",
    }
}

/// At which ends the shim lies.
fn ends_ui(
    ui: &mut Ui,
    palette: &Palette,
    channel: Channel,
    made: &ModelChannel,
    actions: &mut Vec<ExploreAction>,
) {
    let lies = made.shims.first().map_or(ShimEnds::Both, |shim| shim.ends);
    ui.horizontal_wrapped(|ui| {
        for (ends, text) in
            [(ShimEnds::Front, "front"), (ShimEnds::Rear, "rear"), (ShimEnds::Both, "full length")]
        {
            let telling = format!("{channel} shim at {text}");
            if switch_ui(ui, palette, lies == ends, text, &telling).clicked() {
                actions.push(ExploreAction::Ends(channel, ends));
            }
        }
    });
}
