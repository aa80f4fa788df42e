//! What the facts of a study come to: what was measured, what comes next, what may be said.

use solver::Direction;

use super::{Cell, CellMeasured, Plan, StudyBody, StudyFact, StudyHeader};
use crate::check::named;
use crate::error::Error;
use crate::fact::texts::plain;
use crate::fact::{Seq, Withdrawn};
use crate::fold::Withdrawal;
use crate::stamp::Stamp;

/// What a study comes to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Study {
    /// Its plan, and of what.
    pub header: Option<StudyHeader>,
    /// All measurements, withdrawn ones too, in order.
    pub measurements: Vec<Measurement>,
    /// What the program itself noted about the file, in its words.
    pub marks: Vec<(Seq, String)>,
    /// Facts that could not be taken at their word, and why.
    pub ignored: Vec<(Seq, String)>,
}

/// One measurement.
#[derive(Clone, Debug, PartialEq)]
pub struct Measurement {
    /// Its identity.
    pub seq: Seq,
    /// When.
    pub time: Stamp,
    /// Who entered it.
    pub entered_by: String,
    /// As typed.
    pub measured: CellMeasured,
    /// Where it points.
    pub direction: Direction,
    /// Whether another cell was next by the plan: the order is part of what makes a study honest.
    pub out_of_order: bool,
    /// Set when it was withdrawn.
    pub withdrawn: Option<Withdrawal>,
}

/// What the facts come to. Total: a fact that cannot be taken at its word is left aside.
#[must_use]
pub fn fold(facts: &[StudyFact]) -> Study {
    let mut study = Study::default();
    for fact in facts {
        if let Err(why) = study.take(&plain(fact)) {
            study.ignored.push((fact.seq, why.to_string()));
        }
    }
    study
}

impl Study {
    fn take(&mut self, fact: &StudyFact) -> Result<(), Error> {
        if let StudyBody::Header(header) = &fact.body {
            if fact.seq != 1 {
                return Err(Error::HeaderOutOfPlace);
            }
            self.header = Some(header.clone());
            return Ok(());
        }
        if let StudyBody::Noted(note) = &fact.body {
            self.marks.push((fact.seq, note.text.clone()));
            return Ok(());
        }
        self.admits(&fact.body)?;
        match &fact.body {
            StudyBody::Header(_) | StudyBody::Noted(_) => {}
            StudyBody::Measured(measured) => self.measurements.push(Measurement {
                seq: fact.seq,
                time: fact.time,
                entered_by: fact.hand.clone(),
                direction: direction_of(measured)?,
                out_of_order: self.next() != Some(measured.cell),
                measured: measured.clone(),
                withdrawn: None,
            }),
            StudyBody::Withdrawn(Withdrawn { reading, reason }) => {
                let held = self.measurements.iter_mut().find(|held| held.seq == *reading);
                let held = held.ok_or(Error::NotAReadingInUse { seq: *reading })?;
                held.withdrawn = Some(Withdrawal { by: fact.seq, reason: reason.clone() });
            }
        }
        Ok(())
    }

    /// Whether a fact may be added now.
    ///
    /// # Errors
    /// Why not, and what to do: a cell is one of the plan's and is measured once, unless what was
    /// measured in it is withdrawn.
    pub fn admits(&self, body: &StudyBody) -> Result<(), Error> {
        match body {
            StudyBody::Header(_) => Err(Error::HeaderOutOfPlace),
            StudyBody::Noted(_) => Err(Error::ProgramsOwnNote),
            StudyBody::Measured(measured) => {
                measured.map.check("map")?;
                direction_of(measured)?;
                let Some(plan) = self.plan().filter(|plan| plan.has(measured.cell)) else {
                    let Cell { part, hand, trial } = measured.cell;
                    return Err(Error::NoSuchCell {
                        part: part + 1,
                        hand: hand + 1,
                        trial: trial + 1,
                    });
                };
                match self.in_use().find(|held| held.measured.cell == measured.cell) {
                    None => Ok(()),
                    Some(held) => {
                        Err(Error::CellMeasured { cell: plan.words(measured.cell), seq: held.seq })
                    }
                }
            }
            StudyBody::Withdrawn(withdrawn) => {
                let seq = withdrawn.reading;
                if !self.in_use().any(|held| held.seq == seq) {
                    return Err(Error::NotAReadingInUse { seq });
                }
                named("the reason", &withdrawn.reason)
            }
        }
    }

    /// The plan; `None` without a header.
    #[must_use]
    pub fn plan(&self) -> Option<&Plan> {
        self.header.as_ref().map(|header| &header.plan)
    }

    /// The measurements that count.
    pub fn in_use(&self) -> impl Iterator<Item = &Measurement> {
        self.measurements.iter().filter(|held| held.withdrawn.is_none())
    }

    /// The cells still open, in the order they are to be measured.
    #[must_use]
    pub fn open(&self) -> Vec<Cell> {
        let Some(plan) = self.plan() else { return Vec::new() };
        let mut done: Vec<Cell> = self.in_use().map(|held| held.measured.cell).collect();
        done.sort_unstable();
        plan.order().filter(|cell| done.binary_search(cell).is_err()).collect()
    }

    /// The cell to measure next; `None` when all are measured.
    #[must_use]
    pub fn next(&self) -> Option<Cell> {
        self.open().first().copied()
    }

    /// What to do next, in words, with how far the study has come.
    #[must_use]
    pub fn next_words(&self) -> String {
        let Some(plan) = self.plan() else { return "the study has no plan".to_owned() };
        let open = self.open();
        match open.first() {
            Some(cell) => format!(
                "Measure next: {} ({} of {}).",
                plan.words(*cell),
                plan.cells() - open.len() + 1,
                plan.cells()
            ),
            None => format!("All {} cells are measured.", plan.cells()),
        }
    }
}

fn direction_of(measured: &CellMeasured) -> Result<Direction, Error> {
    let typed = [measured.x.value(), measured.y.value()];
    let direction = measured.map.direction_from_typed(measured.unit, typed);
    crate::fold::round::within_field(direction)?;
    Ok(direction)
}

/// What is wrong with a header; its plan is whole by itself.
pub(super) fn check_header(header: &StudyHeader) -> Result<(), Error> {
    named("station", &header.station)
}
