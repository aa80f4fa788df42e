//! The entry row: channel, ring angle, x and y. It never moves, and Enter logs.

use egui::{
    Align, Button, ComboBox, Key, Layout, RichText, ScrollArea, Stroke, Ui, WidgetInfo,
    accesskit::Role, vec2,
};
use record::ReadingUnit;
use record::fact::{Approach, Purpose};
use record::station::Shows;
use solver::Channel;

use super::{EntryField, EntryRow, RING_STEPS_DEG};
use crate::app::action::Action;
use crate::theme;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{
    LONGEST_NUMBER, Label, NumberChain, NumberField, TellOnHover, Tone, channel_colour_text,
    keyboard_ring, message_ui, select_all, term_sentence_as_ui, tip, told_as_number,
};

/// What the row needs to know beside its own text.
#[derive(Clone, Debug, Default)]
pub(crate) struct EntryContext {
    /// Why nothing can be logged, if nothing can.
    pub closed: Option<String>,
    /// Why nothing is logged any more, when the record is signed.
    pub signed: Option<String>,
    /// What is asked for while confirming.
    pub asks: &'static str,
    /// Whether a reading can still be *as found*: no ring was touched yet.
    pub as_found_possible: bool,
    /// What the station shows at one look.
    pub shows: Shows,
    /// Whether the station has a map from divisions.
    pub has_divisions: bool,
    /// What was done last.
    pub notice: Option<String>,
    /// The same with the whole of a place in it, where it shows only a part.
    pub notice_whole: Option<String>,
    /// Where a reading would tell most.
    pub suggestion: Option<String>,
}

impl EntryContext {
    /// Whether a reading can be logged.
    fn is_open(&self) -> bool {
        self.closed.is_none() && self.signed.is_none()
    }
}

/// Room for a refusal of three lines is kept free, so that nothing below moves when one comes.
const HINT_HEIGHT: f32 = 70.0;

/// Shows the row at the head of the log, where there is room for it.
pub(crate) fn entry_row_ui(
    ui: &mut Ui,
    palette: &Palette,
    entry: &mut EntryRow,
    context: &EntryContext,
    actions: &mut Vec<Action>,
) {
    let open = context.is_open();
    ui.horizontal(|ui| {
        let writable = context.closed.is_none();
        ui.add_enabled_ui(writable, |ui| purpose_choice(ui, palette, entry, context, actions));
        ui.with_layout(Layout::right_to_left(Align::Center), |ui| {
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
                let half = ((ui.available_width() - ui.spacing().item_spacing.x) / 2.0).floor();
                if context.shows == Shows::Direction {
                    ui.horizontal(|ui| channel_choice(ui, palette, entry, half, actions));
                    ui.horizontal(|ui| {
                        let width =
                            ((ui.available_width() - 16.0) / 3.0).floor().clamp(64.0, 120.0);
                        numbers(ui, palette, entry, &OF_CHANNEL, width, context.shows, actions);
                    });
                } else {
                    ui.horizontal(|ui| {
                        numbers(ui, palette, entry, &RINGS, half, context.shows, actions);
                    });
                    ui.horizontal(|ui| seen_ui(ui, palette, entry, half, context.shows, actions));
                }
                ui.horizontal(|ui| {
                    ui.spacing_mut().item_spacing.x = 5.0;
                    step_choice(ui, palette, entry);
                    approach_choice(ui, palette, entry, actions);
                    if context.shows != Shows::Box {
                        enter_button(ui, ui.available_width(), actions);
                    }
                });
            });
        });
    let room = vec2(ui.available_width(), HINT_HEIGHT);
    ui.allocate_ui(room, |ui| {
        ui.set_min_size(room);
        hint_ui(ui, palette, entry, context, actions);
    });
}

