//! Through the glass at an invented unit: graticule and loupe, or what a camera sees, and the virtual rings below.
//! Where there is little room, the loupe or the picture and the ring that is being read come first, side by side.

use egui::{Button, RichText, Sense, Ui, Vec2, WidgetInfo, accesskit::Role, vec2};
use record::practice::{Fault, PlacedFault, Series, WITHHELD};
use solver::Channel;

use super::glass_ui::field_ui;
use super::loupe::loupe_ui;
use super::missing::NothingToShow;
use super::practice_glass::PracticeGlass;
use super::virtual_ring::{ring_ui, switch};
use crate::app::action::Action;
use crate::bench::camera::live::glass::LiveGlass;
use crate::bench::camera::live::glass_ui::{live_picture_ui, live_words_height, live_words_ui};
use crate::bench::practice_unit::{OnBench, UnitAction};
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::chart::{empty_ui, room_ui};
use crate::widgets::{Label, Tell, TellOnHover, Tone, keyboard_ring, message_ui};

/// Least and greatest width and height of a dial, points; on a wide screen they grow.
const DIAL: [f32; 2] = [132.0, 200.0];
/// The dial's share of the width.
const DIAL_SHARE: f32 = 0.17;
/// Points below graticule and loupe that are wanted for words and buttons.
const BELOW: f32 = 130.0;
/// The least side of graticule and loupe, points.
const LEAST: f32 = 180.0;
/// Below this height there is no room for everything at once, points.
const SMALL: f32 = 420.0;

/// Shows it.
pub(crate) fn practice_glass_ui(
    ui: &mut Ui,
    palette: &Palette,
    height: f32,
    unit: &mut OnBench,
    (glass, live): (&Result<PracticeGlass, NothingToShow>, Option<&LiveGlass>),
    actions: &mut Vec<Action>,
) {
    let glass = match glass {
        Ok(glass) => glass,
        Err(why) => return empty_ui(ui, palette, &why.to_string()),
    };
    if height < SMALL {
        small_ui(ui, palette, unit, (glass, live), actions);
        return;
    }
    let gap = ui.spacing().item_spacing.x;
    let [least, most] = DIAL;
    let dial = (DIAL_SHARE * ui.available_width()).clamp(least, most).min(height / 3.0).max(least);
    let tall = (height - BELOW - dial).max(LEAST);
    if let Some(live) = live {
        let size = vec2(ui.available_width(), (tall - live_words_height(live)).max(LEAST).floor());
        live_picture_ui(ui, palette, size, live);
        live_words_ui(ui, palette, live);
    } else {
        let side = ((ui.available_width() - gap) / 2.0).min(tall).floor();
        ui.horizontal(|ui| {
            graticule_ui(ui, palette, side, glass);
            magnified_ui(ui, palette, side, glass);
        });
    }
    words_ui(ui, palette, unit, (glass, live.is_some()), actions);
    if ui.available_width() > 2.0 * 250.0 {
        ui.columns_const(|columns: &mut [Ui; 2]| {
            for (column, channel) in columns.iter_mut().zip(Channel::BOTH) {
                ring_ui(column, palette, (channel, dial), unit, glass, actions);
            }
        });
    } else {
        for channel in Channel::BOTH {
            ring_ui(ui, palette, (channel, dial), unit, glass, actions);
        }
    }
    keys_ui(ui, palette);
}

/// Loupe and ring of the channel that is read side by side, the rest below.
fn small_ui(
    ui: &mut Ui,
    palette: &Palette,
    unit: &mut OnBench,
    (glass, live): (&PracticeGlass, Option<&LiveGlass>),
    actions: &mut Vec<Action>,
) {
    let [dial, _] = DIAL;
    let read = glass.loupe.channel;
    ui.horizontal_top(|ui| {
        match live {
            Some(live) => live_picture_ui(ui, palette, Vec2::splat(LEAST), live),
            None => magnified_ui(ui, palette, LEAST, glass),
        }
        ui.vertical(|ui| ring_ui(ui, palette, (read, dial), unit, glass, actions));
    });
    if let Some(live) = live {
        live_words_ui(ui, palette, live);
    }
    words_ui(ui, palette, unit, (glass, live.is_some()), actions);
    ui.horizontal_top(|ui| {
        if live.is_none() {
            graticule_ui(ui, palette, LEAST, glass);
        }
        ui.vertical(|ui| ring_ui(ui, palette, (read.other(), dial), unit, glass, actions));
    });
    keys_ui(ui, palette);
}

