//! What a hand notes of the working day: the sheets, and what is asked of them.
//!
//! - `asking`: when it is asked who is at the bench; `noting`: handovers, receiving, rest; `units`: those that wait;
//! - [`strips`]: what stands above the bench; `handover_ui`, `receiving_ui`, `units_ui`: the sheets.

pub(crate) mod asking;
pub(crate) mod handover_ui;
pub(crate) mod noting;
pub(crate) mod receiving_ui;
pub(crate) mod strips;
pub(crate) mod units;
pub(crate) mod units_ui;

use record::fact::{DayNote, Seq};
use record::units_waiting::WaitingStep;

/// What a hand asks of the working day, with something typed or chosen.
#[derive(Clone, Debug, PartialEq)]
pub enum DayAction {
    /// These are the initials of who is at the bench.
    Hand(String),
    /// Leave the handover on the sheet.
    HandOver,
    /// Note how the unit came in.
    Receive,
    /// Keep the picture on the sheet.
    AddPicture,
    /// Something about the units that wait.
    Units(UnitsAction),
}

/// What a hand asks of the list of units that wait.
#[derive(Clone, Debug, PartialEq)]
pub enum UnitsAction {
    /// Add the unit on the sheet.
    Add,
    /// Begin work on one: a new session with the unit filled in.
    Begin(Seq),
    /// Say how far one has come.
    Move(Seq, WaitingStep),
    /// Ask for the reason of such a step first.
    Ask(Seq, DayStep),
    /// Take the step whose reason is on the sheet.
    Decide,
}

/// A step that wants a reason.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum DayStep {
    /// Work rests.
    Interrupted,
    /// It is off the list.
    TakenOff,
}

/// A field of a sheet of the day.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum DayField {
    /// In which condition a unit came in.
    Condition,
    /// What came with it.
    Accessories,
    /// A picture's file.
    Picture,
    /// What is written on a unit.
    Unit,
    /// The day it is due.
    Due,
    /// Why.
    Reason,
}

/// How a unit came in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct ReceivingSheet {
    /// In which condition.
    pub condition: String,
    /// What came with it.
    pub accessories: String,
    /// A picture's file, as typed.
    pub picture: String,
    /// What it shows.
    pub caption: String,
    /// Whether a file dialog is open elsewhere.
    pub asking: bool,
    /// What was refused, and in which field.
    pub refused: Option<(DayField, String)>,
    /// Where the keyboard goes.
    pub focus: Option<DayField>,
}

/// The list of units that wait.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct UnitsSheet {
    /// What is written on a unit to add.
    pub unit: String,
    /// The day it is due, as typed.
    pub due: String,
    /// For what: customer and job.
    pub purpose: String,
    /// In which condition it came in.
    pub condition: String,
    /// The step whose reason is asked for: of which unit, by its name, and which step.
    pub asks: Option<(Seq, String, DayStep)>,
    /// The reason.
    pub reason: String,
    /// What was refused, and in which field.
    pub refused: Option<(DayField, String)>,
    /// Where the keyboard goes.
    pub focus: Option<DayField>,
}

impl UnitsSheet {
    /// Whether something typed would be lost with it.
    #[must_use]
    pub const fn holds_work(&self) -> bool {
        !(self.unit.is_empty()
            && self.purpose.is_empty()
            && self.condition.is_empty()
            && self.reason.is_empty())
    }

    /// Refuses what stands in a field.
    pub fn refuse(&mut self, field: DayField, why: String) {
        self.refused = Some((field, why));
        self.focus = Some(field);
    }
}

/// A handover to leave.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct HandoverSheet {
    /// What was done.
    pub done: String,
    /// What is next.
    pub next: String,
    /// What was refused.
    pub refused: Option<String>,
}

impl HandoverSheet {
    /// What is typed, as the note that says it.
    #[must_use]
    pub fn note(&self) -> DayNote {
        DayNote::handover(&self.done, &self.next)
    }

    /// Whether something typed would be lost with it.
    #[must_use]
    pub const fn holds_work(&self) -> bool {
        !(self.done.is_empty() && self.next.is_empty())
    }
}
