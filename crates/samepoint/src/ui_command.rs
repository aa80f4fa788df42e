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
    /// Put its report on paper.
    Report,
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
    /// Show the whole picture.
    Fit,
    /// Closer.
    Closer,
    /// Farther.
    Farther,
    /// Try the ring one step clockwise.
    TryOn,
    /// Try it one step counter-clockwise.
    TryBack,
    /// Try it ten steps clockwise.
    TryOnTen,
    /// Try it ten steps counter-clockwise.
    TryBackTen,
    /// Show the recommended setting again.
    EndTrial,
    /// Put the setting on screen on record.
    Choose,
    /// Measure on the plot, or end it.
    Measure,
    /// Give the plot the keyboard.
    ToPlot,
    /// Copy the plot as SVG.
    CopySvg,
    /// Copy the plot as a picture.
    CopyPng,
    /// Write the plot to a file.
    SavePicture,
    /// Keys.
    Keys,
    /// Cautions.
    Cautions,
    /// Leave whatever is open in front.
    Back,
}

impl UiCommand {
    /// All of them, in the order the key list shows.
    pub const ALL: [Self; 30] = [
        Self::Log,
        Self::Left,
        Self::Right,
        Self::Purpose,
        Self::Unit,
        Self::Withdraw,
        Self::NewRound,
        Self::Undo,
        Self::Redo,
        Self::Fit,
        Self::Closer,
        Self::Farther,
        Self::TryOn,
        Self::TryBack,
        Self::TryOnTen,
        Self::TryBackTen,
        Self::EndTrial,
        Self::Choose,
        Self::Measure,
        Self::ToPlot,
        Self::CopySvg,
        Self::CopyPng,
        Self::SavePicture,
        Self::New,
        Self::Open,
        Self::KeepCopy,
        Self::Report,
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
            Self::Report => "Report…",
            Self::Log => "Log reading",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::Withdraw => "Withdraw…",
            Self::Left => "Left channel",
            Self::Right => "Right channel",
            Self::Purpose => "As found or log",
            Self::Unit => "Arcminutes or divisions",
            Self::NewRound => "New round…",
            Self::Fit => "Fit the picture",
            Self::Closer => "Closer",
            Self::Farther => "Farther",
            Self::TryOn => "Try a step clockwise",
            Self::TryBack => "Try a step counter-clockwise",
            Self::TryOnTen => "Try ten steps clockwise",
            Self::TryBackTen => "Try ten steps counter-clockwise",
            Self::EndTrial => "End the trial",
            Self::Choose => "Choose this setting",
            Self::Measure => "Measure",
            Self::ToPlot => "Keys to the plot",
            Self::CopySvg => "Copy plot as SVG",
            Self::CopyPng => "Copy plot as PNG",
            Self::SavePicture => "Save picture of plot…",
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
            Self::Report => "Put this session on paper: a PDF for the customer and the specialist.",
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
            Self::Fit => "Show both circles and all readings.",
            Self::Closer => "Bring the picture closer.",
            Self::Farther => "Take the picture farther away.",
            Self::TryOn => "Try the ring of the channel in the entry row one step clockwise.",
            Self::TryBack => "Try that ring one step counter-clockwise.",
            Self::TryOnTen => "Try that ring ten steps clockwise.",
            Self::TryBackTen => "Try that ring ten steps counter-clockwise.",
            Self::EndTrial => "Show the setting again that was there before the trial.",
            Self::Choose => "Put the setting on screen on record; the targets follow it.",
            Self::Measure => "Measure between two places on the plot; again ends it.",
            Self::ToPlot => "Arrows pan the plot, + and − zoom, 0 fits; Esc goes back.",
            Self::CopySvg => "Copy what is in view to the clipboard, drawn in lines.",
            Self::CopyPng => "Copy what is in view to the clipboard, as a picture.",
            Self::SavePicture => "Write what is in view to an SVG or PNG file.",
            Self::Keys => "Show every key.",
            Self::Cautions => "Show the cautions for this work.",
            Self::Back => "Close what is open in front and go on logging.",
        }
    }

    /// Its key; `None` for what is found in the list of commands only.
    #[must_use]
    pub const fn shortcut(self) -> Option<KeyboardShortcut> {
        const SHIFT_COMMAND: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
        const SHIFT_ALT: Modifiers = Modifiers::ALT.plus(Modifiers::SHIFT);
        let (modifiers, key) = match self {
            Self::New => (Modifiers::COMMAND, Key::N),
            Self::Open => (Modifiers::COMMAND, Key::O),
            Self::KeepCopy => (SHIFT_COMMAND, Key::S),
            Self::Report => (Modifiers::COMMAND, Key::P),
            Self::Log => (Modifiers::NONE, Key::Enter),
            Self::Undo => (Modifiers::COMMAND, Key::Z),
            Self::Redo => (SHIFT_COMMAND, Key::Z),
            Self::Withdraw => (Modifiers::NONE, Key::F8),
            Self::Left => (Modifiers::NONE, Key::F2),
            Self::Right => (Modifiers::NONE, Key::F3),
            Self::Purpose => (Modifiers::NONE, Key::F4),
            Self::Unit => (Modifiers::NONE, Key::F6),
            Self::NewRound => (Modifiers::NONE, Key::F9),
            Self::Fit => (Modifiers::NONE, Key::F7),
            Self::Closer => (Modifiers::NONE, Key::PageUp),
            Self::Farther => (Modifiers::NONE, Key::PageDown),
            Self::TryOn => (Modifiers::ALT, Key::ArrowRight),
            Self::TryBack => (Modifiers::ALT, Key::ArrowLeft),
            Self::TryOnTen => (SHIFT_ALT, Key::ArrowRight),
            Self::TryBackTen => (SHIFT_ALT, Key::ArrowLeft),
            Self::EndTrial => return None,
            Self::Choose => (Modifiers::COMMAND, Key::Enter),
            Self::Measure => (Modifiers::COMMAND, Key::M),
            Self::ToPlot => (Modifiers::NONE, Key::F5),
            Self::CopySvg => (SHIFT_COMMAND, Key::E),
            Self::CopyPng => (SHIFT_COMMAND, Key::P),
            Self::SavePicture => (Modifiers::COMMAND, Key::E),
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
