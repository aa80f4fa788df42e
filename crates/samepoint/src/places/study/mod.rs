//! A repeatability and reproducibility study, guided cell by cell: which studies there are, the open
//! one, a plan being written, a cell being typed.
//!
//! - [`plan`]: a plan being written; [`picture`]: what a study comes to, in words and charts;
//! - `apply`: what is asked; [`ui`]: what it looks like.

pub(crate) mod apply;
pub(crate) mod picture;
pub(crate) mod plan;
pub(crate) mod ui;

use std::path::PathBuf;

use record::fact::{Approach, Seq};
use record::studies::{CellMeasured, Study, StudyBody};
use record::{Meaning as _, Station};

use picture::StudyView;
use plan::PlanForm;

use crate::shell::kept_file::Mend;
use crate::shell::open_journal::OpenJournal;
use crate::shell::reading_form::{ReadingField, ReadingForm, TypedReading};

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
    pub cell: ReadingForm,
    /// A measurement to withdraw, and why.
    pub withdrawing: Option<(Seq, String)>,
    /// What was done last.
    pub notice: String,
}

/// An open study.
pub(crate) type OpenStudy = OpenJournal<StudyBody, StudyView>;

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
        entry: &ReadingForm,
        station: &Station,
    ) -> Result<CellMeasured, (Option<ReadingField>, String)> {
        let (Some(about), Some(cell)) = (self.study().about(), self.study().next()) else {
            return Err((
                None,
                "Every cell is measured; withdraw one to read it again.".to_owned(),
            ));
        };
        let typed =
            entry.typed(station, about.channel).map_err(|(field, why)| (Some(field), why))?;
        let TypedReading { ring_deg, x, y, unit, map } = typed;
        Ok(CellMeasured { cell, ring_deg, x, y, unit, map, approach: Approach::NotNoted })
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
