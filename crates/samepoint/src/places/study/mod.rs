//! A repeatability and reproducibility study, guided cell by cell: which studies there are, the open
//! one, a plan being written, a cell being typed.
//!
//! - [`plan`]: a plan being written; [`picture`]: what a study comes to, in words and charts;
//! - `apply`: what is asked; [`ui`]: what it looks like.

pub(crate) mod apply;
pub mod picture;
pub mod plan;
pub mod ui;

use std::path::PathBuf;

use record::fact::{Approach, Seq};
use record::studies::{CellMeasured, Study, StudyBody};
use record::{Error, Meaning as _, Station, Typed};

use picture::StudyView;
use plan::PlanForm;

use crate::shell::kept_file::Mend;
use crate::shell::open_journal::OpenJournal;

/// A field of the cell being typed.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum CellField {
    /// Ring angle.
    Ring,
    /// Across.
    X,
    /// Up.
    Y,
}

/// What the place remembers.
#[derive(Default)]
pub struct Studying {
    /// The shop's studies, the newest first: file and words.
    pub list: Vec<(PathBuf, String)>,
    /// The open one.
    pub open: Option<OpenStudy>,
    /// The plan being written, when a new one is.
    pub plan: Option<PlanForm>,
    /// The cell being typed.
    pub cell: CellEntry,
    /// A measurement to withdraw, and why.
    pub withdrawing: Option<(Seq, String)>,
    /// What was done last.
    pub notice: String,
}

/// The cell being typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct CellEntry {
    /// Ring angle as typed.
    pub ring: String,
    /// Across, as typed.
    pub x: String,
    /// Up, as typed.
    pub y: String,
    /// What was refused, and why.
    pub refused: Option<(Option<CellField>, String)>,
    /// The field that should have the keyboard in the next frame.
    pub focus: Option<CellField>,
}

/// An open study.
pub type OpenStudy = OpenJournal<StudyBody, StudyView>;

impl OpenStudy {
    /// What its facts come to.
    #[must_use]
    pub const fn study(&self) -> &Study {
        self.means()
    }

    /// The next cell as typed.
    ///
    /// # Errors
    /// Which field is wrong, and how; or that every cell is measured.
    pub fn taken(
        &self,
        entry: &CellEntry,
        station: &Station,
    ) -> Result<CellMeasured, (Option<CellField>, String)> {
        let parse = |field, text: &str| {
            Typed::by_hand(text.trim()).map_err(|why: Error| (Some(field), why.to_string()))
        };
        let (Some(about), Some(cell)) = (self.study().about(), self.study().next()) else {
            return Err((
                None,
                "Every cell is measured; withdraw one to read it again.".to_owned(),
            ));
        };
        let ring_deg = match entry.ring.trim() {
            "" => None,
            typed => Some(parse(CellField::Ring, typed)?),
        };
        let (x, y) = (parse(CellField::X, &entry.x)?, parse(CellField::Y, &entry.y)?);
        station
            .on_graticule(about.channel, station.usual_unit, [x.value(), y.value()], false)
            .map_err(|why| (Some(CellField::X), why.to_string()))?;
        Ok(CellMeasured {
            cell,
            ring_deg,
            x,
            y,
            unit: station.usual_unit,
            map: station.map[about.channel],
            approach: Approach::NotNoted,
        })
    }
}

/// What a hand asks of the studies.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum StudyAction {
    /// Write a new plan.
    Plan,
    /// Leave the plan as it is, unwritten.
    DropPlan,
    /// Draw the order and begin.
    Begin,
    /// Open one.
    Open(PathBuf),
    /// Log the cell as typed.
    Log,
    /// Ask why a measurement is to be withdrawn.
    AskWithdraw(Seq),
    /// Withdraw it.
    Withdraw,
    /// Leave it.
    KeepIt,
    /// Mend the file, or go on beside it.
    Mend(Mend),
    /// These initials log from now on.
    Hand(String),
}
