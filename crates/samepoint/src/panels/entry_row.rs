//! The entry row: channel, ring angle, x and y. It never moves, and Enter logs.

use egui::{Button, Key, Modifiers, RichText, Stroke, Ui, vec2};
use record::ReadingUnit;
use record::fact::{Approach, Purpose};
use solver::Channel;

use crate::app::Action;
use crate::app::entry::{Entry, Field};
use crate::theme::{self, Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{NumberField, Tone, channel_colour_text, message_ui, number_field_ui};

/// Ring steps offered, degrees.
const STEPS_DEG: [f64; 6] = [0.0, 30.0, 45.0, 60.0, 90.0, 120.0];

/// What the row needs to know beside its own text.
#[derive(Clone, Copy, Debug)]
pub struct EntryContext<'a> {
    /// Why nothing is logged any more, when the record is signed.
    pub closed: Option<&'a str>,
    /// What is asked for while confirming.
    pub asks: &'a str,
    /// Whether facts may be added.
    pub writable: bool,
    /// Whether a reading can still be *as found*: no ring was touched yet.
    pub as_found_possible: bool,
    /// Whether the station has a map from divisions.
    pub has_divisions: bool,
}

/// Shows the row.
pub fn entry_row_ui(
    ui: &mut Ui,
    palette: &Palette,
    entry: &mut Entry,
    context: EntryContext<'_>,
    actions: &mut Vec<Action>,
) {
    let open = context.writable && context.closed.is_none();
    ui.horizontal(|ui| {
        ui.add_enabled_ui(context.writable, |ui| {
            purpose_choice(ui, palette, entry, context, actions);
        });
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            unit_choice(ui, entry, context);
        });
    });
    egui::Frame::new()
        .fill(palette.raised)
        .stroke(Stroke::new(1.0, palette.line))
        .corner_radius(6)
        .inner_margin(10)
        .show(ui, |ui| {
            ui.add_enabled_ui(open, |ui| {
                channel_choice(ui, palette, entry, actions);
                numbers(ui, palette, entry, actions);
                steps(ui, palette, entry, actions);
            });
        });
    // Room for a refusal is kept free, so that nothing below moves when one comes.
    ui.allocate_ui(vec2(ui.available_width(), 74.0), |ui| {
        ui.set_min_height(74.0);
        if let Some(closed) = context.closed {
            message_ui(ui, palette, Tone::Good, closed, false);
        } else if let Some((_, why)) = &entry.refused {
            message_ui(ui, palette, Tone::Look, why, false);
        } else if !context.writable {
            ui.label(RichText::new("Read only: nothing can be logged here.").color(palette.quiet));
        } else {
            let hint = match entry.purpose {
                Purpose::AsFound => {
                    "As found: read both channels before a ring, lock or dioptre is touched."
                }
                Purpose::Confirm => context.asks,
                Purpose::Log => {
                    "Turn the ring, read the crosshair, Enter. L or R changes channel. \
                     Leave the ring empty if it cannot be read."
                }
            };
            ui.label(RichText::new(hint).small().color(palette.quiet));
        }
    });
}

fn unit_choice(ui: &mut Ui, entry: &mut Entry, context: EntryContext<'_>) {
    egui::ComboBox::from_id_salt("unit")
        .selected_text(entry.unit.word())
        .show_ui(ui, |ui| {
            for unit in [
                ReadingUnit::Arcmin,
                ReadingUnit::Divisions,
                ReadingUnit::Mrad,
                ReadingUnit::Mil,
                ReadingUnit::PrismDioptre,
            ] {
                if unit != ReadingUnit::Divisions || context.has_divisions {
                    ui.selectable_value(&mut entry.unit, unit, unit.word());
                }
            }
        })
        .response
        .on_hover_text("Unit of x and y");
}

/// As found, or log; once rings have been turned, log or confirm.
fn purpose_choice(
    ui: &mut Ui,
    palette: &Palette,
    entry: &Entry,
    context: EntryContext<'_>,
    actions: &mut Vec<Action>,
) {
    ui.spacing_mut().item_spacing.x = 2.0;
    let as_found = entry.purpose == Purpose::AsFound;
    let choice = |text: &str, chosen: bool| {
        let colour = if chosen { palette.here } else { palette.quiet };
        Button::new(RichText::new(text).font(theme::bold(14.5)).color(colour))
            .selected(chosen)
            .fill(if chosen { palette.line } else { palette.ground })
            .min_size(vec2(58.0, TARGET))
    };
    if context.as_found_possible || as_found {
        let found = ui.add(choice("As found", as_found));
        if found.on_hover_text(UiCommand::Purpose.tip()).clicked() {
            actions.push(Action::AsFound);
        }
    }
    let log = ui.add(choice("Log", entry.purpose == Purpose::Log));
    if log.on_hover_text("Readings from which the circles are learned.").clicked() {
        actions.push(Action::Logging);
    }
    if !context.as_found_possible && !as_found {
        let confirm = ui.add(choice("Confirm", entry.purpose == Purpose::Confirm));
        if confirm.on_hover_text(UiCommand::Confirm.tip()).clicked() {
            actions.push(Action::Do(UiCommand::Confirm));
        }
    }
}

