//! What can stand in front of the plot: sheets that never block the entry row.
//!
//! A sheet with a subject of its own lies with that subject; here are those about the window itself, and what all
//! sheets share: [`ui`] (which is shown), `head`, `keyboard`, `parts`, `pick_or_type`.
//!
//! - `paths`: open, copy, go on, report, picture; `withdraw`, `choose`, `round`, `own_remedy`: what takes a reason;
//! - `label`: the label of a unit's case; `of_shop`: what is written of a shop;
//! - `commands`: all commands by name; `keypad`, `pedals`: presses; `reading` (keys, cautions), `glossary`, `about`: only
//!   read.

pub(crate) mod about;
pub(crate) mod choose;
pub(crate) mod commands;
pub(crate) mod glossary;
pub(crate) mod head;
pub(crate) mod keyboard;
pub(crate) mod keypad;
pub(crate) mod label;
pub(crate) mod of_shop;
pub(crate) mod own_remedy;
pub(crate) mod parts;
pub(crate) mod paths;
pub(crate) mod pedals;
pub(crate) mod pick_or_type;
pub(crate) mod reading;
pub(crate) mod round;
pub(crate) mod ui;
pub(crate) mod withdraw;

use crate::shell::of_shop::OfShopSheet;
use crate::shell::path_sheet::PathSheet;

use egui::{Key, KeyboardShortcut, Modifiers};
use record::fact::{RoundReason, Seq};
use record::remedies::by_hand::ByHand;

use crate::bench::blocks::Block;
use crate::bench::day::{HandoverSheet, ReceivingSheet, UnitsSheet};
use crate::bench::practice_unit::hidden::HiddenView;
use crate::bench::set_up::SetUpSheet;
use crate::bench::signing::sealing::SealSheet;
use crate::bench::signing::{LookingSheet, SignSheet};
use crate::own_shop::begin::BeginSheet;
use crate::own_shop::finding::FindSheet;
use crate::own_shop::form::Form;
use crate::own_shop::listing::ListSheet;
use crate::pedals::Pedal;
use crate::upkeep::CheckSheet;
use crate::waiting::{ContinueSheet, RescueSheet, WaitingSheet};

/// A sheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub enum Sheet {
    /// None: the plot is in sight.
    #[default]
    Clear,
    /// Start a session, or say anew how the open one is set up.
    SetUp(Box<SetUpSheet>),
    /// The question of the first start.
    FirstStart,
    /// Begin a shop.
    Begin(BeginSheet),
    /// What the shop keeps.
    Keeps,
    /// Change something it keeps, or add it.
    Edit(Box<Form>),
    /// Find a station's map.
    FindMap(Box<FindSheet>),
    /// Take in a list from a spreadsheet.
    List(ListSheet),
    /// Open one.
    Open(PathSheet),
    /// Copy the open one.
    KeepCopy(PathSheet),
    /// Read a picture of the station.
    ReadPicture(PathSheet),
    /// Which program writes the camera's frames.
    Camera(CameraSheet),
    /// Put its report on paper.
    Report(ReportSheet),
    /// Put the label of its unit's case on paper.
    Label(LabelSheet),
    /// Put the shop's recall list on paper.
    RecallList(PathSheet),
    /// Write something else of the shop.
    OfShop(OfShopSheet),
    /// Withdraw a reading.
    Withdraw(WithdrawSheet),
    /// Choose a setting by hand.
    Choose(ChooseSheet),
    /// Write the plot to a file.
    SavePicture(PathSheet),
    /// Open a round.
    Round(RoundSheet),
    /// Note a remedy of the hand's own.
    OwnRemedy(OwnRemedySheet),
    /// Rows from a spreadsheet.
    Paste(PasteSheet),
    /// A CSV file.
    Import(ImportSheet),
    /// All commands by name.
    Commands(CommandSheet),
    /// What was seen at a far point.
    Looking(LookingSheet),
    /// Sign the verdict.
    Sign(SignSheet),
    /// Seal what is signed.
    Seal(SealSheet),
    /// Leave a handover.
    Handover(HandoverSheet),
    /// Say how the unit came in.
    Receiving(Box<ReceivingSheet>),
    /// The units that wait.
    Units(Box<UnitsSheet>),
    /// Read a station's check standard.
    Check(Box<CheckSheet>),
    /// Write the results of practice to a table.
    ProgressCsv(PathSheet),
    /// What was hidden in a practice unit.
    Hidden(Box<HiddenView>),
    /// What becomes of facts that wait.
    Waiting(WaitingSheet),
    /// Where to go on in a new file.
    Continue(ContinueSheet),
    /// Facts of earlier that were not saved.
    Rescue(RescueSheet),
    /// What is due.
    Due,
    /// Which key of the keypad gives which command.
    Keypad,
    /// Pedals and read-back.
    Pedals(PedalSheet),
    /// The keys.
    Keys,
    /// The cautions.
    Cautions,
    /// The words, and what they mean.
    Glossary,
    /// Which program this is, and what it is built from.
    About,
}

