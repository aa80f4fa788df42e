//! The sheet on which a map is found: flip test, deviations, what follows drawn as it comes, terms and signature.

use egui::{Align2, Button, Id, RichText, Sense, Ui, vec2};
use paper::style::Marker;
use paper::words::capital;
use record::Axis;
use record::calibrations::KnownShown;
use record::calibrations::told::map_words;
use record::fact::Seq;
use solver::Channel;

use super::{FindAction, FindField, FindSheet};
use crate::app::action::Action;
use crate::own_shop::OwnAction;
use crate::own_shop::begin_ui::ESC_DROPS;
use crate::sheets::keyboard::from_its_head;
use crate::sheets::parts::{back_ui, first_field};
use crate::sheets::withdraw::STAYS_WITHDRAWN;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::chart::{Chart, ChartInk, ChartPen, Map, channel_marker, empty_ui, room_ui};
use crate::widgets::{
    Label, Tell, Tone, follow_keyboard, message_ui, number_ui, page_keys, shortened_button_ui,
    switch_ui, text_ui, tick_ui,
};

/// Height of the drawing of residuals, points.
const DRAWN: f32 = 128.0;
/// Below this height of the sheet all but the way on is scrolled, points.
const SMALL: f32 = 260.0;
/// Two fields stand side by side where the sheet is this wide, points.
const PAIR: f32 = 400.0;

/// Shows it. `fresh`: it has just come to the front.
pub(crate) fn finding_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut FindSheet,
    fresh: bool,
    actions: &mut Vec<Action>,
) {
    let typed_before = sheet.holds_work();
    let small = ui.available_height() < SMALL;
    let name = RichText::new(&sheet.station.name).font(theme::bold(15.0));
    if !small {
        ui.add(Label::new(name.clone()).truncate());
    }
    let foot = if small { 54.0 } else { 98.0 };
    let foot = if sheet.asks_drop { foot + 62.0 } else { foot };
    let height = (ui.available_height() - foot).max(160.0);
    from_its_head(ui).max_height(height).show(ui, |ui| {
        ui.set_width(ui.available_width() - 10.0);
        page_keys(ui, height);
        if small {
            ui.add(Label::new(name).truncate());
        }
        flips_ui(ui, palette, sheet, fresh, actions);
        deviations_ui(ui, palette, sheet, actions);
        follows_ui(ui, palette, sheet);
        terms_ui(ui, palette, sheet, actions);
        follow_keyboard(ui);
    });
    if sheet.holds_work() != typed_before {
        sheet.asks_drop = false;
    }
    if sheet.asks_drop {
        message_ui(ui, palette, Tone::Look, ESC_DROPS, false);
    }
    ui.add_space(4.0);
    // What was done and how it stands is seen wherever the page is.
    let (stands, look) = sheet.stands();
    let colour = if look { palette.look } else { palette.quiet };
    let stands = Label::new(RichText::new(stands).small().color(colour)).wrap();
    let beside = if small {
        Some(stands)
    } else {
        ui.add(stands);
        None
    };
    ui.horizontal(|ui| {
        let sign = Button::new(RichText::new("Sign and keep").font(theme::bold(14.5)));
        if ui.add(sign.min_size(vec2(110.0, TARGET))).clicked() {
            push(actions, FindAction::Sign);
        }
        back_ui(ui, actions);
        if let Some(stands) = beside {
            ui.add(stands);
        }
    });
}

fn push(actions: &mut Vec<Action>, action: FindAction) {
    actions.push(Action::Own(OwnAction::Find(action)));
}

fn heading(ui: &mut Ui, text: &str) {
    ui.add_space(6.0);
    ui.tell(RichText::new(text).font(theme::bold(14.5)));
}

fn quiet(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.add(Label::new(RichText::new(text).small().color(palette.quiet)).wrap());
}

fn flips_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &FindSheet,
    fresh: bool,
    actions: &mut Vec<Action>,
) {
    heading(ui, "Which way the numbers run");
    quiet(
        ui,
        palette,
        "Put the crosshair to the right, then up, as the user sees it, and say what its number did.",
    );
    let mut begins = fresh;
    for channel in Channel::BOTH {
        for (axis, way) in [(Axis::X, "to the right"), (Axis::Y, "up")] {
            let [x, y] = sheet.means.flips[channel];
            let seen = axis.pick([x, y]);
            ui.horizontal_wrapped(|ui| {
                let told = format!("{}, {way}", capital(channel.word()));
                ui.tell(RichText::new(&told).color(palette.quiet));
                for (falls, word) in [(false, "rose"), (true, "fell")] {
                    let telling = format!("{told}: {axis} {word}");
                    let text = format!("{axis} {word}");
                    let shown = switch_ui(ui, palette, seen == Some(falls), &text, &telling);
                    // The keyboard begins at what was not looked at yet.
                    if std::mem::take(&mut begins) && seen.is_none() {
                        shown.request_focus();
                    }
                    if shown.clicked() {
                        push(actions, FindAction::Flip(channel, axis, falls));
                    }
                }
            });
        }
    }
}

