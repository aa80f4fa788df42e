//! Every command a hand can give: one list that menus, keys, help and tests share.
//!
//! - [`words`]: what each is called and does; [`keys`]: its key.

mod keys;
mod words;

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
    /// Seal what is signed.
    Seal,
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
    /// Turn an invented unit's ring on by the ring step.
    TurnByStep,
    /// What was hidden in a practice unit.
    Hidden,
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
    /// Colours for another room.
    RoomLight,
    /// Start a session.
    New,
    /// Open one.
    Open,
    /// Copy this one elsewhere.
    KeepCopy,
    /// Put its report on paper.
    Report,
    /// Put the shop's recall list on paper.
    RecallList,
    /// To the bench.
    ToBench,
    /// To practice.
    ToPractice,
    /// To the optics opened up.
    ToExplore,
    /// To the study.
    ToStudy,
    /// To the shop.
    ToShop,
    /// To review.
    ToReview,
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
    /// Facts that are not on disk.
    Unsaved,
    /// Leave whatever is open in front.
    Back,
}

impl UiCommand {
    /// All of them, in the order the list of commands shows.
    pub const ALL: [Self; 81] = [
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
        Self::Seal,
        Self::Fit,
        Self::Closer,
        Self::Farther,
        Self::TryOn,
        Self::TryBack,
        Self::TryOnTen,
        Self::TryBackTen,
        Self::TurnByStep,
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
        Self::RoomLight,
        Self::New,
        Self::Open,
        Self::KeepCopy,
        Self::Report,
        Self::RecallList,
        Self::ToBench,
        Self::ToPractice,
        Self::ToExplore,
        Self::ToStudy,
        Self::ToShop,
        Self::ToReview,
        Self::Hidden,
        Self::CheckStation,
        Self::Due,
        Self::Cautions,
        Self::Keys,
        Self::Commands,
        Self::Unsaved,
        Self::Back,
    ];

    /// Whether it means the same wherever the hand is; the others belong to the bench.
    #[must_use]
    pub const fn is_everywhere(self) -> bool {
        matches!(
            self,
            Self::ToBench
                | Self::ToPractice
                | Self::ToExplore
                | Self::ToStudy
                | Self::ToShop
                | Self::ToReview
                | Self::Larger
                | Self::Smaller
                | Self::UsualSize
                | Self::RoomLight
                | Self::New
                | Self::Open
                | Self::Seal
                | Self::CheckStation
                | Self::RecallList
                | Self::Due
                | Self::Cautions
                | Self::Keys
                | Self::Commands
                | Self::Unsaved
                | Self::Back
        )
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
