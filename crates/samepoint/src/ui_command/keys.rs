//! The key of each command, and which were pressed.

use egui::{Key, KeyboardShortcut, Modifiers};

use super::UiCommand;

impl UiCommand {
    /// Its key; `None` for what is found in the list of commands only.
    #[must_use]
    pub const fn shortcut(self) -> Option<KeyboardShortcut> {
        const SHIFT_COMMAND: Modifiers = Modifiers::COMMAND.plus(Modifiers::SHIFT);
        const SHIFT_ALT: Modifiers = Modifiers::ALT.plus(Modifiers::SHIFT);
        let (modifiers, key) = match self {
            Self::Log => (Modifiers::NONE, Key::Enter),
            Self::Left => (Modifiers::NONE, Key::F2),
            Self::Right => (Modifiers::NONE, Key::F3),
            Self::Purpose => (Modifiers::NONE, Key::F4),
            Self::Unit => (Modifiers::NONE, Key::F6),
            Self::Approach => (Modifiers::COMMAND, Key::D),
            Self::RingStep => (Modifiers::COMMAND, Key::J),
            Self::Withdraw => (Modifiers::NONE, Key::F8),
            Self::ReadAgain => (Modifiers::COMMAND, Key::R),
            Self::LeaveOut => (Modifiers::SHIFT, Key::F8),
            Self::NextPlace => (Modifiers::COMMAND, Key::G),
            Self::Paste => (SHIFT_COMMAND, Key::V),
            Self::Import => (Modifiers::COMMAND, Key::I),
            Self::NewRound => (Modifiers::NONE, Key::F9),
            Self::Undo => (Modifiers::COMMAND, Key::Z),
            Self::Redo => (SHIFT_COMMAND, Key::Z),
            Self::SetUp => (Modifiers::COMMAND, Key::Num1),
            Self::AsFound => (Modifiers::COMMAND, Key::Num2),
            Self::Logging => (Modifiers::COMMAND, Key::Num3),
            Self::Meet => (Modifiers::COMMAND, Key::Num4),
            Self::Remedies => (Modifiers::COMMAND, Key::Num5),
            Self::NextRemedy => (Modifiers::ALT, Key::ArrowDown),
            Self::LastRemedy => (Modifiers::ALT, Key::ArrowUp),
            Self::TakeRemedy => (Modifiers::ALT, Key::Enter),
            Self::Confirm => (Modifiers::COMMAND, Key::Num6),
            Self::NextCheck => (Modifiers::SHIFT, Key::F6),
            Self::ConfirmLock => (Modifiers::COMMAND, Key::T),
            Self::ConfirmReseated => (Modifiers::ALT, Key::R),
            Self::SwingStop => (Modifiers::ALT, Key::S),
            Self::DioptresZero => (Modifiers::COMMAND, Key::B),
            Self::Look => (Modifiers::NONE, Key::F11),
            Self::Sign => (Modifiers::NONE, Key::F12),
            Self::Seal => (Modifiers::SHIFT, Key::F12),
            Self::Fit => (Modifiers::NONE, Key::F7),
            Self::Closer => (Modifiers::NONE, Key::PageUp),
            Self::Farther => (Modifiers::NONE, Key::PageDown),
            Self::TryOn => (Modifiers::ALT, Key::ArrowRight),
            Self::TryBack => (Modifiers::ALT, Key::ArrowLeft),
            Self::TryOnTen => (SHIFT_ALT, Key::ArrowRight),
            Self::TryBackTen => (SHIFT_ALT, Key::ArrowLeft),
            Self::TurnByStep => (Modifiers::ALT, Key::N),
            Self::Hidden => (Modifiers::ALT, Key::W),
            Self::Choose => (Modifiers::COMMAND, Key::Enter),
            Self::ViewField => (Modifiers::ALT, Key::Num1),
            Self::ViewGlass => (Modifiers::ALT, Key::Num2),
            Self::ViewRingMap => (Modifiers::ALT, Key::Num3),
            Self::ViewSwing => (Modifiers::ALT, Key::Num4),
            Self::ViewSources => (Modifiers::ALT, Key::Num5),
            Self::Measure => (Modifiers::COMMAND, Key::M),
            Self::ToPlot => (Modifiers::NONE, Key::F5),
            Self::CopySvg => (SHIFT_COMMAND, Key::E),
            Self::CopyPng => (SHIFT_COMMAND, Key::P),
            Self::SavePicture => (Modifiers::COMMAND, Key::E),
            Self::NextTab => (Modifiers::NONE, Key::F10),
            Self::Larger => (Modifiers::COMMAND, Key::Plus),
            Self::Smaller => (Modifiers::COMMAND, Key::Minus),
            Self::UsualSize => (Modifiers::COMMAND, Key::Num0),
            Self::RoomLight => (Modifiers::COMMAND, Key::L),
            Self::New => (Modifiers::COMMAND, Key::N),
            Self::Open => (Modifiers::COMMAND, Key::O),
            Self::KeepCopy => (SHIFT_COMMAND, Key::S),
            Self::Report => (Modifiers::COMMAND, Key::P),
            Self::RecallList => (SHIFT_ALT, Key::H),
            Self::ToBench => (Modifiers::ALT, Key::B),
            Self::ToPractice => (Modifiers::ALT, Key::P),
            Self::ToExplore => (Modifiers::ALT, Key::E),
            Self::ToStudy => (Modifiers::ALT, Key::U),
            Self::ToShop => (Modifiers::ALT, Key::H),
            Self::ToReview => (Modifiers::ALT, Key::V),
            Self::CheckStation => (Modifiers::ALT, Key::C),
            Self::Due => (Modifiers::ALT, Key::D),
            Self::Cautions => (SHIFT_COMMAND, Key::F1),
            Self::Keys => (Modifiers::NONE, Key::F1),
            Self::Commands => (Modifiers::COMMAND, Key::K),
            Self::Back => (Modifiers::NONE, Key::Escape),
            Self::Reseated
            | Self::DioptreMoved
            | Self::EyepieceOut
            | Self::StationZeroed
            | Self::EndTrial
            | Self::Unsaved => {
                return None;
            }
        };
        Some(KeyboardShortcut::new(modifiers, key))
    }