fn graticule_ui(ui: &mut Ui, palette: &Palette, side: f32, glass: &PracticeGlass) {
    let (rect, _) = room_ui(ui, Vec2::splat(side), Sense::hover(), &glass.telling);
    field_ui(ui, palette, rect, &glass.glass);
}

fn magnified_ui(ui: &mut Ui, palette: &Palette, side: f32, glass: &PracticeGlass) {
    let telling = format!("Loupe over the {} crosshair", glass.loupe.channel);
    let (rect, _) = room_ui(ui, Vec2::splat(side), Sense::hover(), &telling);
    loupe_ui(ui, palette, rect, &glass.loupe);
}

/// What is seen, another look, and the reading in words for whom it cannot be made out; `filmed`: a camera shows it.
fn words_ui(
    ui: &mut Ui,
    palette: &Palette,
    unit: &OnBench,
    (glass, filmed): (&PracticeGlass, bool),
    actions: &mut Vec<Action>,
) {
    if unit.is_sat() {
        let until =
            unit.until().map_or_else(String::new, |until| format!(" Time is up at {until}."));
        let words = WITHHELD.replacen(": answers", &format!(".{until} Answers"), 1);
        message_ui(ui, palette, Tone::Plain, &words, false);
    }
    let of = glass.loupe.channel;
    let about = if filmed {
        format!(
            "An invented unit, through a camera: it sees the {of} crosshair, the other one is capped."
        )
    } else {
        format!(
            "An invented unit. The loupe stands over the {of} crosshair: numbers are divisions, short marks \
             tenths. Read x and y and type them{}.",
            if unit.is_sat() { "" } else { "; small rings show where each should go" }
        )
    };
    ui.add(Label::new(RichText::new(about).small().color(palette.quiet)).wrap());
    ui.horizontal_wrapped(|ui| {
        let again = Button::new("Look again").min_size(vec2(0.0, TARGET));
        let about = "Each look has noise of its own; so has each reading after it is logged.";
        if ui.add(again).tell_on_hover(about).clicked() {
            actions.push(Action::Unit(UnitAction::LookAgain));
        }
        let camera = "Through a camera";
        let films = ui.add(switch(palette, filmed, camera, 0.0));
        keyboard_ring(ui, palette, &films);
        films.widget_info(|| WidgetInfo::selected(Role::Button, true, filmed, camera));
        let about = "Show it through an invented camera, which reads it into the row; Enter logs. A reading that \
                     a camera told is noted as told.";
        if films.tell_on_hover(about).clicked() {
            actions.push(Action::Do(UiCommand::Camera));
        }
        let tells = unit.tells(glass.loupe.channel);
        let tell = ui.add(switch(palette, tells, "Tell the reading", 0.0));
        keyboard_ring(ui, palette, &tell);
        tell.widget_info(|| WidgetInfo::selected(Role::Button, true, tells, "Tell the reading"));
        let about = "Say in words what this crosshair reads, once, where the graticule cannot be made out. It \
                     is noted, and a reading that was told is not your own.";
        if tell.tell_on_hover(about).clicked() {
            actions.push(Action::Unit(UnitAction::TellReading));
        }
        if tells {
            ui.tell(&glass.reads[glass.loupe.channel]);
        }
        found_ui(ui, unit, glass.loupe.channel, actions);
    });
    if !unit.said().is_empty() {
        let said =
            format!("Said to be wrong: {}. Undo takes the last back.", unit.said().join("; "));
        ui.add(Label::new(RichText::new(said).color(palette.quiet)).wrap());
    }
}

/// What the trainee says is wrong: of the channel that is read, where it belongs to one.
fn found_ui(ui: &mut Ui, unit: &OnBench, channel: Channel, actions: &mut Vec<Action>) {
    if unit.unit().series == Series::First {
        return;
    }
    let menu = ui.menu_button("Something is wrong ▾", |ui| {
        for fault in Fault::ALL {
            let finding = PlacedFault::new(fault, channel);
            let text = paper::words::capital(&finding.to_string());
            let button = Button::new(text).min_size(vec2(260.0, TARGET));
            if ui.add(button).tell_on_hover(fault.shows()).clicked() {
                actions.push(Action::Unit(UnitAction::Found(finding)));
                ui.close();
            }
        }
    });
    menu.response.tell_on_hover(
        "Say what you found wrong with unit, bench or log. What is so is scored; each thing said that is not \
         so costs.",
    );
}

fn keys_ui(ui: &mut Ui, palette: &Palette) {
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
