//! Through the glass at an invented unit: graticule, loupe, and the virtual rings below.

use egui::{
    Align2, Button, FontId, Id, Key, Label, Painter, Rect, RichText, Sense, Shape, Stroke,
    TextEdit, Ui, Vec2, WidgetInfo, accesskit::Role, pos2, vec2,
};
use record::Approach;
use solver::Channel;

use super::glass::field_ui;
use super::{Axes, missing_ui};
use crate::app::Action;
use crate::app::places::practice::PracticeAction;
use crate::app::places::practice::on_bench::OnBench;
use crate::app::views::practice_glass::{LOUPE_REACH, Loupe, PracticeGlass};
use crate::panels::top_bar::tip;
use crate::theme::{self, Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{RingDial, Tone, channel_label, message_ui, ring_dial_ui};

/// Width and height of a dial, points.
const DIAL: f32 = 132.0;
/// Points below graticule and loupe that are wanted for rings and words.
const BELOW: f32 = 262.0;
/// The least side of graticule and loupe, points.
const LEAST: f32 = 180.0;

/// Shows it.
pub fn practice_glass_ui(
    ui: &mut Ui,
    palette: &Palette,
    height: f32,
    unit: &mut OnBench,
    glass: &Result<PracticeGlass, String>,
    actions: &mut Vec<Action>,
) {
    let glass = match glass {
        Ok(glass) => glass,
        Err(why) => {
            missing_ui(ui, palette, why);
            return;
        }
    };
    let gap = ui.spacing().item_spacing.x;
    let side = ((ui.available_width() - gap) / 2.0).min((height - BELOW).max(LEAST)).floor();
    ui.horizontal(|ui| {
        let (rect, response) = ui.allocate_exact_size(Vec2::splat(side), Sense::hover());
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &glass.telling));
        field_ui(ui, palette, rect, &glass.glass);
        let (rect, response) = ui.allocate_exact_size(Vec2::splat(side), Sense::hover());
        let telling = format!("Loupe over the {} crosshair", glass.loupe.channel);
        response.widget_info(|| WidgetInfo::labeled(Role::Canvas, true, &telling));
        loupe_ui(ui, palette, rect, &glass.loupe);
    });
    let about = format!(
        "An invented unit. On the right a loupe over the {} crosshair: numbers are divisions, short marks \
         tenths. Read x and y and type them; small rings show where each should go.",
        glass.loupe.channel
    );
    ui.add(Label::new(RichText::new(about).small().color(palette.quiet)).wrap());
    ui.horizontal_wrapped(|ui| {
        let again = Button::new("Look again").min_size(vec2(0.0, TARGET));
        let about = "Each look has noise of its own; so has each reading after it is logged.";
        if ui.add(again).on_hover_text(about).clicked() {
            actions.push(Action::Practice(PracticeAction::LookAgain));
        }
        let tell = ui.add(switch(palette, unit.tells, "Tell the reading", 0.0));
        tell.widget_info(|| {
            WidgetInfo::selected(Role::Button, true, unit.tells, "Tell the reading")
        });
        let about =
            "Say in words what the crosshair reads, where the graticule cannot be made out.";
        if tell.on_hover_text(about).clicked() {
            actions.push(Action::Practice(PracticeAction::TellReading));
        }
        if unit.tells {
            ui.label(&glass.reads[glass.loupe.channel]);
        }
    });
    if ui.available_width() > 2.0 * 250.0 {
        ui.columns_const(|columns: &mut [Ui; 2]| {
            for (column, channel) in columns.iter_mut().zip(Channel::BOTH) {
                ring_ui(column, palette, channel, unit, glass, actions);
            }
        });
    } else {
        for channel in Channel::BOTH {
            ring_ui(ui, palette, channel, unit, glass, actions);
        }
    }
    let keys = format!(
        "Arrow keys turn the ring that has the keyboard by 1°, with Shift by 10°. From the entry row: {} and \
         {} turn its channel's ring, {} by the ring step, {} both locks.",
        UiCommand::TryBack.key_words(ui.ctx()),
        UiCommand::TryOn.key_words(ui.ctx()),
        UiCommand::TurnByStep.key_words(ui.ctx()),
        UiCommand::ConfirmLock.key_words(ui.ctx()),
    );
    ui.add(Label::new(RichText::new(keys).small().color(palette.quiet)).wrap());
}

/// A button that is on or off.
fn switch<'a>(palette: &Palette, on: bool, text: &'a str, width: f32) -> Button<'a> {
    let edge = if on { palette.here } else { palette.edge };
    Button::new(text)
        .selected(on)
        .fill(if on { palette.well } else { palette.raised })
        .stroke(Stroke::new(if on { 2.0 } else { 1.0 }, edge))
        .min_size(vec2(width, TARGET))
}