/// Shows the row across a small window, in two lines.
pub(crate) fn entry_row_across_ui(
    ui: &mut Ui,
    palette: &Palette,
    entry: &mut EntryRow,
    context: &EntryContext,
    actions: &mut Vec<Action>,
) {
    entry_line_ui(ui, palette, entry, context, actions);
    let open = context.is_open();
    ui.horizontal(|ui| {
        ui.add_enabled_ui(open, |ui| {
            purpose_choice(ui, palette, entry, context, actions);
            ui.spacing_mut().item_spacing.x = 8.0;
        });
        unit_choice(ui, entry, context);
        ui.add_enabled_ui(open, |ui| {
            step_choice(ui, palette, entry);
            approach_choice(ui, palette, entry, actions);
        });
    });
}

/// Shows its first line only: what a reading is typed in.
pub(crate) fn entry_line_ui(
    ui: &mut Ui,
    palette: &Palette,
    entry: &mut EntryRow,
    context: &EntryContext,
    actions: &mut Vec<Action>,
) {
    let open = context.is_open();
    ui.add_enabled_ui(open, |ui| {
        // A row of its own height: a layout by itself would take all there is.
        let row = vec2(ui.available_width(), 52.0);
        ui.allocate_ui_with_layout(row, Layout::left_to_right(Align::Max), |ui| {
            if context.shows == Shows::Direction {
                channel_choice(ui, palette, entry, 86.0, actions);
                let width = ((ui.available_width() - 96.0) / 3.0).floor().clamp(64.0, 140.0);
                numbers(ui, palette, entry, &OF_CHANNEL, width, context.shows, actions);
            } else {
                let width = ((ui.available_width() - 104.0) / 4.0).floor().clamp(64.0, 140.0);
                numbers(ui, palette, entry, &RINGS, width, context.shows, actions);
                seen_ui(ui, palette, entry, width, context.shows, actions);
            }
            if context.shows != Shows::Box {
                enter_button(ui, ui.available_width(), actions);
            }
        });
    });
}

/// What is refused, else what was done last, else what to do now.
pub(crate) fn hint_ui(
    ui: &mut Ui,
    palette: &Palette,
    entry: &EntryRow,
    context: &EntryContext,
    actions: &mut Vec<Action>,
) {
    // Long words scroll rather than move what is below.
    ScrollArea::vertical().id_salt("hint").auto_shrink(false).show(ui, |ui| {
        ui.spacing_mut().item_spacing.y = 2.0;
        if let Some(signed) = &context.signed {
            message_ui(ui, palette, Tone::Good, signed, false);
            return;
        }
        if let Some((_, why)) = &entry.refused {
            refused_whole_ui(ui, palette, why);
            return;
        }
        if let Some(closed) = &context.closed {
            quiet(ui, palette, closed);
        }
        if let Some(notice) = &context.notice {
            let text = RichText::new(notice).small().color(palette.text);
            let shown = ui.add(Label::new(text).wrap());
            if let Some(whole) = &context.notice_whole {
                shown.widget_info(|| WidgetInfo::labeled(Role::Label, true, whole));
                shown.tell_on_hover(whole);
            }
        }
        if context.closed.is_some() {
            return;
        }
        let turn_next = format!(
            "Turn the {} ring on, read both at one look, Enter. L or R changes which ring goes on.",
            entry.channel.word()
        );
        let hint = match (entry.purpose, &context.suggestion) {
            (Purpose::AsFound, _) if context.shows != Shows::Direction => {
                "As found: read what the station shows before a ring, lock or dioptre is touched."
            }
            (Purpose::Confirm, _) if context.shows != Shows::Direction => {
                "This station does not show boresight. A verdict needs each channel read by itself: \
                 confirm on a station that shows it."
            }
            (Purpose::Log, _) if context.shows == Shows::Relative => &turn_next,
            (Purpose::Log, _) if context.shows == Shows::Box => {
                "Press what the station shows, or I for in the box and O for outside. It is never \
                 more than that: no number comes of it."
            }
            (Purpose::AsFound, _) => {
                "As found: read both channels before a ring, lock or dioptre is touched."
            }
            (Purpose::Confirm, _) => context.asks,
            (Purpose::Log, Some(suggestion)) => suggestion.as_str(),
            (Purpose::Log, None) => {
                "Turn the ring, read the crosshair, Enter. L or R changes channel; an empty ring \
                 field is a ring that cannot be read."
            }
        };
        // What is asked for may just have been said.
        if context.notice.as_deref() != Some(hint) {
            let look = |text: RichText| text.small().color(palette.quiet);
            match ["ellipse"].into_iter().find(|word| hint.contains(word)) {
                Some(word) => term_sentence_as_ui(ui, hint, look, word, actions),
                None => quiet(ui, palette, hint),
            }
        }
    });
}

