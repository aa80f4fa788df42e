//! Practice: invented units to solve, and how it went.
//!
//! - [`reading`]: reading earlier attempts from the shop, on a thread of its own;
//! - [`not_begun`]: why a unit is not begun; [`no_course`]: why earlier attempts are not shown;
//! - `apply`: beginning a unit, what the instructor asks, results as a table; [`ui`]: what it looks like.

pub(crate) mod apply;
pub(crate) mod no_course;
pub(crate) mod not_begun;
pub(crate) mod reading;
pub(crate) mod ui;

use crate::shell::refusals::Refusal;
use crate::ui_command::UiCommand;
use no_course::NoCourse;
use not_begun::NotBegun;
use std::path::PathBuf;

use record::practice::roster::Assigned;
use record::practice::seen::UnitAsked;
use record::practice::{Exam, Grade, PracticeUnit, Progress, Roster};
use record::same_hand;

use crate::jobs::{Job, Work};
use crate::views::course::CourseView;

/// The attempts of a shop, and what the instructor asks or why that cannot be read.
pub(crate) type ShopCourse = (Progress, Result<Roster, record::Error>);

/// What the place remembers.
pub struct Practising {
    /// The grade asked for.
    pub grade: Grade,
    /// The unit's number, as typed.
    pub number: String,
    /// Whether a hand typed it; otherwise it follows what was tried.
    pub number_typed: bool,
    /// Whether the number should have the keyboard from the next frame on.
    pub take_keyboard: bool,
    /// Whether another number was offered: typing takes its place.
    pub offered: bool,
    /// Whether it is worked as an examination, and the time limit as typed.
    pub exam: bool,
    /// Minutes, empty for none.
    pub minutes: String,
    /// What was done last.
    pub notice: String,
    /// What was refused.
    pub refused: Option<String>,
    /// Earlier attempts, once they were read.
    pub course: Option<Result<CourseView, NoCourse>>,
    /// Whose attempts are shown; `None`: everybody's.
    pub of_hand: Option<String>,
    /// The trainee that the instructor's page is about, and the threshold, as typed.
    pub trainee: String,
    /// Per cent.
    pub threshold: String,
    /// What was refused on the instructor's page.
    pub roster_refused: Option<String>,
    /// Whether the instructor's file is there and cannot be read: then it is left alone.
    pub(crate) roster_unread: bool,
    /// What the instructor asks of trainees, as read.
    pub(crate) roster: Roster,
    /// The same as read, for the table.
    pub(crate) progress: Progress,
    /// The reading of them.
    pub(crate) reading: Job<Result<ShopCourse, record::Error>>,
}

impl Default for Practising {
    fn default() -> Self {
        Self {
            grade: Grade::First,
            number: "1".to_owned(),
            number_typed: false,
            take_keyboard: false,
            offered: false,
            exam: false,
            minutes: String::new(),
            notice: String::new(),
            refused: None,
            course: None,
            of_hand: None,
            trainee: String::new(),
            threshold: "85".to_owned(),
            roster_refused: None,
            roster_unread: false,
            roster: Roster::default(),
            progress: Progress::default(),
            reading: Job::idle(Work::Practice),
        }
    }
}

impl Practising {
    /// The number asked for.
    ///
    /// # Errors
    /// What is wrong with it, in a sentence.
    pub fn numbered(&self) -> Result<u64, Refusal> {
        let typed = self.number.trim();
        typed.parse().map_err(|_| Refusal::UnitNumber(typed.to_owned()))
    }

    /// What is asked for, if it is an examination.
    ///
    /// # Errors
    /// [`NotBegun::TimeLimit`].
    pub fn exam(&self) -> Result<Option<Exam>, NotBegun> {
        let typed = self.minutes.trim();
        if !self.exam {
            return Ok(None);
        }
        if typed.is_empty() {
            return Ok(Some(Exam::default()));
        }
        let minutes: Option<u32> = typed.parse().ok();
        let minutes = minutes.filter(|it| (1..=Exam::MOST_MINUTES).contains(it));
        minutes.map(|it| Some(Exam { minutes: Some(it) })).ok_or_else(|| NotBegun::TimeLimit {
            typed: typed.to_owned(),
            most: Exam::MOST_MINUTES,
        })
    }

    /// Whether a unit may be begun by a hand: an examination takes a unit that the hand has not met, and what
    /// is sat or assigned as one is not practised meanwhile.
    ///
    /// # Errors
    /// Why not.
    pub(crate) fn may_begin(&self, unit: &PracticeUnit, hand: &str) -> Result<(), NotBegun> {
        if self.is_reading() {
            return Err(NotBegun::StillReading);
        }
        let (grade, number) = (unit.grade, unit.number);
        let meeting = UnitAsked { grade, number, except: "", before: i64::MAX };
        if unit.exam.is_some() {
            return match self.progress.met_by(hand, meeting) {
                Some(seen) if seen.exam && !seen.signed => {
                    Err(NotBegun::BegunAlready(seen.to_string()))
                }
                Some(seen) => Err(NotBegun::Met(seen.to_string())),
                None => Ok(()),
            };
        }
        if let Some(sat) = self.progress.being_sat(grade, number) {
            return Err(NotBegun::BeingSat(sat.to_string()));
        }
        let owed = self.roster.assigned.iter().find(|one| {
            (one.grade, one.number) == (grade, number)
                && one.exam.is_some()
                && same_hand(&one.hand, hand)
                && one.done(&self.progress).is_none()
        });
        match owed {
            Some(_) => Err(NotBegun::Assigned),
            None => Ok(()),
        }
    }

    /// Whether attempts are being read.
    #[must_use]
    pub const fn is_reading(&self) -> bool {
        self.reading.is_going_on()
    }
}

/// What a hand asks for there.
#[derive(Clone, Debug, PartialEq)]
pub enum PracticeAction {
    /// Another grade.
    Grade(Grade),
    /// Show one hand's attempts, or everybody's.
    OfHand(Option<String>),
    /// Set the threshold typed for the trainee typed and the grade chosen.
    SetThreshold,
    /// Assign the unit asked for to the trainee typed.
    Assign,
    /// Ask for a unit that was assigned.
    TakeAssigned(Assigned),
    /// Begin the unit of the grade and number asked for.
    Start,
    /// Read earlier attempts again.
    Again,
    /// Open an attempt.
    Open(PathBuf),
    /// Open an attempt and tell what was hidden.
    OpenHidden(PathBuf),
    /// Ask where to put the table of results.
    AskCsv,
    /// Put it there.
    CsvTo(PathBuf),
    /// A command of the window.
    Do(UiCommand),
    /// These initials log from now on.
    Hand(String),
}

impl From<UiCommand> for PracticeAction {
    fn from(command: UiCommand) -> Self {
        Self::Do(command)
    }
}