/// Logs a block of rows.
pub(crate) const LOG_BLOCK: KeyboardShortcut =
    KeyboardShortcut::new(Modifiers::COMMAND, Key::Enter);

impl Sheet {
    /// Whether something typed would be lost with the sheet.
    #[must_use]
    pub fn holds_work(&self) -> bool {
        match self {
            Self::SetUp(_) | Self::Paste(_) | Self::Import(_) | Self::Looking(_) => true,
            Self::Begin(sheet) => sheet.holds_work(),
            Self::Edit(form) => form.is_changed(),
            Self::FindMap(sheet) => sheet.holds_work(),
            Self::List(sheet) => sheet.holds_work(),
            Self::Withdraw(sheet) => !sheet.reason.is_empty(),
            Self::Choose(sheet) => !sheet.reason.is_empty(),
            Self::Round(sheet) => !sheet.note.is_empty(),
            Self::OwnRemedy(sheet) => sheet.holds_work(),
            // Once signed it only shows what to keep.
            Self::Sign(sheet) => !sheet.signed,
            Self::Check(sheet) => sheet.holds_work(),
            Self::Handover(sheet) => sheet.holds_work(),
            Self::Receiving(_) => true,
            Self::Units(sheet) => sheet.holds_work(),
            _ => false,
        }
    }

    /// Whether it is only read: the keyboard stays where it was, on the entry row.
    #[must_use]
    pub const fn is_only_read(&self) -> bool {
        matches!(
            self,
            Self::Due
                | Self::Keys
                | Self::Cautions
                | Self::Glossary
                | Self::About
                | Self::Hidden(_)
        )
    }

    /// Whether a key is the sheet's own while it is in front, whatever command it belongs to elsewhere:
    /// Ctrl+Enter logs a block or keeps a form, and page keys turn the sheet and not what lies behind it.
    #[must_use]
    pub fn owns_key(&self, key: KeyboardShortcut) -> bool {
        match self {
            Self::Clear => false,
            Self::Paste(_) | Self::Import(_) | Self::List(_) | Self::Edit(_)
                if key == LOG_BLOCK =>
            {
                true
            }
            _ => matches!(key.logical_key, Key::PageUp | Key::PageDown),
        }
    }

    /// Whether nothing is read at the bench while it is in front: the signature ends the round, a new session and what
    /// a shop keeps come before it.
    #[must_use]
    pub const fn covers_entry(&self) -> bool {
        match self {
            Self::SetUp(sheet) => sheet.begins,
            Self::Sign(_)
            | Self::FirstStart
            | Self::Begin(_)
            | Self::Edit(_)
            | Self::FindMap(_)
            | Self::List(_)
            | Self::Keeps => true,
            _ => false,
        }
    }

    /// Whether the sheet tells the verdict or what it rests on.
    #[must_use]
    pub const fn tells_verdict(&self) -> bool {
        matches!(self, Self::Looking(_) | Self::Sign(_))
    }

    /// Whether what is typed in it is about the round on the bench, so that the next round ends it.
    #[must_use]
    pub const fn is_of_round(&self) -> bool {
        matches!(
            self,
            Self::Looking(_)
                | Self::Sign(_)
                | Self::Withdraw(_)
                | Self::Choose(_)
                | Self::Round(_)
                | Self::OwnRemedy(_)
        )
    }

