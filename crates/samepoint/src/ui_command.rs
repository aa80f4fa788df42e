//! Every command a hand can give: one list that menus, keys, help and tests share.

use egui::{Key, KeyboardShortcut, Modifiers};

/// A command without arguments.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum UiCommand {
    /// Log what is typed.
    Log,
    /// Type for the left channel.
    Left,
    /// Type for the right channel.
    Right,
    /// As found, or log.
    Purpose,
    /// Divisions, or arcminutes.
    Unit,
    /// The other way of approaching the ring angle.
    Approach,
    /// The next ring step of the usual ones.
    RingStep,
    /// Withdraw the selected reading, or the last.
    Withdraw,
    /// Turn to the selected reading's channel and ring angle.
    ReadAgain,
    /// Withdraw what stands out, with its likely cause.
    LeaveOut,
    /// Turn to the reading most worth taking.
    NextPlace,
    /// Log rows from a spreadsheet.
    Paste,
    /// Log the readings of a CSV file.
    Import,
    /// Open a new round.
    NewRound,
    /// A new round: reseated.
    Reseated,
    /// A new round: dioptre.
    DioptreMoved,
    /// A new round: eyepiece.
    EyepieceOut,
    /// A new round: station.
    StationZeroed,
    /// Take back the last fact.
    Undo,
    /// Bring it back.
    Redo,
    /// Say how the job is set up.
    SetUp,
    /// Turn to as-found readings.
    AsFound,
    /// Turn to logging.
    Logging,
    /// Put the setting before the eyes.
    Meet,
    /// What would help, ranked.
    Remedies,
    /// The next of them.
    NextRemedy,
    /// The one before.
    LastRemedy,
    /// Take the one considered.
    TakeRemedy,
    /// Turn to confirm readings.
    Confirm,
    /// The next line of the checklist.
    NextCheck,
    /// Locks tight, or open.
    ConfirmLock,
    /// The unit was reseated.
    ConfirmReseated,
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
    /// The field plot in the middle.
    ViewField,
    /// Through the glass.
    ViewGlass,
    /// The ring map.
    ViewRingMap,
    /// Use over the swing.
    ViewSwing,
    /// Where errors come from.
    ViewSources,
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
    /// The next of log, plot and rings on a small screen.
    NextTab,
    /// Everything larger.
    Larger,
    /// Everything smaller.
    Smaller,
    /// Everything at its usual size.
    UsualSize,
    /// Start a session.
    New,
    /// Open one.
    Open,
    /// Copy this one elsewhere.
    KeepCopy,
    /// Put its report on paper.
    Report,
    /// Read a station's check standard.
    CheckStation,
    /// What is due.
    Due,
    /// Cautions.
    Cautions,
    /// Keys.
    Keys,
    /// The list of all commands.
    Commands,
    /// Leave whatever is open in front.
    Back,
}

impl UiCommand {
    /// All of them, in the order the list of commands shows.
    pub const ALL: [Self; 69] = [
        Self::Log,
        Self::Left,
        Self::Right,
        Self::Purpose,
        Self::Unit,
        Self::Approach,
        Self::RingStep,
        Self::Withdraw,
        Self::ReadAgain,
        Self::LeaveOut,
        Self::NextPlace,
        Self::Paste,
        Self::Import,
        Self::NewRound,
        Self::Reseated,
        Self::DioptreMoved,
        Self::EyepieceOut,
        Self::StationZeroed,
        Self::Undo,
        Self::Redo,
        Self::SetUp,
        Self::AsFound,
        Self::Logging,
        Self::Meet,
        Self::Remedies,
        Self::NextRemedy,
        Self::LastRemedy,
        Self::TakeRemedy,
        Self::Confirm,
        Self::NextCheck,
        Self::ConfirmLock,
        Self::ConfirmReseated,
        Self::SwingStop,
        Self::DioptresZero,
        Self::Look,
        Self::Sign,
        Self::Fit,
        Self::Closer,
        Self::Farther,
        Self::TryOn,
        Self::TryBack,
        Self::TryOnTen,
        Self::TryBackTen,
        Self::EndTrial,
        Self::Choose,
        Self::ViewField,
        Self::ViewGlass,
        Self::ViewRingMap,
        Self::ViewSwing,
        Self::ViewSources,
        Self::Measure,
        Self::ToPlot,
        Self::CopySvg,
        Self::CopyPng,
        Self::SavePicture,
        Self::NextTab,
        Self::Larger,
        Self::Smaller,
        Self::UsualSize,
        Self::New,
        Self::Open,
        Self::KeepCopy,
        Self::Report,
        Self::CheckStation,
        Self::Due,
        Self::Cautions,
        Self::Keys,
        Self::Commands,
        Self::Back,
    ];

