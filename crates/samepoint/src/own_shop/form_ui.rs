//! A form on screen: the drawing of what its numbers mean above its fields, what is refused beside the field.

use egui::{Button, Id, RichText, ScrollArea, Ui, vec2};

use super::OwnAction;
use super::begin_ui::ESC_DROPS;
use super::drawing::{drawing_height, drawing_ui};
use super::form::fields::{FieldKind, FormField, YES};
use super::form::marks::MARKS;
use super::form::{Form, KeptKind};
use super::graticule_ui::graticule_ui;
use super::head_picture_ui::head_picture_ui;
use super::marks_ui::marks_ui;
use crate::app::action::Action;
use crate::sheets::keyboard::LOG_BLOCK;
use crate::sheets::keyboard::from_its_head;
use crate::sheets::parts::{buttons_ui, first_field};
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::widgets::{
    Label, Tell, Tone, follow_keyboard, message_ui, number_ui, page_keys, paragraph_ui, switch_ui,
    text_ui, tick_ui,
};

/// How the keyboard gets out of a field with lines of its own.
const LINES: &str = "Enter makes a line, Tab goes on, Ctrl+Enter keeps the form.";
/// Two numbers stand side by side where the form is this wide, points.
const PAIR: f32 = 400.0;
/// A drawing needs a sheet this high, points; in a lower one the fields have the room.
const ROOM_TO_DRAW: f32 = 380.0;

/// A picture of a graticule stands above its fields where a sheet is this high, points.
const ROOM_FOR_PICTURE: f32 = 560.0;
/// How high it is at most, points.
const PICTURE: f32 = 300.0;
/// And where it scrolls with its fields.
const SMALL_PICTURE: f32 = 200.0;

/// Shows it.
pub(crate) fn form_ui(ui: &mut Ui, palette: &Palette, form: &mut Form, actions: &mut Vec<Action>) {
    let name = form.name();
    if !name.is_empty() {
        ui.add(Label::new(RichText::new(name).font(theme::bold(15.0))).truncate());
    }
    if ui.available_height() > ROOM_TO_DRAW && drawing_height(form) > 0.0 {
        drawing_ui(ui, palette, form);
    }
    // A camera map’s picture stands above its numbers; where there is no room for both, they scroll together.
    let is_camera = form.of == KeptKind::Camera;
    let stands = is_camera && ui.available_height() > ROOM_FOR_PICTURE;
    if stands {
        let height = (0.42 * ui.available_height()).min(PICTURE);
        graticule_ui(ui, palette, form, height, actions);
        ui.separator();
    }
    let foot = 52.0 + if form.asks_drop() || form.unplaced().is_some() { 62.0 } else { 0.0 };
    let height = (ui.available_height() - foot).max(60.0);
    // Before the fields hear of it: in one with lines of its own it would make one.
    let mut enter = ui.input_mut(|input| input.consume_shortcut(&LOG_BLOCK));
    from_its_head(ui).max_height(height).show(ui, |ui| {
        ui.set_width(ui.available_width() - 10.0);
        if is_camera && !stands {
            graticule_ui(ui, palette, form, SMALL_PICTURE, actions);
        }
        page_keys(ui, height);
        if let Some((words, look)) = &form.standing {
            let tone = if *look { Tone::Look } else { Tone::Plain };
            for words in words {
                message_ui(ui, palette, tone, &paper::words::sentence(words), false);
            }
        }
        enter |= fields_ui(ui, palette, form);
        head_picture_ui(ui, palette, form, actions);
        if form.before.is_some() {
            earlier_ui(ui, palette, form, actions);
        }
        follow_keyboard(ui);
    });
    if let Some(why) = form.unplaced() {
        message_ui(ui, palette, Tone::Look, why, false);
    }
    if form.asks_drop() {
        message_ui(ui, palette, Tone::Look, ESC_DROPS, false);
    }
    if buttons_ui(ui, "Keep", actions) || enter {
        actions.push(Action::Own(OwnAction::KeepForm));
    }
}