/// A refusal, all of it: one longer than its room lies over what is below, and moves nothing.
fn refused_whole_ui(ui: &mut Ui, palette: &Palette, why: &str) {
    // Nothing that can be seen may end before it says what to do: it is laid out by itself first.
    let (room, width) = (ui.available_height(), ui.available_width());
    let font = egui::FontId::proportional(theme::BODY);
    let lines = ui.painter().layout(why.to_owned(), font, palette.look, width - 26.0);
    if lines.size().y + 18.0 <= room {
        message_ui(ui, palette, Tone::Look, why, false);
        return;
    }
    let over = egui::Area::new(egui::Id::unique("refusal over the log"))
        .order(egui::Order::Foreground)
        .fixed_pos(ui.cursor().min)
        .interactable(false);
    over.show(ui.ctx(), |ui| {
        ui.set_width(width);
        egui::Frame::new().fill(palette.ground).show(ui, |ui| {
            message_ui(ui, palette, Tone::Look, why, false);
        });
    });
}

fn quiet(ui: &mut Ui, palette: &Palette, text: &str) {
    ui.add(Label::new(RichText::new(text).small().color(palette.quiet)).wrap());
}

fn unit_choice(ui: &mut Ui, entry: &mut EntryRow, context: &EntryContext) {
    let shown = ComboBox::from_id_salt("unit").selected_text(entry.unit.word()).show_ui(ui, |ui| {
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
    });
    name_combo(&shown.response, "Unit of x and y", entry.unit.word());
    shown.response.tell_on_hover(tip(ui, UiCommand::Unit));
}

/// Gives a combo box a name beside its value.
fn name_combo(response: &egui::Response, name: &str, value: &str) {
    response.widget_info(|| WidgetInfo {
        label: Some(name.to_owned()),
        current_text_value: Some(value.to_owned()),
        ..WidgetInfo::new(Role::ComboBox)
    });
}

/// As found, or log; once rings have been turned, log or confirm.
fn purpose_choice(
    ui: &mut Ui,
    palette: &Palette,
    entry: &EntryRow,
    context: &EntryContext,
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
        if found.tell_on_hover(tip(ui, UiCommand::AsFound)).clicked() {
            actions.push(Action::Do(UiCommand::AsFound));
        }
    }
    let log = ui.add(choice("Log", entry.purpose == Purpose::Log));
    if log.tell_on_hover(tip(ui, UiCommand::Logging)).clicked() {
        actions.push(Action::Do(UiCommand::Logging));
    }
    if !context.as_found_possible && !as_found {
        let confirm = ui.add(choice("Confirm", entry.purpose == Purpose::Confirm));
        if confirm.tell_on_hover(tip(ui, UiCommand::Confirm)).clicked() {
            actions.push(Action::Do(UiCommand::Confirm));
        }
    }
}

fn channel_choice(
    ui: &mut Ui,
    palette: &Palette,
    entry: &EntryRow,
    width: f32,
    actions: &mut Vec<Action>,
) {
    for (channel, command) in [(Channel::Left, UiCommand::Left), (Channel::Right, UiCommand::Right)]
    {
        let chosen = entry.channel == channel;
        let edge = if chosen { palette.channel(channel) } else { palette.edge };
        let button = Button::new(channel_colour_text(palette, channel, ""))
            .selected(chosen)
            .fill(if chosen { palette.well } else { palette.raised })
            .stroke(Stroke::new(if chosen { 2.0 } else { 1.0 }, edge))
            .min_size(vec2(width, TARGET));
        let shown = ui.add(button).tell_on_hover(tip(ui, command));
        keyboard_ring(ui, palette, &shown);
        if shown.clicked() {
            actions.push(Action::Do(command));
        }
    }
}

