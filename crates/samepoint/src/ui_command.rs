//! Every command a hand can give: one list that menus, keys, help and tests share.

use egui::{Key, KeyboardShortcut, Modifiers};

/// A command without arguments.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum UiCommand {
    /// Start a session.
    New,
    /// Open one.
    Open,
    /// Copy this one elsewhere.
    KeepCopy,
    /// Log what is typed.
    Log,
    /// Take back the last fact.
    Undo,
    /// Bring it back.
    Redo,
    /// Withdraw the selected reading, or the last.
    Withdraw,
    /// Type for the left channel.
    Left,
    /// Type for the right channel.
    Right,
    /// As found, or log.
    Purpose,
    /// Divisions, or arcminutes.
    Unit,
    /// Open a new round.
    NewRound,
    /// Turn to confirm readings.
    Confirm,
    /// The next line of the checklist.
    NextCheck,
    /// Locks tight, or open.
    ConfirmLock,
    /// The unit was reseated.
    Reseated,
    /// Where the pods stand.
    SwingStop,
    /// Both dioptres at zero.
    DioptresZero,
    /// The looking test.
    Look,
    /// Sign.
    Sign,
    /// Show the whole picture.
    Fit,
    /// Closer.
    Closer,
    /// Farther.
    Farther,
    /// Keys.
    Keys,
    /// Cautions.
    Cautions,
    /// Leave whatever is open in front.
    Back,
}

impl UiCommand {
    /// All of them, in the order the key list shows.
    pub const ALL: [Self; 26] = [
        Self::Log,
        Self::Left,
        Self::Right,
        Self::Purpose,
        Self::Unit,
        Self::Withdraw,
        Self::NewRound,
        Self::Undo,
        Self::Redo,
        Self::Confirm,
        Self::NextCheck,
        Self::ConfirmLock,
        Self::Reseated,
        Self::SwingStop,
        Self::DioptresZero,
        Self::Look,
        Self::Sign,
        Self::Fit,
        Self::Closer,
        Self::Farther,
        Self::New,
        Self::Open,
        Self::KeepCopy,
        Self::Cautions,
        Self::Keys,
        Self::Back,
    ];