fn channel_choice(ui: &mut Ui, palette: &Palette, entry: &Entry, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        let width = (ui.available_width() - ui.spacing().item_spacing.x) / 2.0;
        for (channel, command) in
            [(Channel::Left, UiCommand::Left), (Channel::Right, UiCommand::Right)]
        {
            let chosen = entry.channel == channel;
            let edge = if chosen { palette.channel(channel) } else { palette.edge };
            let button = Button::new(channel_colour_text(palette, channel, ""))
                .selected(chosen)
                .fill(if chosen { palette.well } else { palette.raised })
                .stroke(Stroke::new(if chosen { 2.0 } else { 1.0 }, edge))
                .min_size(vec2(width, TARGET));
            if ui.add(button).on_hover_text(command.tip()).clicked() {
                actions.push(Action::Do(command));
            }
        }
    });
}

fn numbers(ui: &mut Ui, palette: &Palette, entry: &mut Entry, actions: &mut Vec<Action>) {
    let sign = entry.unit.sign();
    let channel = entry.channel;
    let mut enter = None;
    let mut letters = Vec::new();
    ui.horizontal(|ui| {
        let width = ((ui.available_width() - 16.0) / 3.0).floor().clamp(64.0, 120.0);
        let refused = entry.refused.as_ref().map(|(field, _)| *field);
        let names = ["ring °".to_owned(), format!("x {sign}"), format!("y {sign}")];
        for (field, name) in [Field::Ring, Field::X, Field::Y].into_iter().zip(&names) {
            let text = match field {
                Field::Ring => &mut entry.ring[channel],
                Field::X => &mut entry.x,
                Field::Y => &mut entry.y,
            };
            let full_name = format!("{channel} {} entry", field.word());
            let shown = NumberField {
                id: field.id(),
                name,
                full_name: &full_name,
                width,
                hint: if field == Field::Ring { "none" } else { "" },
                refused: refused == Some(field),
            };
            let (response, typed) = number_field_ui(ui, palette, &shown, text);
            letters.extend(typed);
            if response.changed() && refused == Some(field) {
                entry.refused = None;
            }
            if response.lost_focus() && ui.input(|input| input.key_pressed(Key::Enter)) {
                enter = Some(field);
            }
            if response.gained_focus() {
                select_all(ui, field, text);
            }
        }
    });
    // The Enter that left one field must not be seen by the next.
    if let Some(field) = enter {
        ui.input_mut(|input| input.consume_key(Modifiers::NONE, Key::Enter));
        match (field, trouble(entry, field)) {
            (_, Some(why)) => {
                entry.refused = Some((field, why));
                entry.focus = Some(field);
            }
            (Field::Ring, None) => entry.focus = Some(Field::X),
            (Field::X, None) if entry.y.trim().is_empty() => entry.focus = Some(Field::Y),
            (Field::X | Field::Y, None) => actions.push(Action::Do(UiCommand::Log)),
        }
    }
    for letter in letters {
        match letter {
            'l' => actions.push(Action::Do(UiCommand::Left)),
            'r' => actions.push(Action::Do(UiCommand::Right)),
            _ => {}
        }
    }
}

/// What is wrong with a field that Enter leaves, if anything is.
fn trouble(entry: &Entry, field: Field) -> Option<String> {
    let text = match field {
        Field::Ring if entry.ring[entry.channel].trim().is_empty() => return None,
        Field::Ring => &entry.ring[entry.channel],
        Field::X => &entry.x,
        Field::Y => &entry.y,
    };
    record::parse_number(text).err().map(|why| entry.refusal(field, &why))
}

/// A field that is come back to is typed over, not typed into.
fn select_all(ui: &Ui, field: Field, text: &str) {
    if let Some(mut state) = egui::TextEdit::load_state(ui.ctx(), field.id()) {
        let all = egui::text::CCursorRange::two(
            egui::text::CCursor::new(0),
            egui::text::CCursor::new(text.chars().count()),
        );
        state.cursor.set_char_range(Some(all));
        state.store(ui.ctx(), field.id());
    }
}

fn steps(ui: &mut Ui, palette: &Palette, entry: &mut Entry, actions: &mut Vec<Action>) {
    ui.horizontal(|ui| {
        ui.label(RichText::new("step").small().color(palette.quiet));
        let text = if entry.step_deg == 0.0 {
            "none".to_owned()
        } else {
            paper::words::degrees(entry.step_deg, entry.step_deg)
        };
        egui::ComboBox::from_id_salt("step")
            .width(58.0)
            .selected_text(text)
            .show_ui(ui, |ui| {
                for step_deg in STEPS_DEG {
                    let text = if step_deg == 0.0 {
                        "none".to_owned()
                    } else {
                        paper::words::degrees(step_deg, step_deg)
                    };
                    ui.selectable_value(&mut entry.step_deg, step_deg, text);
                }
            })
            .response
            .on_hover_text("How far the ring angle steps on after each reading");
        let text = match entry.approach {
            Approach::NotNoted => "approach ·",
            Approach::Clockwise => "approach ↻",
            Approach::Counter => "approach ↺",
        };
        egui::ComboBox::from_id_salt("approach")
            .width(96.0)
            .selected_text(text)
            .show_ui(ui, |ui| {
                for approach in [Approach::NotNoted, Approach::Clockwise, Approach::Counter] {
                    ui.selectable_value(&mut entry.approach, approach, approach.word());
                }
            })
            .response
            .on_hover_text("The way the ring was turned to reach its angle; rings have backlash");
        ui.with_layout(egui::Layout::right_to_left(egui::Align::Center), |ui| {
            let button = Button::new(RichText::new("Enter").font(theme::bold(14.5)))
                .min_size(vec2(56.0, TARGET));
            if ui.add(button).on_hover_text(UiCommand::Log.tip()).clicked() {
                actions.push(Action::Do(UiCommand::Log));
            }
        });
    });
}