    /// What a button or list calls it.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Log => "Log reading",
            Self::Left => "Left channel",
            Self::Right => "Right channel",
            Self::Purpose => "As found or log",
            Self::Unit => "Arcminutes or divisions",
            Self::Approach => "Way of approach",
            Self::RingStep => "Ring step",
            Self::Withdraw => "Withdraw…",
            Self::ReadAgain => "Read again",
            Self::LeaveOut => "Withdraw what stands out",
            Self::NextPlace => "Next best reading",
            Self::Paste => "Paste readings…",
            Self::Import => "Import CSV…",
            Self::NewRound => "New round…",
            Self::Reseated => "New round: unit reseated",
            Self::DioptreMoved => "New round: dioptre moved",
            Self::EyepieceOut => "New round: eyepiece taken out",
            Self::StationZeroed => "New round: station zeroed",
            Self::Undo => "Undo",
            Self::Redo => "Redo",
            Self::SetUp => "Set up…",
            Self::AsFound => "Step: as found",
            Self::Logging => "Step: log",
            Self::Meet => "Step: meet",
            Self::Remedies => "Remedies",
            Self::NextRemedy => "Next remedy",
            Self::LastRemedy => "Remedy before",
            Self::TakeRemedy => "Take this remedy",
            Self::Confirm => "Confirm",
            Self::NextCheck => "Next check",
            Self::ConfirmLock => "Lock tight or open",
            Self::ConfirmReseated => "Confirm: reseated since",
            Self::SwingStop => "Narrow, wide or as set up",
            Self::DioptresZero => "Dioptres back at zero",
            Self::Look => "Looking test…",
            Self::Sign => "Sign…",
            Self::Fit => "Fit the picture",
            Self::Closer => "Closer",
            Self::Farther => "Farther",
            Self::TryOn => "Try a step clockwise",
            Self::TryBack => "Try a step counter-clockwise",
            Self::TryOnTen => "Try ten steps clockwise",
            Self::TryBackTen => "Try ten steps counter-clockwise",
            Self::EndTrial => "End the trial",
            Self::Choose => "Choose this setting",
            Self::ViewField => "Field plot",
            Self::ViewGlass => "Through the glass",
            Self::ViewRingMap => "Ring map",
            Self::ViewSwing => "Over the swing",
            Self::ViewSources => "Where errors come from",
            Self::Measure => "Measure",
            Self::ToPlot => "Keys to the plot",
            Self::CopySvg => "Copy plot as SVG",
            Self::CopyPng => "Copy plot as PNG",
            Self::SavePicture => "Save picture of plot…",
            Self::NextTab => "Log, plot or rings",
            Self::Larger => "Larger text",
            Self::Smaller => "Smaller text",
            Self::UsualSize => "Usual size",
            Self::New => "New session…",
            Self::Open => "Open…",
            Self::KeepCopy => "Keep a copy…",
            Self::Report => "Report…",
            Self::CheckStation => "Check the station…",
            Self::Due => "What is due",
            Self::Cautions => "Cautions",
            Self::Keys => "Keys",
            Self::Commands => "Commands…",
            Self::Back => "Back to the log",
        }
    }

    /// What it does, in one sentence.
    #[must_use]
    pub const fn tip(self) -> &'static str {
        match self {
            Self::Log => "Log what is typed and step the ring angle on.",
            Self::Left => "Type for the left channel (L in a number field does it too).",
            Self::Right => "Type for the right channel (R in a number field does it too).",
            Self::Purpose => "As found: before a ring, lock or dioptre is touched. Log: after.",
            Self::Unit => "Read in arcminutes, or in divisions of the station's graticule.",
            Self::Approach => {
                "Note which way the ring was turned: clockwise, counter-clockwise, not noted."
            }
            Self::RingStep => {
                "How far the ring steps on after a reading: none, 30°, 45°, 60°, 90°, 120°."
            }
            Self::Withdraw => "Withdraw a reading that was real but is not to count; say why.",
            Self::ReadAgain => {
                "Turn to the place of the selected reading, or of the one that stands out, and read it again."
            }
            Self::LeaveOut => {
                "Withdraw the reading that stands out; its likely cause is the reason."
            }
            Self::NextPlace => "Turn the row to the channel and ring angle that would tell most.",
            Self::Paste => "Log rows copied from a spreadsheet: channel, ring angle, x, y.",
            Self::Import => "Log the readings of a CSV file into this round.",
            Self::NewRound => "Anything but a ring was touched: earlier readings are set apart.",
            Self::Reseated => {
                "The unit was taken off and seated again: the next round opens at once."
            }
            Self::DioptreMoved => "A dioptre was moved: the next round opens at once.",
            Self::EyepieceOut => "An eyepiece was taken out: the next round opens at once.",
            Self::StationZeroed => "The station was zeroed anew: the next round opens at once.",
            Self::Undo => "Take back the last entry; it stays in the file.",
            Self::Redo => "Bring back what was taken back.",
            Self::SetUp => "Station, unit, parts, window, job and what is seen to before reading.",
            Self::AsFound => "Read both channels before anything is touched.",
            Self::Logging => "Turn each ring and read where its crosshair lands.",
            Self::Meet => "Turn each ring to its target.",
            Self::Remedies => "What would bring the circles together, ranked, cheapest first.",
            Self::NextRemedy => "Lay the next remedy of the list over the plot.",
            Self::LastRemedy => "Lay the remedy before over the plot.",
            Self::TakeRemedy => "Record it with its prediction and open the next round.",
            Self::Confirm => {
                "Read the unit as it is left: with locks open, then tight, reseated, at the stops."
            }
            Self::NextCheck => "Ask for the next line of the checklist, seen to or not.",
            Self::ConfirmLock => "Whether the lock is tightened for the readings that follow.",
            Self::ConfirmReseated => {
                "The unit was taken off and seated again since the last reading."
            }
            Self::SwingStop => "Where the pods stand in their swing for the readings that follow.",
            Self::DioptresZero => "Both dioptres were turned back to zero.",
            Self::Look => "Note what was seen at a far point, as a user would look.",
            Self::Sign => "Sign the verdict: the record closes.",
            Self::Fit => "Show both circles and all readings.",
            Self::Closer => "Bring the picture closer.",
            Self::Farther => "Take the picture farther away.",
            Self::TryOn => "Try the ring of the channel in the entry row one step clockwise.",
            Self::TryBack => "Try that ring one step counter-clockwise.",
            Self::TryOnTen => "Try that ring ten steps clockwise.",
            Self::TryBackTen => "Try that ring ten steps counter-clockwise.",
            Self::EndTrial => "Show the setting again that was there before the trial.",
            Self::Choose => "Put the setting on screen on record; the targets follow it.",
            Self::ViewField => "Both offset circles, where they cross, the tolerance window.",
            Self::ViewGlass => "What the station's eyepiece should show, true to scale.",
            Self::ViewRingMap => "Window use over both rings: what passes, and how much may slip.",
            Self::ViewSwing => {
                "Window use over the pods' swing, and why the nearer crossing is kept."
            }
            Self::ViewSources => {
                "Pods apart from tubes: what rounds with tubes traded or turned can tell."
            }
            Self::Measure => "Measure between two places on the plot; again ends it.",
            Self::ToPlot => "Arrows pan the plot, + and − zoom, 0 fits; Esc goes back.",
            Self::CopySvg => "Copy what is in view to the clipboard, drawn in lines.",
            Self::CopyPng => "Copy what is in view to the clipboard, as a picture.",
            Self::SavePicture => "Write what is in view to an SVG or PNG file.",
            Self::NextTab => "On a small screen: show the log, the plot or the rings.",
            Self::Larger => "Everything larger, up to twice its usual size.",
            Self::Smaller => "Everything smaller, down to its usual size.",
            Self::UsualSize => "Everything at its usual size.",
            Self::New => "Start a session for a unit; it is on disk before its first reading.",
            Self::Open => "Open a session by its path or from this shop.",
            Self::KeepCopy => "Copy this session's file elsewhere; logging goes on here.",
            Self::Report => "Put this session on paper: a PDF for the customer and the specialist.",
            Self::CheckStation => "Read the check standard and see how the station stands.",
            Self::Due => "Calibrations and checks of all stations, the most urgent first.",
            Self::Cautions => "Show the cautions for this work.",
            Self::Keys => "Show every key.",
            Self::Commands => "Every command by name: type a part of it, Enter runs it.",
            Self::Back => "Close what is open in front and go on logging.",
        }
    }

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
            Self::Fit => (Modifiers::NONE, Key::F7),
            Self::Closer => (Modifiers::NONE, Key::PageUp),
            Self::Farther => (Modifiers::NONE, Key::PageDown),
            Self::TryOn => (Modifiers::ALT, Key::ArrowRight),
            Self::TryBack => (Modifiers::ALT, Key::ArrowLeft),
            Self::TryOnTen => (SHIFT_ALT, Key::ArrowRight),
            Self::TryBackTen => (SHIFT_ALT, Key::ArrowLeft),
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
            Self::New => (Modifiers::COMMAND, Key::N),
            Self::Open => (Modifiers::COMMAND, Key::O),
            Self::KeepCopy => (SHIFT_COMMAND, Key::S),
            Self::Report => (Modifiers::COMMAND, Key::P),
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
            | Self::EndTrial => {
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

    /// Whether every word of a filter is in what it is called or does.
    #[must_use]
    pub fn matches(self, filter: &str) -> bool {
        let said = format!("{} {}", self.text(), self.tip()).to_lowercase();
        filter.to_lowercase().split_whitespace().all(|word| said.contains(word))
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

    #[test]
    fn a_filter_finds_by_parts_of_words() {
        let found = |filter: &str| {
            UiCommand::ALL.into_iter().filter(|command| command.matches(filter)).count()
        };
        assert_eq!(found(""), UiCommand::ALL.len());
        assert!(UiCommand::DioptreMoved.matches("round diop"));
        assert_eq!(found("zeroed anew"), 1);
        assert_eq!(found("no such thing"), 0);
    }
}