    /// What a button or list calls it.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::New => "New session…",
            Self::Open => "Open…",
            Self::KeepCopy => "Keep a copy…",
            Self::Log => "Log reading",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::Withdraw => "Withdraw…",
            Self::Left => "Left channel",
            Self::Right => "Right channel",
            Self::Purpose => "As found or log",
            Self::Unit => "Arcminutes or divisions",
            Self::NewRound => "New round…",
            Self::Confirm => "Confirm",
            Self::NextCheck => "Next check",
            Self::ConfirmLock => "Lock tight or open",
            Self::Reseated => "Reseated",
            Self::SwingStop => "Narrow, wide or as set up",
            Self::DioptresZero => "Dioptres back at zero",
            Self::Look => "Looking test…",
            Self::Sign => "Sign…",
            Self::Fit => "Fit the picture",
            Self::Closer => "Closer",
            Self::Farther => "Farther",
            Self::Keys => "Keys",
            Self::Cautions => "Cautions",
            Self::Back => "Back to the log",
        }
    }

    /// What it does, in one sentence.
    #[must_use]
    pub const fn tip(self) -> &'static str {
        match self {
            Self::New => "Start a session for a unit; it is on disk before its first reading.",
            Self::Open => "Open a session by its path or from this shop.",
            Self::KeepCopy => "Copy this session's file elsewhere; logging goes on here.",
            Self::Log => "Log what is typed and step the ring angle on.",
            Self::Undo => "Take back the last entry; it stays in the file.",
            Self::Redo => "Bring back what was taken back.",
            Self::Withdraw => "Withdraw a reading that was real but is not to count; say why.",
            Self::Left => "Type for the left channel (L in a number field does it too).",
            Self::Right => "Type for the right channel (R in a number field does it too).",
            Self::Purpose => "As found: before a ring, lock or dioptre is touched. Log: after.",
            Self::Unit => "Read in arcminutes, or in divisions of the station's graticule.",
            Self::NewRound => "Anything but a ring was touched: earlier readings are set apart.",
            Self::Confirm => {
                "Read the unit as it is left: with locks open, then tight, reseated, at the stops."
            }
            Self::NextCheck => "Ask for the next line of the checklist, seen to or not.",
            Self::ConfirmLock => "Whether the lock is tightened for the readings that follow.",
            Self::Reseated => "The unit was taken off and seated again since the last reading.",
            Self::SwingStop => "Where the pods stand in their swing for the readings that follow.",
            Self::DioptresZero => "Both dioptres were turned back to zero.",
            Self::Look => "Note what was seen at a far point, as a user would look.",
            Self::Sign => "Sign the verdict: the record closes.",
            Self::Fit => "Show both circles and all readings.",
            Self::Closer => "Bring the picture closer.",
            Self::Farther => "Take the picture farther away.",
            Self::Keys => "Show every key.",
            Self::Cautions => "Show the cautions for this work.",
            Self::Back => "Close what is open in front and go on logging.",
        }
    }

    /// Its key; `None` for what is found in the list of commands only.
    #[must_use]
    pub const fn shortcut(self) -> Option<KeyboardShortcut> {
        const SHIFT_COMMAND: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
        let (modifiers, key) = match self {
            Self::New => (Modifiers::COMMAND, Key::N),
            Self::Open => (Modifiers::COMMAND, Key::O),
            Self::KeepCopy => (SHIFT_COMMAND, Key::S),
            Self::Log => (Modifiers::NONE, Key::Enter),
            Self::Undo => (Modifiers::COMMAND, Key::Z),
            Self::Redo => (SHIFT_COMMAND, Key::Z),
            Self::Withdraw => (Modifiers::NONE, Key::F8),
            Self::Left => (Modifiers::NONE, Key::F2),
            Self::Right => (Modifiers::NONE, Key::F3),
            Self::Purpose => (Modifiers::NONE, Key::F4),
            Self::Unit => (Modifiers::NONE, Key::F6),
            Self::NewRound => (Modifiers::NONE, Key::F9),
            Self::Confirm => (Modifiers::NONE, Key::F5),
            Self::NextCheck => (Modifiers::SHIFT, Key::F5),
            Self::ConfirmLock => (Modifiers::COMMAND, Key::T),
            Self::Reseated => (Modifiers::COMMAND, Key::E),
            Self::SwingStop => (Modifiers::COMMAND, Key::P),
            Self::DioptresZero => (Modifiers::COMMAND, Key::B),
            Self::Look => (Modifiers::NONE, Key::F11),
            Self::Sign => (Modifiers::NONE, Key::F12),
            Self::Fit => (Modifiers::NONE, Key::F7),
            Self::Closer => (Modifiers::NONE, Key::PageUp),
            Self::Farther => (Modifiers::NONE, Key::PageDown),
            Self::Keys => (Modifiers::NONE, Key::F1),
            Self::Cautions => (SHIFT_COMMAND, Key::F1),
            Self::Back => (Modifiers::NONE, Key::Escape),
        };
        Some(KeyboardShortcut::new(modifiers, key))
    }

    /// Its key as this platform writes keys; nothing where it has none.
    #[must_use]
    pub fn key_words(self, ctx: &egui::Context) -> String {
        self.shortcut().map_or_else(String::new, |shortcut| ctx.format_shortcut(&shortcut))
    }

    /// Takes the commands whose keys were pressed. *Log* is the entry row's own: Enter in another
    /// field means that field.
    pub fn pressed(input: &mut egui::InputState) -> Vec<Self> {
        // Longer shortcuts first, so that Ctrl+Shift+Z is not taken for Ctrl+Z.
        let mut keys: Vec<(Self, KeyboardShortcut)> = Self::ALL
            .into_iter()
            .filter(|command| *command != Self::Log)
            .filter_map(|command| Some((command, command.shortcut()?)))
            .collect();
        keys.sort_by_key(|(_, shortcut)| !shortcut.modifiers.shift);
        keys.retain(|(_, shortcut)| input.consume_shortcut(shortcut));
        let mut commands: Vec<Self> = keys.into_iter().map(|(command, _)| command).collect();
        if input.consume_key(Modifiers::COMMAND, Key::Y) {
            commands.push(Self::Redo);
        }
        commands
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// No two commands share a key, and each has words.
    #[test]
    fn every_command_has_its_own_key_and_words() {
        for (k, command) in UiCommand::ALL.iter().enumerate() {
            assert!(!command.text().is_empty() && command.tip().ends_with('.'));
            for other in &UiCommand::ALL[k + 1..] {
                let (key, other_key) = (command.shortcut(), other.shortcut());
                assert!(key.is_none() || key != other_key, "{command:?} {other:?}");
                assert_ne!(command.text(), other.text());
            }
        }
    }
}
