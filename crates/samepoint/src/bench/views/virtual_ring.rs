//! One virtual ring of an invented unit: its dial, its lock, and the angle to turn to.

use egui::{
    Align2, Button, Id, Key, RichText, Stroke, TextEdit, Ui, WidgetInfo, accesskit::Role, vec2,
};
use record::Approach;
use solver::Channel;

use super::practice_glass::PracticeGlass;
use crate::app::action::Action;
use crate::bench::practice_unit::{OnBench, UnitAction};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{
    LONGEST_NUMBER, RingDial, Tell, TellOnHover, Tone, channel_label, keyboard_ring, message_ui,
    ring_dial_ui, told_as_number,
};

/// A button that is on or off.
pub(crate) fn switch<'a>(palette: &Palette, on: bool, text: &'a str, width: f32) -> Button<'a> {
    let edge = if on { palette.here } else { palette.edge };
    Button::new(text)
        .selected(on)
        .fill(if on { palette.well } else { palette.raised })
        .stroke(Stroke::new(if on { 2.0 } else { 1.0 }, edge))
        .min_size(vec2(width, TARGET))
}

/// One virtual ring: dial, lock, and the angle to turn to.
pub(crate) fn ring_ui(
    ui: &mut Ui,
    palette: &Palette,
    (channel, side): (Channel, f32),
    unit: &mut OnBench,
    glass: &PracticeGlass,
    actions: &mut Vec<Action>,
) {
    let cell = unit.cell(channel);
    ui.horizontal(|ui| {
        let text = unit.ring_text(channel);
        let dial = RingDial {
            channel,
            ring_deg: cell.ring_deg,
            text: &text,
            locked: cell.locked,
            target_deg: glass.target_deg[channel],
            side,
        };
        let (by_deg, response) = ring_dial_ui(ui, palette, &dial);
        response.on_hover_text("Drag round, or turn with the arrow keys.");
        if by_deg != 0.0 {
            actions.push(Action::Unit(UnitAction::Turn(channel, by_deg)));
        }
        ui.vertical(|ui| {
            channel_label(ui, palette, channel, "ring");
            let turned = match cell.approach {
                Approach::Counter => "turned ↺ last",
                Approach::Clockwise | Approach::NotNoted => "turned ↻ last",
            };
            ui.tell(RichText::new(turned).small().color(palette.quiet));
            let text = if cell.locked { "lock tight" } else { "lock open" };
            let lock = ui.add(switch(palette, cell.locked, text, 96.0));
            keyboard_ring(ui, palette, &lock);
            let key = UiCommand::ConfirmLock.key_words(ui.ctx());
            let both = format!("Tighten or open this lock; {key} does both.");
            let telling = format!("{channel} {text}");
            lock.widget_info(|| WidgetInfo::selected(Role::Button, true, cell.locked, &telling));
            if lock.tell_on_hover(both).clicked() {
                actions.push(Action::Unit(UnitAction::Lock(channel)));
            }
            dioptre_ui(ui, palette, channel, unit, actions);
            ui.horizontal(|ui| {
                let name = ui.label(RichText::new("turn to °").small().color(palette.quiet));
                let edit = TextEdit::singleline(&mut unit.turn_to[channel])
                    .id(Id::unique(("turn to", channel)))
                    .font(theme::mono(14.0))
                    .align(Align2::RIGHT_CENTER)
                    .min_size(vec2(52.0, TARGET))
                    .desired_width(44.0)
                    .char_limit(LONGEST_NUMBER);
                let response = ui.add(edit).labelled_by(name.id);
                let full_name = format!("{channel} ring turn to, degrees");
                told_as_number(&response, &full_name, &unit.turn_to[channel]);
                if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
                    actions.push(Action::Unit(UnitAction::TurnTo(channel)));
                    response.request_focus();
                }
            });
        });
    });
    if let Some(why) = &unit.refused[channel] {
        message_ui(ui, palette, Tone::Look, why, false);
    }
}

/// What the dioptre stands at; off zero, with the way back.
fn dioptre_ui(
    ui: &mut Ui,
    palette: &Palette,
    channel: Channel,
    unit: &OnBench,
    actions: &mut Vec<Action>,
) {
    let stands = unit.dioptre()[channel];
    let text = format!("dioptre {} D", paper::words::number(stands, 1));
    if stands == 0.0 {
        ui.tell(RichText::new(text).small().color(palette.quiet));
        return;
    }
    let zero = ui.add(Button::new(format!("{text} → 0")).min_size(vec2(96.0, TARGET)));
    let telling = format!("{channel} {text}: turn both dioptres to zero");
    zero.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
    let about = "Turn both dioptres to zero. The round ends: what was logged before stays apart.";
    if zero.tell_on_hover(about).clicked() {
        actions.push(Action::Unit(UnitAction::ZeroDioptres));
    }
}
