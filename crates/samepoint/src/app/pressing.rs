//! Presses that are no ordinary keys of the window: pedals and spare keys that a hand gave commands, and the
//! numeric keypad, one gloved hand's whole keyboard.

use egui::{Event, Key, Ui};
use solver::Channel;

use super::App;
use super::action::Action;
use crate::bench::entry::EntryField;
use crate::pedals::{Pedal, Press};
use crate::places::Place;
use crate::sheets::Sheet;
use crate::sheets::keypad::KEYPAD;
use crate::sheets::pedals::PedalSheet;
use crate::ui_command::UiCommand;

/// The digit that a key of the keypad has while Num Lock is off, where the toolkit tells it from the key of
/// that name elsewhere: by its place.
const WITHOUT_NUM_LOCK: [(Key, Key, &str); 9] = [
    (Key::Insert, Key::Num0, "0"),
    (Key::End, Key::Num1, "1"),
    (Key::ArrowDown, Key::Num2, "2"),
    (Key::PageDown, Key::Num3, "3"),
    (Key::ArrowLeft, Key::Num4, "4"),
    (Key::ArrowRight, Key::Num6, "6"),
    (Key::Home, Key::Num7, "7"),
    (Key::ArrowUp, Key::Num8, "8"),
    (Key::PageUp, Key::Num9, "9"),
];

impl App {
    /// Without Num Lock the keypad sends arrows and the like: in the entry row, and where a key of the keypad
    /// is waited for, they are its digits.
    pub(crate) fn read_keypad(&self, ui: &Ui) {
        let focused = ui.memory(egui::Memory::focused);
        let of_row = [EntryField::Ring, EntryField::X, EntryField::Y, EntryField::Step]
            .into_iter()
            .chain(Channel::BOTH.map(EntryField::RingOf))
            .any(|field| focused == Some(field.id()));
        if !(of_row || self.front == Sheet::Keypad) {
            return;
        }
        let told = |event: &mut Event| {
            let Event::Key { key, physical_key: Some(place), pressed, modifiers, .. } = event
            else {
                return true;
            };
            let digit = WITHOUT_NUM_LOCK.iter().find(|(sent, at, _)| sent == key && at == place);
            let Some((_, _, digit)) = digit.filter(|_| modifiers.is_none()) else { return true };
            let pressed = *pressed;
            *event = Event::Text((*digit).to_owned());
            pressed
        };
        ui.input_mut(|input| input.events.retain_mut(told));
    }

    /// The commands of what was pressed: pedals, a key behind `*`. Takes the events it knows.
    pub(crate) fn presses(&mut self, ui: &Ui) -> Vec<Action> {
        if self.front == Sheet::Keypad {
            return self.keypad_pressed(ui);
        }
        if matches!(&self.front, Sheet::Pedals(PedalSheet { waiting: Some(_), .. })) {
            self.take_press(ui);
            return Vec::new();
        }
        let (place, front, pedals) = (self.place, &self.front, &self.shell.preferences.pedals);
        let acts = |pedal: Pedal| match pedal {
            // In a sheet something else may be typed.
            Pedal::Log | Pedal::NextField => {
                place == Place::Bench && matches!(front, Sheet::Clear | Sheet::Cautions)
            }
            pedal => place.acts_on_key(pedal.command()),
        };
        let mut pressed = Vec::new();
        ui.input_mut(|input| {
            input.events.retain(|event| {
                let given = Press::of(event).and_then(|press| pedals.get(&press));
                match given {
                    Some(pedal) => {
                        pressed.extend(acts(*pedal).then(|| Action::Do(pedal.command())));
                        false
                    }
                    None => true,
                }
            });
        });
        pressed
    }

    /// One more key of the keypad; any other leaves.
    fn keypad_pressed(&mut self, ui: &Ui) -> Vec<Action> {
        let mut chosen = None;
        let mut leaves = false;
        ui.input_mut(|input| {
            input.events.retain(|event| match event {
                Event::Text(text) => {
                    let known = KEYPAD.iter().find(|(key, _)| text.chars().eq([*key]));
                    if chosen.is_none() {
                        match known {
                            Some((_, command)) => chosen = Some(*command),
                            None => leaves = true,
                        }
                    }
                    false
                }
                Event::Key { key: Key::Enter, pressed: true, .. } => {
                    leaves = true;
                    false
                }
                _ => true,
            });
        });
        match (chosen, leaves) {
            (Some(command), _) => vec![Action::Run(command)],
            (None, true) => vec![Action::Do(UiCommand::Back)],
            (None, false) => Vec::new(),
        }
    }

    /// The press that is waited for: given to its command, or refused.
    fn take_press(&mut self, ui: &Ui) {
        let mut taken = None;
        let mut left = false;
        ui.input_mut(|input| {
            input.events.retain(|event| match event {
                Event::Key { key: Key::Escape, pressed: true, .. } => {
                    left = true;
                    false
                }
                // A press of the left button is on the sheet: nothing is waited for any more.
                Event::PointerButton { pressed: true, .. } if Press::of(event).is_none() => {
                    left = true;
                    true
                }
                Event::Text(_) => false,
                event => match Press::of(event) {
                    Some(press) => {
                        taken = taken.or(Some(press));
                        false
                    }
                    None => !matches!(event, Event::Key { .. }),
                },
            });
        });
        let Sheet::Pedals(sheet) = &mut self.front else { return };
        if left {
            sheet.waiting = None;
            return;
        }
        let Some((press, pedal)) = taken.zip(sheet.waiting) else { return };
        let pedals = &mut self.shell.preferences.pedals;
        let other = pedals.get(&press).filter(|other| **other != pedal);
        let refused = press.refused().map(|why| why.to_string()).or_else(|| {
            let other = other?.command().text();
            Some(format!("{press} is given to “{other}” already: let it go there first."))
        });
        sheet.refused.clone_from(&refused);
        if refused.is_none() {
            sheet.waiting = None;
            pedals.insert(press, pedal);
        }
    }

    /// Lets go of all presses given to a command.
    pub(crate) fn let_go_of(&mut self, pedal: Pedal) {
        self.shell.preferences.pedals.retain(|_, given| *given != pedal);
    }
}
