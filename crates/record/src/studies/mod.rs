//! Repeatability and reproducibility of a bench: the same parts read by several hands several times
//! in random order, one append-only file a study in the shop's `studies/`.
//!
//! - what can be said is here; [`plan`]: parts, hands, trials and their order;
//! - [`fold`](mod@fold): what was measured, what comes next, what may be said;
//! - [`result`]: each axis by analysis of variance and by average and range;
//! - `wire`: the words of its formats.
//!
//! # Source
//! AIAG, *Measurement Systems Analysis*, 4th ed. (2010), chapter III section B.

pub mod fold;
pub mod plan;
pub mod result;
mod wire;

use std::path::Path;

use solver::Channel;

use crate::error::Error;
use crate::fact::texts::texts;
use crate::fact::{Approach, Continued, Fact, Note, Withdrawn};
use crate::file::{FactFile, FileOptions, new_session_name};
use crate::number::Typed;
use crate::station::{ReadingUnit, StationMap};

pub use fold::{Measurement, Study, fold};
pub use plan::{Cell, Plan};
pub use result::{AxisResult, LimitShare, Results, StudyGap};

/// The first format of such a file, which has no words for [`StudyBody::Noted`].
pub const FIRST_FORMAT: u32 = 1;

/// The format of new ones.
pub const LATEST_FORMAT: u32 = 2;

/// A study's file.
pub type StudyFile = FactFile<StudyBody>;

/// A fact of a study.
pub type StudyFact = Fact<StudyBody>;

/// What a fact of a study says.
#[derive(Clone, Debug, PartialEq)]
pub enum StudyBody {
    /// The study begins; always and only fact 1.
    Header(StudyHeader),
    /// One cell was measured.
    Measured(CellMeasured),
    /// A measurement that was real is left out, with the reason; its cell is open again.
    Withdrawn(Withdrawn),
    /// What the program itself notes about the file: that its end was missing and set aside, or that it
    /// goes on from one that held more. From format 2 on.
    Noted(Note),
}

/// How a study begins.
#[derive(Clone, Debug, PartialEq)]
pub struct StudyHeader {
    /// The format of the file, which it keeps: [`LATEST_FORMAT`] in a new one.
    pub format: u32,
    /// The program that began it, with version.
    pub program: String,
    /// The file's own name among all files: 32 hex digits, drawn at random.
    pub name: String,
    /// The station studied.
    pub station: String,
    /// Which channel's crosshair is read.
    pub channel: Channel,
    /// What is to be measured, and in which order.
    pub plan: Plan,
    /// The damaged file this one goes on from.
    pub continues: Option<Continued>,
}

/// One measurement of one cell.
#[derive(Clone, Debug, PartialEq)]
pub struct CellMeasured {
    /// Which part, hand and trial.
    pub cell: Cell,
    /// The ring angle, degrees, when the ring is read.
    pub ring_deg: Option<Typed>,
    /// Across, as typed.
    pub x: Typed,
    /// Up, as typed.
    pub y: Typed,
    /// The unit x and y were typed in.
    pub unit: ReadingUnit,
    /// The channel's map as the station had it.
    pub map: StationMap,
    /// The way the ring was turned to get there.
    pub approach: Approach,
}

impl StudyFile {
    /// Begins a study.
    ///
    /// # Errors
    /// As [`SessionFile::create`](crate::SessionFile), and what is wrong with the plan.
    pub fn create(
        path: &Path,
        header: StudyHeader,
        hand: &str,
        options: FileOptions,
    ) -> Result<Self, Error> {
        fold::check_header(&header)?;
        Self::create_with(path, StudyBody::Header(header), hand, options)
    }

    /// Goes on in a new file, as [`SessionFile::continue_in`](crate::SessionFile): every fact word
    /// for word, saved or not.
    ///
    /// # Errors
    /// As [`create`](Self::create).
    pub fn continue_in(
        &self,
        path: &Path,
        program: &str,
        hand: &str,
        options: FileOptions,
    ) -> Result<Self, Error> {
        let Some(StudyBody::Header(old)) = self.facts().first().map(|first| &first.body) else {
            return Err(Error::HeaderOutOfPlace);
        };
        let header = StudyHeader {
            format: LATEST_FORMAT,
            program: program.to_owned(),
            name: new_session_name()?,
            continues: Some(self.as_continued(&old.name)),
            ..old.clone()
        };
        self.continue_with(path, StudyBody::Header(header), hand, options)
    }
}

texts!(enum StudyBody { Header, Noted, Withdrawn; Measured; });
texts!(StudyHeader { program, name, station, plan, continues; format, channel });