/// A field with what is refused below it; whether Enter was pressed in it.
fn field_ui(ui: &mut Ui, palette: &Palette, sheet: &mut FindSheet, field: FindField) -> bool {
    let id = if field == FindField::X { first_field() } else { Id::unique(("find a map", field)) };
    if sheet.focus == Some(field) {
        sheet.focus = None;
        ui.memory_mut(|memory| memory.request_focus(id));
    }
    let text = sheet.text_mut(field);
    let enter = if field.is_number() {
        number_ui(ui, palette, id, field.name(), text, field.hint())
    } else {
        text_ui(ui, palette, id, field.name(), text, field.hint())
    };
    if let Some((Some(of), why)) = &sheet.wrong
        && *of == field
    {
        let shown = message_ui(ui, palette, Tone::Look, why, false);
        if std::mem::take(&mut sheet.show_wrong) {
            shown.scroll_to_me(None);
        }
    }
    enter
}

fn fields_ui(ui: &mut Ui, palette: &Palette, sheet: &mut FindSheet, fields: &[FindField]) -> bool {
    let mut enter = false;
    let wide = ui.available_width() >= PAIR;
    for pair in fields.chunks(if wide { 2 } else { 1 }) {
        match pair {
            [one, other] => ui.columns_const(|[left, right]| {
                enter |= field_ui(left, palette, sheet, *one);
                enter |= field_ui(right, palette, sheet, *other);
            }),
            _ => {
                for one in pair {
                    enter |= field_ui(ui, palette, sheet, *one);
                }
            }
        }
    }
    enter
}

fn deviations_ui(ui: &mut Ui, palette: &Palette, sheet: &mut FindSheet, actions: &mut Vec<Action>) {
    heading(ui, "Known deviations");
    quiet(
        ui,
        palette,
        "Boresight first, without a viewer: 0, 0. Then what is known, to all sides. Its uncertainty is the standard one: \
         half of what a certificate states for k = 2. The same once more is a repeat.",
    );
    let enter = fields_ui(ui, palette, sheet, &FindField::DEVIATION);
    ui.horizontal_wrapped(|ui| {
        if ui.add(Button::new("Log deviation").min_size(vec2(0.0, TARGET))).clicked() || enter {
            push(actions, FindAction::Log);
        }
        let nothing = sheet.means.last_undone().is_none();
        ui.add_enabled_ui(!nothing, |ui| {
            if ui.add(Button::new("Take back the last").min_size(vec2(0.0, TARGET))).clicked() {
                push(actions, FindAction::TakeBack);
            }
        });
        if sheet.path.is_some()
            && ui.add(Button::new("Begin a new calibration").min_size(vec2(0.0, TARGET))).clicked()
        {
            push(actions, FindAction::Anew);
        }
    });
    if let Some((None, why)) = &sheet.wrong {
        message_ui(ui, palette, Tone::Look, why, false);
    }
    if sheet.agree == Some(false)
        && ui.add(Button::new("Write all the same").min_size(vec2(0.0, TARGET))).clicked()
    {
        push(actions, FindAction::Agree);
    }
    let logged: Vec<KnownShown> = sheet.means.in_use().cloned().collect();
    for (place, known) in logged.iter().enumerate() {
        logged_ui(ui, palette, sheet, (place + 1, known), actions);
    }
    for words in sheet.means.left_out() {
        quiet(ui, palette, &format!("{}.", capital(&words)));
    }
}

