//! What a place asks of the window after it did its own part: a place knows neither the bench nor another place.

use std::path::PathBuf;

use record::Unit;
use record::fact::{Body, Header};

use super::held::Held;
use super::of_shop::OfShopSheet;
use super::sealing::choice::SealWith;
use crate::ui_command::UiCommand;

/// What a place asks of the window.
#[derive(Debug)]
pub enum Effect {
    /// Do a command of the window.
    Do(UiCommand),
    /// These initials log from now on.
    Hand(String),
    /// Ask with a file dialog where the private part of this key is.
    AskKey(String),
    /// Read the check standard of this station.
    CheckStation(String),
    /// Open a session at the bench; where it cannot be, that is said.
    OpenAtBench(PathBuf),
    /// The same, and tell what was hidden in its invented unit.
    OpenAndTell(PathBuf),
    /// Look a session over.
    Review(PathBuf),
    /// Add an answer to the session looked over.
    Answer(Box<ReviewAnswer>),
    /// Add answers to several sessions, each by itself.
    AnswerSeveral(SeveralAnswers),
    /// Look over the next session that waits for a countersignature.
    NextWaiting,
    /// Bring a new session's sheet, filled in with what was chosen from the shelf.
    SetUp(Box<FromShelf>),
    /// Begin a session and put it on the bench.
    Begin(Box<Beginning>),
    /// Ask with a sheet where something is to be written, this path being offered.
    AskWhere(ToWrite, PathBuf),
    /// Ask with a sheet where something of the shop is to be written.
    AskOfShop(Box<OfShopSheet>),
    /// What the sheet in front asked for is being done elsewhere.
    BeingWritten,
    /// What the sheet in front asked for is done; this is said.
    Written(String),
    /// What the sheet in front asked for is refused.
    NotWritten(String),
    /// Nothing waits for an open file any more.
    LetGo(Held),
    /// Ask where to go on in a new file.
    GoOnElsewhere(Held),
}

/// What may be written from a place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ToWrite {
    /// The shop's recall list.
    RecallList,
    /// The results of practice as a table.
    Progress,
}

/// Parts that were chosen from the shelf, to build a unit of.
#[derive(Clone, Debug, PartialEq)]
pub struct FromShelf {
    /// The unit as it is to be built: parts, turns, shims.
    pub unit: Unit,
    /// The tolerance window that it was chosen for, by its name in the shop.
    pub window: String,
    /// The interpupillary distance that it was chosen for, mm.
    pub ipd_mm: Option<f64>,
    /// What was predicted of it, for the record.
    pub predicted: String,
}

/// A session to begin.
#[derive(Debug)]
pub struct Beginning {
    /// Where.
    pub path: PathBuf,
    /// Its first line.
    pub header: Header,
    /// Whose session it is.
    pub hand: String,
    /// What is said in it before the bench has it, each by whose hand.
    pub facts: Vec<(Body, String)>,
    /// Whether it is for confirm readings.
    pub confirms: bool,
    /// What is said once it is on the bench.
    pub said: &'static str,
}

/// A supervisor's answer to a session.
#[derive(Debug)]
pub struct ReviewAnswer {
    /// The session's file.
    pub path: PathBuf,
    /// The answer.
    pub body: Body,
    /// Who gives it.
    pub hand: String,
    /// Whether it countersigns.
    pub agreed: bool,
    /// With what it is sealed, if it is.
    pub with: Option<SealWith>,
}

/// Answers to several sessions.
#[derive(Debug, Default)]
pub struct SeveralAnswers {
    /// Those that may be given.
    pub answers: Vec<ReviewAnswer>,
    /// Of each session that gets none its file, and why.
    pub refused: Vec<(PathBuf, String)>,
}