    /// Whether what is typed in it outlives the open session: it is about another, or about none.
    #[must_use]
    pub const fn outlives_session(&self) -> bool {
        match self {
            Self::SetUp(sheet) => sheet.begins,
            Self::Begin(_)
            | Self::Edit(_)
            | Self::FindMap(_)
            | Self::List(_)
            | Self::Check(_)
            | Self::RecallList(_)
            | Self::OfShop(_)
            | Self::Units(_) => true,
            _ => false,
        }
    }

    /// Whether another is the same sheet, whatever is typed in it.
    #[must_use]
    pub fn is_same_sheet(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::SetUp(a), Self::SetUp(b)) => a.begins == b.begins,
            (Self::Sign(a), Self::Sign(b)) => a.signed == b.signed,
            (Self::Withdraw(a), Self::Withdraw(b)) => a.seq == b.seq,
            (Self::Choose(a), Self::Choose(b)) => a.words == b.words,
            (Self::Edit(a), Self::Edit(b)) => a.is_same_form(b),
            (Self::FindMap(a), Self::FindMap(b)) => a.station.name == b.station.name,
            (Self::Check(a), Self::Check(b)) => a.station == b.station,
            _ => std::mem::discriminant(self) == std::mem::discriminant(other),
        }
    }
}

/// Which program writes the camera's frames.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CameraSheet {
    /// As typed.
    pub command: String,
    /// What was refused.
    pub refused: Option<String>,
}

/// What is asked of a report.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ReportSheet {
    /// Where to.
    pub path: PathSheet,
    /// Whether it shows the pictures that confirm readings rest on.
    pub pictures: bool,
    /// Whether it is being written.
    pub writing: bool,
}

impl ReportSheet {
    /// Of a session, beside it.
    #[must_use]
    pub fn of(session: &std::path::Path, to: &std::path::Path) -> Self {
        Self { path: PathSheet::of(session, to), ..Self::default() }
    }
}

/// What is typed for a label.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LabelSheet {
    /// Where to.
    pub path: PathSheet,
    /// The last day, as typed; a line to write on where nothing is.
    pub due: String,
    /// What stands on it, a line each; empty while the session is read.
    pub says: Vec<String>,
    /// Whether it is being written.
    pub writing: bool,
}

/// Pedals and read-back.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PedalSheet {
    /// The command whose press is waited for.
    pub waiting: Option<Pedal>,
    /// What was refused.
    pub refused: Option<String>,
}

/// Rows from a spreadsheet.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct PasteSheet {
    /// As pasted.
    pub text: String,
    /// What each row will be.
    pub block: Block,
    /// What was refused.
    pub refused: Option<String>,
}

/// A CSV file.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ImportSheet {
    /// Which.
    pub path: PathSheet,
    /// Its readings, once read.
    pub block: Block,
}

/// The list of commands.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CommandSheet {
    /// A part of a command's name.
    pub filter: String,
    /// Which of those found.
    pub chosen: usize,
}

/// A reading to withdraw and why.
#[derive(Clone, Debug, PartialEq)]
pub struct WithdrawSheet {
    /// Which.
    pub seq: Seq,
    /// Which, in words.
    pub words: String,
    /// Why.
    pub reason: String,
    /// What was refused.
    pub refused: Option<String>,
}

/// A setting by hand to put on record, and why.
#[derive(Clone, Debug, PartialEq)]
pub struct ChooseSheet {
    /// Which, in words.
    pub words: String,
    /// Why not the recommended one.
    pub reason: String,
    /// What was refused.
    pub refused: Option<String>,
}

/// Reasons that are often right; anything else is typed.
pub(crate) const WITHDRAW_REASONS: [&str; 4] =
    ["graticule misread", "ring misread", "unit moved", "channel mixed up"];

/// A remedy that is on no list, as the hand says it.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct OwnRemedySheet {
    /// As typed.
    pub typed: ByHand,
    /// What was refused.
    pub refused: Option<String>,
}

impl OwnRemedySheet {
    fn holds_work(&self) -> bool {
        let ByHand { clock, leaves, turned, serial, note, .. } = &self.typed;
        [clock, leaves, turned, serial, note].iter().any(|text| !text.is_empty())
    }
}

/// Why a round ends.
#[derive(Clone, Debug, PartialEq)]
pub struct RoundSheet {
    /// What was touched.
    pub why: RoundReason,
    /// In the hand's words.
    pub note: String,
}