/// A deviation as it was logged, and the way to leave it out: all of it, or what was read in one channel.
fn logged_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut FindSheet,
    (number, known): (usize, &KnownShown),
    actions: &mut Vec<Action>,
) {
    let readings: Vec<(Seq, Channel, String)> = sheet
        .means
        .readings_in_use()
        .filter(|read| read.taken.deviation == known.seq)
        .map(|read| {
            let words = format!("{}, {}", read.taken.x.shown(), read.taken.y.shown());
            (read.seq, read.taken.channel, words)
        })
        .collect();
    let read = Channel::BOTH.map(|channel| {
        let of = readings.iter().filter(|(_, whose, _)| *whose == channel);
        let texts: Vec<&str> = of.map(|(.., words)| words.as_str()).collect();
        if texts.is_empty() { "not read".to_owned() } else { texts.join("; ") }
    });
    let line = format!("{number}  {}: left {}; right {}", known.words(), read[0], read[1]);
    if sheet.asks_why != Some(known.seq) {
        ui.horizontal_wrapped(|ui| {
            if shortened_button_ui(ui, &format!("Leave out {number}…"), 0.0).clicked() {
                push(actions, FindAction::AskWhy(Some(known.seq)));
            }
            ui.add(Label::new(line).wrap());
        });
        return;
    }
    ui.add(Label::new(line).wrap());
    quiet(ui, palette, STAYS_WITHDRAWN);
    if field_ui(ui, palette, sheet, FindField::Reason) {
        push(actions, FindAction::LeaveOut(known.seq));
    }
    ui.horizontal_wrapped(|ui| {
        if shortened_button_ui(ui, &format!("Leave out all of {number}"), 0.0).clicked() {
            push(actions, FindAction::LeaveOut(known.seq));
        }
        if readings.len() > 1 {
            for (seq, channel, words) in &readings {
                if shortened_button_ui(ui, &format!("Leave out {channel} {words} alone"), 0.0)
                    .clicked()
                {
                    push(actions, FindAction::LeaveOut(*seq));
                }
            }
        }
        if shortened_button_ui(ui, "Let it count", 0.0).clicked() {
            push(actions, FindAction::AskWhy(None));
        }
    });
}

/// What follows so far, drawn and in words.
fn follows_ui(ui: &mut Ui, palette: &Palette, sheet: &FindSheet) {
    heading(ui, "What follows");
    ui.columns_const(|columns: &mut [Ui; 2]| {
        for (channel, ui) in Channel::BOTH.into_iter().zip(columns) {
            residuals_ui(ui, palette, sheet, channel);
        }
    });
    for (channel, outcome) in sheet.outcomes.iter() {
        match outcome {
            Err(gap) => {
                message_ui(
                    ui,
                    palette,
                    Tone::Plain,
                    &format!("{}.", capital(&gap.to_string())),
                    false,
                );
            }
            Ok(outcome) => {
                let name = capital(channel.word());
                ui.add(Label::new(format!("{name}: {}.", map_words(&outcome.found))).wrap());
                for finding in &outcome.found.findings {
                    message_ui(ui, palette, Tone::Look, &format!("{name}: {finding}."), false);
                }
            }
        }
    }
    for difference in &sheet.differences {
        quiet(ui, palette, difference);
    }
}

fn residuals_ui(ui: &mut Ui, palette: &Palette, sheet: &FindSheet, channel: Channel) {
    let Ok(outcome) = &sheet.outcomes[channel] else {
        empty_ui(ui, palette, "Residuals are drawn here once a map follows.");
        return;
    };
    let arrows = outcome.arrows();
    let telling = format!(
        "{channel} channel: residuals {} times as long as they are, root mean square {}.",
        paper::words::number(arrows.larger, 0),
        paper::words::arcmin_fine(outcome.found.rms_arcmin)
    );
    let (room, _) = room_ui(ui, vec2(ui.available_width(), DRAWN), Sense::hover(), &telling);
    let reach = [-arrows.reach_arcmin, arrows.reach_arcmin];
    let mut chart = Chart::new(ui, palette, room, Map::equal(room, 8.0, reach, reach));
    chart.field(palette.well);
    let ink = palette.drawn(channel);
    for [from, to] in &arrows.each {
        chart.mark(*from, channel_marker(channel), 3.5, ChartInk::Open(palette.text));
        chart.line([*from, *to], ChartPen::new(2.0, ink).of(channel));
        chart.mark(*to, Marker::Dot, 2.5, ChartInk::Filled(ink));
    }
    let key = format!("{channel} · {} ×", paper::words::number(arrows.larger, 0));
    chart.words(room.left_top() + vec2(4.0, 2.0), Align2::LEFT_TOP, &key, palette.quiet);
}

fn terms_ui(ui: &mut Ui, palette: &Palette, sheet: &mut FindSheet, actions: &mut Vec<Action>) {
    heading(ui, "Certificate and signature");
    quiet(
        ui,
        palette,
        "What all deviations have in common (standard, ′) repeating does not make smaller: it becomes the station’s \
         reference. How well a reading is read: left open, the scatter tells it.",
    );
    let enter = fields_ui(ui, palette, sheet, &FindField::TERMS);
    let id = Id::unique(("find a map", "a scale for each axis"));
    let enter = tick_ui(ui, id, &mut sheet.each_axis, "A scale for each axis") || enter;
    if enter {
        push(actions, FindAction::Sign);
    }
    if sheet.means.signed.is_some()
        && ui.add(Button::new("Its sheet as PDF").min_size(vec2(0.0, TARGET))).clicked()
    {
        push(actions, FindAction::Paper);
    }
}
