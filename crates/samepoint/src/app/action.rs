//! Everything that a hand can ask for.

use crate::bench::confirm::Check;
use crate::bench::day::DayAction;
use crate::bench::practice_unit::UnitAction;
use crate::own_shop::OwnAction;
use crate::pedals::Pedal;
use crate::places::explore::ExploreAction;
use crate::places::practice::PracticeAction;
use crate::places::review::ReviewAction;
use crate::places::shelf::ShelfAction;
use crate::places::shop::ShopAction;
use crate::places::study::StudyAction;
use crate::preferences::ReadBackWish;
use crate::shell::layout_size::Tab;
use crate::ui_command::UiCommand;
use crate::upkeep::CheckAction;
use crate::waiting::WaitingAction;
use record::fact::Seq;
use solver::{Channel, Direction, PerChannel};
use std::path::PathBuf;

/// Something a hand asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// A command without arguments.
    Do(UiCommand),
    /// Select a reading, or none.
    Select(Option<Seq>),
    /// A command chosen from the list of commands.
    Run(UiCommand),
    /// Show the log, the plot or the rings in a small window.
    Show(Tab),
    /// Take what the set-up sheet says.
    TakeSetUp,
    /// Look at the pasted rows.
    PreviewPaste,
    /// Read the CSV file on the sheet.
    ReadCsv,
    /// Read a picture of the station.
    ReadPicture(PathBuf),
    /// Keep the camera's command that stands on its sheet, and start it.
    TakeCameraCommand,
    /// Log the rows on the sheet.
    LogBlock,
    /// Open a session or shop.
    OpenPath(PathBuf),
    /// Copy the open session.
    KeepCopyTo(PathBuf),
    /// Write the report of the open session.
    ReportTo(PathBuf),
    /// Write the label of the open session's unit.
    LabelTo(PathBuf),
    /// Ask for the sheet's path with a file dialog.
    AskPath,
    /// Ask with a file dialog where the private part of this key is.
    AskKey(String),
    /// Log what a box shows: inside, or outside.
    LogBox(bool),
    /// Withdraw the reading on the sheet.
    WithdrawNow,
    /// Open the round on the sheet.
    OpenRound,
    /// Take the remedy of the hand's own as it is typed.
    NoteRemedy,
    /// These initials log from now on.
    Hand(String),
    /// Ask for one thing of the checklist.
    Ask(Check),
    /// Consider a remedy of the list, or none.
    Consider(Option<usize>),
    /// The checklist may stand otherwise.
    RefreshChecklist,
    /// Note the looking test on the sheet.
    LookedNow,
    /// Sign what is on the sheet.
    SignNow,
    /// Seal what is on the sheet.
    SealNow,
    /// Let go of all presses given to a command.
    LetGo(Pedal),
    /// Whether what is logged is spoken, and by what.
    SetReadBack(ReadBackWish),
    /// Say something, to hear whether it works.
    TrySpeech,
    /// Try a channel's ring where its crosshair comes nearest to a direction.
    Try(Channel, Direction),
    /// Try a pair of ring angles, degrees.
    TryRings(PerChannel<f64>),
    /// Choose the setting on the sheet.
    ChooseNow,
    /// Write the plot to a file.
    SavePictureTo(PathBuf),
    /// Something about the working day.
    Day(DayAction),
    /// Something about a station's check standard.
    Checks(CheckAction),
    /// Something of the invented unit on the bench.
    Unit(UnitAction),
    /// Something in practice.
    Practice(PracticeAction),
    /// Something about the optics opened up.
    Explore(ExploreAction),
    /// Something about the shop worked in.
    Own(OwnAction),
    /// Something about a study.
    Study(StudyAction),
    /// Something about the shop's sessions.
    Shop(ShopAction),
    /// Something about the session looked over.
    Review(ReviewAction),
    /// Something about the shelf.
    Shelf(ShelfAction),
    /// Ask where to go on in a new file: the open one is damaged, or cannot be written to.
    Continue,
    /// Something about facts that are not on disk.
    Waiting(WaitingAction),
    /// Make a new session of what verifies in the open, damaged one.
    Salvage,
    /// The same of the file that could not even be opened.
    SalvageUnread,
    /// Set aside what stands where the open session's end is missing, and go on.
    SetEndAside,
    /// Put the warnings away.
    Understood,
    /// Write although files cannot be locked or synced here.
    Agree,
    /// Try again to write what waits.
    Retry,
}

impl From<UiCommand> for Action {
    fn from(command: UiCommand) -> Self {
        Self::Do(command)
    }
}