    /// Other keys for the same: what some keyboards and hands expect.
    const ALSO: [(Self, KeyboardShortcut); 2] = [
        (Self::Redo, KeyboardShortcut::new(Modifiers::COMMAND, Key::Y)),
        (Self::Larger, KeyboardShortcut::new(Modifiers::COMMAND, Key::Equals)),
    ];

    /// Its key as this platform writes keys; nothing where it has none.
    #[must_use]
    pub fn key_words(self, ctx: &egui::Context) -> String {
        self.shortcut().map_or_else(String::new, |shortcut| ctx.format_shortcut(&shortcut))
    }

    /// Takes the commands whose keys were pressed. *Log* is the entry row's own: Enter in another
    /// field means that field. So are those that `kept` keeps for what is in front.
    pub fn pressed(input: &mut egui::InputState, kept: impl Fn(Self) -> bool) -> Vec<Self> {
        // Longer shortcuts first, so that Ctrl+Shift+Z is not taken for Ctrl+Z.
        let mut keys: Vec<(Self, KeyboardShortcut)> = Self::ALL
            .into_iter()
            .filter(|command| *command != Self::Log && !kept(*command))
            .filter_map(|command| Some((command, command.shortcut()?)))
            .chain(Self::ALSO)
            .collect();
        keys.sort_by_key(|(_, shortcut)| {
            let held = shortcut.modifiers;
            std::cmp::Reverse(u8::from(held.shift) + u8::from(held.alt))
        });
        keys.retain(|(_, shortcut)| input.consume_shortcut(shortcut));
        // Some desktops send the letter of Alt+letter as text too; it is not meant for a field.
        if keys.iter().any(|(_, shortcut)| shortcut.modifiers.alt) {
            input.events.retain(|event| !matches!(event, egui::Event::Text(_)));
        }
        keys.into_iter().map(|(command, _)| command).collect()
    }
}
