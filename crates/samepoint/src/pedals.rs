//! Foot pedals and spare keys: what the toolkit reports of a press, and which command a hand gave it.
//!
//! A pedal is a keyboard or a mouse to the computer: it sends a key, often F13 to F24, or a mouse button.

use std::fmt;
use std::str::FromStr;

use egui::{Event, Key, Modifiers, PointerButton};
use serde::{Deserialize, Serialize};

use crate::ui_command::UiCommand;

/// A command that can be given a press.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
pub enum Pedal {
    /// Log what is typed.
    Log,
    /// The next field of the entry row.
    NextField,
    /// The other channel.
    OtherChannel,
    /// Undo.
    Undo,
    /// Bench mode.
    BenchMode,
    /// Turn the row to the next best reading.
    NextPlace,
    /// To the ring targets.
    Meet,
    /// To confirming.
    Confirm,
    /// The next line of the checklist.
    NextCheck,
    /// Lock tight or open.
    Lock,
    /// Reseated since the last reading.
    Reseated,
}

impl Pedal {
    /// All of them, in the order of the sheet.
    pub const ALL: [Self; 11] = [
        Self::Log,
        Self::NextField,
        Self::OtherChannel,
        Self::Undo,
        Self::BenchMode,
        Self::NextPlace,
        Self::Meet,
        Self::Confirm,
        Self::NextCheck,
        Self::Lock,
        Self::Reseated,
    ];

    /// The command it gives.
    #[must_use]
    pub const fn command(self) -> UiCommand {
        match self {
            Self::Log => UiCommand::Log,
            Self::NextField => UiCommand::NextField,
            Self::OtherChannel => UiCommand::OtherChannel,
            Self::Undo => UiCommand::Undo,
            Self::BenchMode => UiCommand::BenchMode,
            Self::NextPlace => UiCommand::NextPlace,
            Self::Meet => UiCommand::Meet,
            Self::Confirm => UiCommand::Confirm,
            Self::NextCheck => UiCommand::NextCheck,
            Self::Lock => UiCommand::ConfirmLock,
            Self::Reseated => UiCommand::ConfirmReseated,
        }
    }
}

/// A key with what is held, or a mouse button. As text, as preferences keep it: `F13`, `Ctrl+Alt+F14`,
/// `middle mouse button`, `mouse button 4`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, Serialize, Deserialize)]
#[serde(try_from = "String", into = "String")]
pub enum Press {
    /// A key.
    Key {
        /// Ctrl, or ⌘ where that is used for it.
        ctrl: bool,
        /// Alt.
        alt: bool,
        /// Shift.
        shift: bool,
        /// Which.
        key: Key,
    },
    /// A mouse button.
    Mouse(Button),
}

/// A mouse button that nothing else needs.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Button {
    /// The middle one.
    Middle,
    /// The fourth.
    Fourth,
    /// The fifth.
    Fifth,
}

impl Button {
    const ALL: [Self; 3] = [Self::Middle, Self::Fourth, Self::Fifth];

    const fn words(self) -> &'static str {
        match self {
            Self::Middle => "middle mouse button",
            Self::Fourth => "mouse button 4",
            Self::Fifth => "mouse button 5",
        }
    }
}

impl Press {
    /// What was pressed; `None` for what is no press, and for the left and right mouse buttons.
    #[must_use]
    pub const fn of(event: &Event) -> Option<Self> {
        match event {
            Event::Key { key, pressed: true, repeat: false, modifiers, .. } => Some(Self::Key {
                ctrl: modifiers.command || modifiers.ctrl,
                alt: modifiers.alt,
                shift: modifiers.shift,
                key: *key,
            }),
            Event::PointerButton { button, pressed: true, .. } => match button {
                PointerButton::Middle => Some(Self::Mouse(Button::Middle)),
                PointerButton::Extra1 => Some(Self::Mouse(Button::Fourth)),
                PointerButton::Extra2 => Some(Self::Mouse(Button::Fifth)),
                PointerButton::Primary | PointerButton::Secondary => None,
            },
            _ => None,
        }
    }

    /// Why it cannot be given a command: the window or its fields need it.
    #[must_use]
    pub fn refused(&self) -> Option<NotFree> {
        let Self::Key { ctrl, alt, shift, key } = *self else { return None };
        if let Some(command) = command_of(ctrl, alt, shift, key) {
            return Some(NotFree::KeyOf { press: *self, command });
        }
        let held = ctrl || alt;
        let within = [Key::A, Key::C, Key::V, Key::X, Key::Z, Key::Backspace];
        if ctrl && within.contains(&key) {
            Some(NotFree::WorksWithinFields(*self))
        } else if !held && types(key) {
            Some(NotFree::Types(*self))
        } else if !held && works_within(key) {
            Some(NotFree::WorksWithinSheets(*self))
        } else {
            None
        }
    }
}

/// Why a press cannot be given a command, and what to do.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum NotFree {
    /// It has one.
    #[error("{press} is the key of “{}”. {ELSE_SEND}", command.text())]
    KeyOf {
        /// The press.
        press: Press,
        /// Its command.
        command: UiCommand,
    },
    /// Fields need it.
    #[error("{0} works within fields. {ELSE_SEND}")]
    WorksWithinFields(Press),
    /// It is a letter or a digit.
    #[error("{0} types. {ELSE_SEND}")]
    Types(Press),
    /// The keyboard goes through sheets with it.
    #[error("{0} works within fields and sheets. {ELSE_SEND}")]
    WorksWithinSheets(Press),
    /// No words of a press.
    #[error("“{0}” is no key or button")]
    NoPress(String),
}

