//! The units that wait, the most urgent first: adding one, beginning it, how far each has come.

use egui::{Id, RichText, Ui};
use record::units_waiting::{UnitWaiting, WaitingState, WaitingStep};

use super::{DayAction, DayField, DayStep, UnitsAction, UnitsSheet};
use crate::app::action::Action;
use crate::sheets::parts::{SheetContext, buttons_ui, first_field};
use crate::theme::Palette;
use crate::widgets::{Label, Tone, message_ui, shortened_button_ui, text_ui};

/// Units taken off the list that can be put back from here, the last taken first.
const TAKEN_OFF_SHOWN: usize = 3;

fn id_of(field: DayField) -> Id {
    match field {
        DayField::Unit => first_field(),
        field => Id::unique(("units", field)),
    }
}

pub(crate) fn units_ui(
    ui: &mut Ui,
    palette: &Palette,
    sheet: &mut UnitsSheet,
    context: &SheetContext<'_>,
    actions: &mut Vec<Action>,
) {
    if sheet.asks.is_some() {
        reason_ui(ui, palette, sheet, actions);
    } else {
        adding_ui(ui, palette, sheet, actions);
        list_ui(ui, palette, context, actions);
    }
    if let Some(focus) = sheet.focus.take() {
        ui.memory_mut(|memory| memory.request_focus(id_of(focus)));
    }
}

fn beside(ui: &mut Ui, palette: &Palette, sheet: &UnitsSheet, field: DayField) {
    if let Some((_, why)) = sheet.refused.as_ref().filter(|(of, _)| *of == field) {
        message_ui(ui, palette, Tone::Look, why, false);
    }
}

fn adding_ui(ui: &mut Ui, palette: &Palette, sheet: &mut UnitsSheet, actions: &mut Vec<Action>) {
    let (unit, due) = (id_of(DayField::Unit), id_of(DayField::Due));
    let mut enter = text_ui(ui, palette, unit, "Unit", &mut sheet.unit, "what is written on it");
    beside(ui, palette, sheet, DayField::Unit);
    enter |= text_ui(ui, palette, due, "Due", &mut sheet.due, "2026-11-25, or empty");
    beside(ui, palette, sheet, DayField::Due);
    let purpose = Id::unique("units purpose");
    enter |= text_ui(ui, palette, purpose, "For", &mut sheet.purpose, "customer and job");
    let condition = Id::unique("units condition");
    enter |= text_ui(ui, palette, condition, "Condition", &mut sheet.condition, "as it came in");
    if buttons_ui(ui, "Add to the list", actions) || enter {
        actions.push(Action::Day(DayAction::Units(UnitsAction::Add)));
    }
    ui.separator();
}

fn list_ui(ui: &mut Ui, palette: &Palette, context: &SheetContext<'_>, actions: &mut Vec<Action>) {
    let (list, day) = (&context.offers.waiting, context.now.date());
    if let Some(why) = &context.offers.waiting_unread {
        message_ui(ui, palette, Tone::Look, &format!("{why}."), false);
    }
    ui.add(Label::new(RichText::new(list.words(day)).color(palette.quiet)).wrap());
    for unit in list.on_list(day) {
        let tone = if unit.is_overdue(day) { Tone::Look } else { Tone::Plain };
        message_ui(ui, palette, tone, &format!("{}.", unit.words(day)), false);
        ui.horizontal_wrapped(|ui| steps_ui(ui, unit, actions));
    }
    let off = list.units.iter().rev().filter_map(|unit| Some((unit, unit.off.as_ref()?)));
    for (unit, why) in off.take(TAKEN_OFF_SHOWN) {
        let text = format!("{}: taken off by {}: {why}.", unit.unit.unit, unit.moved.0);
        ui.add(Label::new(RichText::new(text).color(palette.quiet)).wrap());
        step_ui(ui, "Put back", unit, UnitsAction::Move(unit.seq, WaitingStep::Waits), actions);
    }
    for (seq, why) in &list.journal.ignored {
        let text = format!("Fact {seq} of the list is left aside: {why}");
        message_ui(ui, palette, Tone::Look, &text, false);
    }
}

fn steps_ui(ui: &mut Ui, unit: &UnitWaiting, actions: &mut Vec<Action>) {
    let seq = unit.seq;
    let mut offer = |text: &str, action: UnitsAction| step_ui(ui, text, unit, action, actions);
    match unit.state {
        WaitingState::Waiting => offer("Begin", UnitsAction::Begin(seq)),
        WaitingState::Begun(_) => {
            offer("Interrupted…", UnitsAction::Ask(seq, DayStep::Interrupted));
            offer("Ready", UnitsAction::Move(seq, WaitingStep::Ready));
        }
        WaitingState::Interrupted(_) => {
            offer("Begin", UnitsAction::Begin(seq));
            offer("Ready", UnitsAction::Move(seq, WaitingStep::Ready));
        }
        WaitingState::Ready => offer("Not ready", UnitsAction::Move(seq, WaitingStep::Waits)),
    }
    offer("Take off…", UnitsAction::Ask(seq, DayStep::TakenOff));
}

fn step_ui(
    ui: &mut Ui,
    text: &str,
    unit: &UnitWaiting,
    action: UnitsAction,
    actions: &mut Vec<Action>,
) {
    let named = match text.strip_suffix('…') {
        Some(text) => format!("{text} {}…", unit.unit.unit),
        None => format!("{text} {}", unit.unit.unit),
    };
    if shortened_button_ui(ui, &named, 0.0).clicked() {
        actions.push(Action::Day(DayAction::Units(action)));
    }
}

fn reason_ui(ui: &mut Ui, palette: &Palette, sheet: &mut UnitsSheet, actions: &mut Vec<Action>) {
    let Some((_, unit, asked)) = &sheet.asks else { return };
    let (told, on, hint) = match asked {
        DayStep::Interrupted => {
            (format!("Work on {unit} rests."), "Interrupted", "what is waited for")
        }
        DayStep::TakenOff => (
            format!("{unit} goes off the list; it can be put back."),
            "Take off",
            "fetched by …, entered by mistake",
        ),
    };
    ui.add(Label::new(RichText::new(told).color(palette.text)).wrap());
    let reason = id_of(DayField::Reason);
    let enter = text_ui(ui, palette, reason, "Why", &mut sheet.reason, hint);
    beside(ui, palette, sheet, DayField::Reason);
    if buttons_ui(ui, on, actions) || enter {
        actions.push(Action::Day(DayAction::Units(UnitsAction::Decide)));
    }
}