/// All fields, numbers two by two; whether Enter was pressed in one.
fn fields_ui(ui: &mut Ui, palette: &Palette, form: &mut Form) -> bool {
    let wrong = form.wrong.clone();
    let of = form.of;
    let mut enter = false;
    let wide = ui.available_width() >= PAIR;
    let fields = &mut form.fields.0;
    let typed = |field: &FormField| !matches!(field.kind, FieldKind::Tick | FieldKind::OneOf(_));
    let first_typed = fields.iter().position(typed);
    let mut place = 0;
    let mut marks = false;
    while place < fields.len() {
        let Some((first, rest)) = fields.get_mut(place..).and_then(<[FormField]>::split_first_mut)
        else {
            break;
        };
        if !first.heading.is_empty() {
            ui.add_space(8.0);
            ui.add(Label::new(RichText::new(first.heading).font(theme::bold(14.5))).wrap());
        }
        if first.kind == FieldKind::Marks {
            marks = true;
            place += 1;
            continue;
        }
        let beside = rest.first_mut().filter(|next| {
            wide && first.kind == FieldKind::Number
                && next.kind == FieldKind::Number
                && next.heading.is_empty()
        });
        let id = |place: usize| {
            if first_typed == Some(place) { first_field() } else { Id::unique(("form", of, place)) }
        };
        let mut shown: Vec<&FormField> = Vec::new();
        match beside {
            Some(second) => {
                ui.columns_const(|[left, right]| {
                    enter |= field_ui(left, palette, id(place), first);
                    enter |= field_ui(right, palette, id(place + 1), second);
                });
                shown.extend([&*first, &*second]);
            }
            None => {
                enter |= field_ui(ui, palette, id(place), first);
                shown.push(first);
            }
        }
        place += shown.len();
        for field in shown {
            if let Some(wrong) = wrong.as_ref().filter(|wrong| wrong.key == Some(field.key)) {
                let shown = message_ui(ui, palette, Tone::Look, &wrong.why, false);
                if std::mem::take(&mut form.show_wrong) {
                    shown.scroll_to_me(None);
                }
            }
            if field.kind == FieldKind::Paragraph {
                ui.add(Label::new(RichText::new(LINES).small().color(palette.quiet)).wrap());
            }
            if !field.why.is_empty() {
                ui.add(Label::new(RichText::new(field.why).small().color(palette.quiet)).wrap());
            }
        }
    }
    if let Some(desk) = form.desk.as_mut().filter(|_| marks) {
        if let Some(wrong) = wrong.as_ref().filter(|wrong| wrong.key == Some(MARKS)) {
            let shown = message_ui(ui, palette, Tone::Look, &wrong.why, false);
            if std::mem::take(&mut form.show_wrong) {
                shown.scroll_to_me(None);
            }
        }
        marks_ui(ui, palette, &mut form.fields, desk);
    }
    enter
}

fn field_ui(ui: &mut Ui, palette: &Palette, id: Id, field: &mut FormField) -> bool {
    match field.kind {
        FieldKind::Paragraph => {
            paragraph_ui(ui, palette, id, field.name, &mut field.text, field.hint);
            false
        }
        FieldKind::Words => text_ui(ui, palette, id, field.name, &mut field.text, field.hint),
        FieldKind::Number | FieldKind::Numbers => {
            number_ui(ui, palette, id, field.name, &mut field.text, field.hint)
        }
        // Shown by themselves, below all else.
        FieldKind::Marks => false,
        FieldKind::Tick => {
            let mut on = !field.text.is_empty();
            let enter = tick_ui(ui, id, &mut on, field.name);
            field.text = if on { YES.to_owned() } else { String::new() };
            enter
        }
        FieldKind::OneOf(words) => {
            ui.tell(RichText::new(field.name).color(palette.quiet));
            ui.horizontal_wrapped(|ui| {
                for word in words {
                    let telling = format!("{}: {word}", field.name);
                    if switch_ui(ui, palette, field.text == *word, word, &telling).clicked() {
                        field.text = (*word).to_owned();
                    }
                }
            });
            false
        }
    }
}

/// What it was before, once a hand asks.
fn earlier_ui(ui: &mut Ui, palette: &Palette, form: &Form, actions: &mut Vec<Action>) {
    ui.add_space(8.0);
    let Some(earlier) = &form.earlier else {
        let button = Button::new("What it was before").min_size(vec2(0.0, TARGET));
        if ui.add(button).clicked() {
            actions.push(Action::Own(OwnAction::ShowEarlier));
        }
        return;
    };
    if earlier.is_empty() {
        let none = "It was never changed. Once it is, what it was lies here under its date; sessions keep what they \
                    were made with.";
        ui.add(Label::new(RichText::new(none).small().color(palette.quiet)).wrap());
    }
    ScrollArea::vertical().id_salt("earlier").max_height(200.0).show(ui, |ui| {
        for (until, differences) in earlier {
            let head = format!("Until {until}");
            ui.add(Label::new(RichText::new(head).font(theme::bold(13.0))).wrap());
            for difference in differences {
                ui.add(Label::new(difference).wrap());
            }
            if differences.is_empty() {
                ui.tell(
                    RichText::new("Nothing that this form shows was another.").color(palette.quiet),
                );
            }
        }
    });
}