const ELSE_SEND: &str = "Have the pedal send another: F13 to F24, or one with Ctrl or Alt.";

/// The command whose key it is.
fn command_of(ctrl: bool, alt: bool, shift: bool, key: Key) -> Option<UiCommand> {
    UiCommand::ALL.into_iter().find(|command| {
        command.keys().iter().any(|own| {
            let held: Modifiers = own.modifiers;
            own.logical_key == key
                && held.alt == alt
                && held.shift == shift
                && (held.command || held.ctrl) == ctrl
        })
    })
}

/// Whether a key puts a letter into a field.
fn types(key: Key) -> bool {
    key == Key::Space || key.symbol_or_name().chars().count() == 1 && !works_within(key)
}

/// Whether a key does something in a field or a sheet.
const fn works_within(key: Key) -> bool {
    matches!(
        key,
        Key::Enter
            | Key::Escape
            | Key::Tab
            | Key::Backspace
            | Key::Delete
            | Key::ArrowLeft
            | Key::ArrowRight
            | Key::ArrowUp
            | Key::ArrowDown
            | Key::Home
            | Key::End
            | Key::PageUp
            | Key::PageDown
            | Key::Copy
            | Key::Cut
            | Key::Paste
    )
}

impl fmt::Display for Press {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Mouse(button) => f.write_str(button.words()),
            Self::Key { ctrl, alt, shift, key } => {
                for (held, name) in [(ctrl, "Ctrl+"), (alt, "Alt+"), (shift, "Shift+")] {
                    if *held {
                        f.write_str(name)?;
                    }
                }
                f.write_str(key.name())
            }
        }
    }
}

impl FromStr for Press {
    type Err = NotFree;

    fn from_str(text: &str) -> Result<Self, NotFree> {
        let button = Button::ALL.into_iter().find(|button| button.words() == text);
        if let Some(button) = button {
            return Ok(Self::Mouse(button));
        }
        let mut rest = text;
        let mut held = |name: &str| match rest.strip_prefix(name) {
            Some(after) => {
                rest = after;
                true
            }
            None => false,
        };
        let [ctrl, alt, shift] = ["Ctrl+", "Alt+", "Shift+"].map(&mut held);
        let key = Key::from_name(rest).ok_or_else(|| NotFree::NoPress(text.to_owned()))?;
        let press = Self::Key { ctrl, alt, shift, key };
        press.refused().map_or(Ok(press), Err)
    }
}

impl TryFrom<String> for Press {
    type Error = NotFree;

    fn try_from(text: String) -> Result<Self, NotFree> {
        text.parse()
    }
}

impl From<Press> for String {
    fn from(press: Press) -> Self {
        press.to_string()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used, reason = "tests fail by panicking")]
mod tests {
    use super::*;

    fn key(key: Key) -> Press {
        Press::Key { ctrl: false, alt: false, shift: false, key }
    }

    /// What pedals send is free, F13 to F24 all of them; what types, works in fields or has a command is
    /// refused with a sentence that names it.
    #[test]
    fn what_the_window_needs_is_refused() {
        let pedals = [
            Key::F13,
            Key::F14,
            Key::F15,
            Key::F16,
            Key::F17,
            Key::F18,
            Key::F19,
            Key::F20,
            Key::F21,
            Key::F22,
            Key::F23,
            Key::F24,
        ];
        for free in pedals {
            assert_eq!(key(free).refused(), None);
        }
        assert_eq!(Press::Mouse(Button::Middle).refused(), None);
        let free = Press::Key { ctrl: true, alt: true, shift: false, key: Key::B };
        assert_eq!(free.refused(), None);
        for (needed, word) in [
            (Key::B, "types"),
            (Key::Num7, "types"),
            (Key::Period, "types"),
            (Key::Minus, "types"),
            (Key::Space, "types"),
            (Key::Enter, "Log reading"),
            (Key::Escape, "Back to the log"),
            (Key::ArrowUp, "works within"),
            (Key::F12, "Sign…"),
            (Key::Insert, "Bench mode"),
        ] {
            let why = key(needed).refused().unwrap().to_string();
            assert!(why.contains(word) && why.ends_with('.'), "{needed:?}: {why}");
        }
        let copy = Press::Key { ctrl: true, alt: false, shift: false, key: Key::C };
        assert!(copy.refused().unwrap().to_string().contains("within fields"));
    }

    /// Every press that is free is read back from what preferences keep; what is refused is refused there,
    /// too.
    #[test]
    fn a_press_is_kept_as_text() {
        let mut free = 0;
        for held in 0..8_u8 {
            for key in Key::ALL {
                let press = Press::Key {
                    ctrl: held & 1 > 0,
                    alt: held & 2 > 0,
                    shift: held & 4 > 0,
                    key: *key,
                };
                let back = press.to_string().parse::<Press>();
                if press.refused().is_some() {
                    assert!(back.is_err(), "{press}");
                } else {
                    assert_eq!(back, Ok(press));
                    free += 1;
                }
            }
        }
        assert!(free > 200, "{free}");
        for button in Button::ALL {
            assert_eq!(button.words().parse(), Ok(Press::Mouse(button)));
        }
        assert!("no such key".parse::<Press>().is_err());
    }
}