/// One virtual ring: dial, lock, and the angle to turn to.
fn ring_ui(
    ui: &mut Ui,
    palette: &Palette,
    channel: Channel,
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
            side: DIAL,
        };
        let (by_deg, response) = ring_dial_ui(ui, palette, &dial);
        response.on_hover_text("Drag round, or turn with the arrow keys.");
        if by_deg != 0.0 {
            actions.push(Action::Practice(PracticeAction::Turn(channel, by_deg)));
        }
        ui.vertical(|ui| {
            channel_label(ui, palette, channel, "ring");
            let turned = match cell.approach {
                Approach::Counter => "turned ↺ last",
                Approach::Clockwise | Approach::NotNoted => "turned ↻ last",
            };
            ui.label(RichText::new(turned).small().color(palette.quiet));
            let text = if cell.locked { "lock tight" } else { "lock open" };
            let lock = ui.add(switch(palette, cell.locked, text, 96.0));
            let telling = format!("{channel} {text}");
            lock.widget_info(|| WidgetInfo::selected(Role::Button, true, cell.locked, &telling));
            if lock.on_hover_text(tip(ui, UiCommand::ConfirmLock)).clicked() {
                actions.push(Action::Practice(PracticeAction::Lock(channel)));
            }
            ui.horizontal(|ui| {
                let name = ui.label(RichText::new("turn to °").small().color(palette.quiet));
                let edit = TextEdit::singleline(&mut unit.turn_to[channel])
                    .id(Id::unique(("turn to", channel)))
                    .font(theme::mono(14.0))
                    .align(Align2::RIGHT_CENTER)
                    .min_size(vec2(52.0, TARGET))
                    .desired_width(44.0)
                    .char_limit(8);
                let response = ui.add(edit).labelled_by(name.id);
                let value = unit.turn_to[channel].as_str();
                response.widget_info(|| WidgetInfo {
                    label: Some(format!("{channel} ring turn to, degrees")),
                    ..WidgetInfo::text_edit(true, value, value, "")
                });
                if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
                    actions.push(Action::Practice(PracticeAction::TurnTo(channel)));
                    response.request_focus();
                }
            });
        });
    });
    if let Some(why) = &unit.refused[channel] {
        message_ui(ui, palette, Tone::Look, why, false);
    }
}

/// A part of the graticule, larger: a number at each division, a short mark at each tenth.
fn loupe_ui(ui: &Ui, palette: &Palette, rect: Rect, loupe: &Loupe) {
    let range = |axis: usize| {
        let middle = loupe.middle.get(axis).copied().unwrap_or_default();
        [middle - LOUPE_REACH, middle + LOUPE_REACH]
    };
    let (x, y) = (range(0), range(1));
    let axes = Axes::new(rect, x, y);
    let painter = ui.painter_at(rect);
    painter.rect_filled(rect, 0.0, palette.well);
    scale(&painter, palette, rect, &axes, loupe.middle);
    painter.rect_stroke(rect, 0.0, Stroke::new(1.0, palette.edge), egui::StrokeKind::Inside);
    let at = axes.place(loupe.at);
    let stroke = Stroke::new(1.5, palette.channel(loupe.channel));
    let lines = [
        [pos2(rect.left(), at.y), pos2(rect.right(), at.y)],
        [pos2(at.x, rect.top()), pos2(at.x, rect.bottom())],
    ];
    for line in lines {
        match loupe.channel {
            Channel::Left => {
                painter.line_segment(line, stroke);
            }
            Channel::Right => {
                painter.extend(Shape::dashed_line(&line, stroke, 9.0, 5.0));
            }
        }
    }
}

fn scale(painter: &Painter, palette: &Palette, rect: Rect, axes: &Axes, middle: [f64; 2]) {
    let font = FontId::proportional(11.0);
    let line = Stroke::new(1.0, palette.line);
    let mark = Stroke::new(1.0, palette.quiet);
    let tenths = (10.0 * LOUPE_REACH) as i32;
    let [middle_x, middle_y] = middle;
    for tenth in -tenths..=tenths {
        let off = f64::from(tenth) / 10.0;
        let length = match tenth % 10 {
            0 => 12.0,
            5 | -5 => 9.0,
            _ => 5.0,
        };
        let x = axes.place([middle_x + off, middle_y]).x;
        let y = axes.place([middle_x, middle_y + off]).y;
        if tenth % 10 == 0 {
            painter.vline(x, rect.y_range(), line);
            painter.hline(rect.x_range(), y, line);
        }
        painter.line_segment([pos2(x, rect.bottom()), pos2(x, rect.bottom() - length)], mark);
        painter.line_segment([pos2(rect.left(), y), pos2(rect.left() + length, y)], mark);
        if tenth % 10 != 0 {
            continue;
        }
        // In the corner the two scales would write over each other.
        let number = |value: f64| paper::words::number(value, 0);
        if x > rect.left() + 40.0 {
            let below = pos2(x, rect.bottom() - 13.0);
            let text = number(middle_x + off);
            painter.text(below, Align2::CENTER_BOTTOM, text, font.clone(), palette.text);
        }
        if y < rect.bottom() - 30.0 {
            let beside = pos2(rect.left() + 15.0, y);
            let text = number(middle_y + off);
            painter.text(beside, Align2::LEFT_CENTER, text, font.clone(), palette.text);
        }
    }
}