/// What is typed where one channel's crosshair is read.
const OF_CHANNEL: [EntryField; 3] = [EntryField::Ring, EntryField::X, EntryField::Y];
/// Where both are read at one look.
const RINGS: [EntryField; 2] =
    [EntryField::RingOf(Channel::Left), EntryField::RingOf(Channel::Right)];

/// What was seen of both channels at one look: the difference, or in the box or outside.
fn seen_ui(
    ui: &mut Ui,
    palette: &Palette,
    entry: &mut EntryRow,
    width: f32,
    shows: Shows,
    actions: &mut Vec<Action>,
) {
    if shows == Shows::Relative {
        numbers(ui, palette, entry, &[EntryField::X, EntryField::Y], width, shows, actions);
        return;
    }
    for (text, inside) in [("In the box", true), ("Outside", false)] {
        let button =
            Button::new(RichText::new(text).font(theme::bold(14.5))).min_size(vec2(width, TARGET));
        let tip = if inside { "Log it as inside (I)." } else { "Log it as outside (O)." };
        if ui.add(button).tell_on_hover(tip).clicked() {
            actions.push(Action::LogBox(inside));
        }
    }
}

fn numbers(
    ui: &mut Ui,
    palette: &Palette,
    entry: &mut EntryRow,
    fields: &[EntryField],
    width: f32,
    shows: Shows,
    actions: &mut Vec<Action>,
) {
    let sign = entry.unit.sign();
    let channel = entry.channel;
    let mut chain = NumberChain::begun();
    let refused = entry.refused.as_ref().map(|(field, _)| *field);
    let both = shows != Shows::Direction;
    for field in fields.iter().copied() {
        let name = match field {
            EntryField::Ring | EntryField::Step => "ring °".to_owned(),
            EntryField::RingOf(of) => format!("{} ring °", of.word()),
            EntryField::X if both => format!("Δx {sign}, right − left"),
            EntryField::Y if both => format!("Δy {sign}, right − left"),
            EntryField::X => format!("x {sign}"),
            EntryField::Y => format!("y {sign}"),
        };
        let text = match field {
            EntryField::Ring => &mut entry.ring[channel],
            EntryField::RingOf(of) => &mut entry.ring[of],
            EntryField::X => &mut entry.x,
            EntryField::Y | EntryField::Step => &mut entry.y,
        };
        let full_name = if both {
            format!("{} entry, both channels", field.word())
        } else {
            format!("{channel} {} entry", field.word())
        };
        let is_ring = matches!(field, EntryField::Ring | EntryField::RingOf(_));
        let shown = NumberField {
            id: field.id(),
            name: &name,
            full_name: &full_name,
            width,
            hint: if is_ring { "none" } else { "" },
            refused: refused == Some(field),
            commands: match shows {
                Shows::Box => &['l', 'r', '/', '+', '*', 'i', 'o'],
                _ => &['l', 'r', '/', '+', '*'],
            },
        };
        let response = chain.field_ui(ui, palette, field, &shown, text);
        if response.changed() && refused == Some(field) {
            entry.refused = None;
        }
        if response.has_focus() {
            entry.at = field;
        }
    }
    let (entered, letters) = chain.heard(ui);
    if let Some(field) = entered {
        match (field, trouble(entry, field)) {
            (_, Some(why)) => {
                entry.refused = Some((field, why));
                entry.focus = Some(field);
            }
            (EntryField::RingOf(Channel::Left), None) => {
                entry.focus = Some(EntryField::RingOf(Channel::Right));
            }
            // A box is pressed, not typed.
            (EntryField::RingOf(Channel::Right), None) if shows == Shows::Box => {}
            (EntryField::Ring | EntryField::RingOf(_) | EntryField::Step, None) => {
                entry.focus = Some(EntryField::X);
            }
            (EntryField::X, None) if entry.y.trim().is_empty() => entry.focus = Some(EntryField::Y),
            (EntryField::X | EntryField::Y, None) => actions.push(Action::Do(UiCommand::Log)),
        }
    }
    for letter in letters {
        match letter {
            'l' => actions.push(Action::Do(UiCommand::Left)),
            'r' => actions.push(Action::Do(UiCommand::Right)),
            '/' => actions.push(Action::Do(UiCommand::OtherChannel)),
            '+' => actions.push(Action::Do(UiCommand::NextField)),
            '*' => actions.push(Action::Do(UiCommand::Keypad)),
            'i' => actions.push(Action::LogBox(true)),
            'o' => actions.push(Action::LogBox(false)),
            _ => {}
        }
    }
}

