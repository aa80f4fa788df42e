//! A repeatability and reproducibility study, guided cell by cell: which studies there are, the open
//! one, a plan being written, a cell being typed.
//!
//! - [`plan`]: a plan being written; [`picture`]: what a study comes to, in words and charts.

pub mod picture;
pub mod plan;

use std::path::PathBuf;

use record::fact::{Approach, Seq};
use record::file::SetAside;
use record::studies::{CellMeasured, Study, StudyBody, StudyFile, fold};
use record::{Error, Event, Station, Typed};

use picture::StudyPicture;
use plan::PlanForm;

use crate::app::kept_file::Mend;

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
pub struct OpenStudy {
    file: StudyFile,
    study: Study,
    picture: StudyPicture,
}

impl OpenStudy {
    /// Folds and draws what a file holds.
    #[must_use]
    pub fn new(file: StudyFile) -> Self {
        let study = fold(file.facts());
        let picture = StudyPicture::of(&study);
        Self { file, study, picture }
    }

    /// The file.
    #[must_use]
    pub const fn file(&self) -> &StudyFile {
        &self.file
    }

    /// The file, to agree, try again or close.
    pub const fn file_mut(&mut self) -> &mut StudyFile {
        &mut self.file
    }

    /// What its facts come to.
    #[must_use]
    pub const fn study(&self) -> &Study {
        &self.study
    }

    /// That in words and charts.
    #[must_use]
    pub const fn picture(&self) -> &StudyPicture {
        &self.picture
    }

    /// Adds a fact: folded and drawn at once, on its way to disk.
    ///
    /// # Errors
    /// Why the fact cannot be added; nothing has changed then.
    pub fn append(
        &mut self,
        body: StudyBody,
        now: record::Stamp,
        hand: &str,
    ) -> Result<Seq, Error> {
        self.study.admits(&body)?;
        let seq = self.file.append(body, now, hand)?;
        self.study = fold(self.file.facts());
        self.picture = StudyPicture::of(&self.study);
        Ok(seq)
    }

    /// Goes on although the end is missing, as [`StudyFile::set_end_aside`] does.
    ///
    /// # Errors
    /// As there.
    pub fn set_end_aside(&mut self, now: record::Stamp, hand: &str) -> Result<SetAside, Error> {
        let aside = self.file.set_end_aside(now, hand)?;
        self.study = fold(self.file.facts());
        self.picture = StudyPicture::of(&self.study);
        Ok(aside)
    }

    /// Hears what became of facts on their way to disk; returns what must be said.
    pub fn hear(&mut self) -> Vec<String> {
        let stopped = self.file.poll().into_iter().filter_map(|event| match event {
            Event::Stopped { why, .. } => Some(why.to_string()),
            Event::Saved { .. } | Event::Written { .. } => None,
        });
        stopped.collect()
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
        let header = self.study.header.as_ref();
        let (Some(header), Some(cell)) = (header, self.study.next()) else {
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
            .on_graticule(header.channel, station.usual_unit, [x.value(), y.value()], false)
            .map_err(|why| (Some(CellField::X), why.to_string()))?;
        Ok(CellMeasured {
            cell,
            ring_deg,
            x,
            y,
            unit: station.usual_unit,
            map: station.map[header.channel],
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
}