/// What is wrong with a field that Enter leaves, if anything is.
fn trouble(entry: &EntryRow, field: EntryField) -> Option<String> {
    let text = entry.text(field);
    match field {
        EntryField::Ring | EntryField::RingOf(_) if text.trim().is_empty() => return None,
        EntryField::Step => return None,
        _ => {}
    }
    record::Typed::by_hand(text).err().map(|why| entry.refusal(field, &why))
}

/// How far the ring steps on: typed, or one of the usual steps.
fn step_choice(ui: &mut Ui, palette: &Palette, entry: &mut EntryRow) {
    ui.label(RichText::new("step °").small().color(palette.quiet));
    let field = EntryField::Step;
    let edit = egui::TextEdit::singleline(&mut entry.step)
        .id(field.id())
        .font(theme::mono(14.0))
        .align(egui::Align2::RIGHT_CENTER)
        .min_size(vec2(50.0, TARGET))
        .desired_width(42.0)
        .char_limit(LONGEST_NUMBER);
    let response = ui.add(edit);
    told_as_number(&response, "Ring step, degrees", &entry.step);
    if response.gained_focus() {
        select_all(ui.ctx(), field.id());
    }
    if response.changed() && entry.refused.as_ref().is_some_and(|(refused, _)| *refused == field) {
        entry.refused = None;
    }
    if response.lost_focus() {
        entry.take_step();
        let refused = entry.refused.as_ref().is_some_and(|(refused, _)| *refused == field);
        if ui.input(|input| input.key_pressed(Key::Enter)) {
            entry.focus = Some(if refused { field } else { EntryField::X });
        }
    }
    response.tell_on_hover(tip(ui, UiCommand::RingStep));
    let steps = ui.menu_button("▾", |ui| {
        for step_deg in RING_STEPS_DEG {
            let text = if step_deg == 0.0 {
                "none".to_owned()
            } else {
                paper::words::degrees(step_deg, step_deg)
            };
            if ui.add(Button::new(text).min_size(vec2(72.0, TARGET))).clicked() {
                entry.set_step(step_deg);
                ui.close();
            }
        }
    });
    steps.response.widget_info(|| WidgetInfo::labeled(Role::Button, true, "Usual ring steps"));
}

/// The way the ring was turned: one button that goes round.
fn approach_choice(ui: &mut Ui, palette: &Palette, entry: &EntryRow, actions: &mut Vec<Action>) {
    let (text, colour) = match entry.approach {
        Approach::NotNoted => ("turned ·", palette.quiet),
        Approach::Clockwise => ("turned ↻", palette.text),
        Approach::Counter => ("turned ↺", palette.text),
    };
    let button =
        Button::new(RichText::new(text).small().color(colour)).min_size(vec2(72.0, TARGET));
    let shown = ui.add(button);
    let telling = format!("Approach {}", entry.approach.word());
    shown.widget_info(|| WidgetInfo::labeled(Role::Button, true, &telling));
    let about = format!("{telling}. {}", tip(ui, UiCommand::Approach));
    if shown.tell_on_hover(about).clicked() {
        actions.push(Action::Do(UiCommand::Approach));
    }
}

fn enter_button(ui: &mut Ui, width: f32, actions: &mut Vec<Action>) {
    let text = RichText::new("Enter").font(theme::bold(14.5));
    let button = Button::new(text).min_size(vec2(width.clamp(52.0, 140.0), TARGET));
    if ui.add(button).tell_on_hover(UiCommand::Log.tip()).clicked() {
        actions.push(Action::Do(UiCommand::Log));
    }
}
