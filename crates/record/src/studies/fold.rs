//! What the facts of a study come to: what was measured, what comes next, what may be said.

use solver::Direction;

use super::{CellMeasured, LoggedMeasurement, Plan, PlanCell, StudyAbout, StudyBody};
use crate::error::Error;
use crate::fact::{Fact, Seq};
use crate::journal::reading::{Logged, may_withdraw, withdraw};
use crate::journal::{JournalState, Meaning, Vocabulary};
use crate::validate::named;

/// What a study comes to.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Study {
    /// Its plan, and of what; and what was noted about the file.
    pub journal: JournalState<StudyAbout>,
    /// All measurements, withdrawn ones too, in order.
    pub measurements: Vec<LoggedMeasurement>,
    /// Measurements while another cell was next by the plan: the order is part of what makes a study
    /// honest.
    pub out_of_order: Vec<Seq>,
}

impl Vocabulary for StudyBody {
    const FILE: &'static str = "study";
    const TAG: &'static str = "study of a station";
    type About = StudyAbout;
    type Means = Study;

    /// Its plan is whole by itself.
    fn check_about(about: &StudyAbout) -> Result<(), Error> {
        named("station", &about.station)
    }

    fn check(&self) -> Result<(), Error> {
        match self {
            Self::Measured(measured) => measured.map.check("measured.map"),
            Self::Withdrawn(_) => Ok(()),
        }
    }
}

impl Meaning for Study {
    type Says = StudyBody;

    fn journal(&self) -> &JournalState<StudyAbout> {
        &self.journal
    }

    fn journal_mut(&mut self) -> &mut JournalState<StudyAbout> {
        &mut self.journal
    }

    /// A cell is one of the plan's and is measured once, unless what was measured in it is withdrawn.
    fn admits(&self, says: &StudyBody) -> Result<(), Error> {
        let measured = match says {
            StudyBody::Measured(measured) => measured,
            StudyBody::Withdrawn(withdrawn) => return may_withdraw(&self.measurements, withdrawn),
        };
        measured.map.check("map")?;
        direction_of(measured)?;
        let Some(plan) = self.plan().filter(|plan| plan.has(measured.cell)) else {
            let PlanCell { part, hand, trial } = measured.cell;
            return Err(Error::NoSuchCell { part: part + 1, hand: hand + 1, trial: trial + 1 });
        };
        match self.in_use().find(|held| held.taken.cell == measured.cell) {
            None => Ok(()),
            Some(held) => {
                Err(Error::CellMeasured { cell: plan.words(measured.cell), seq: held.seq })
            }
        }
    }

    fn take(&mut self, fact: Fact<StudyBody>) -> Result<(), Error> {
        let Fact { seq, time, hand, body } = fact;
        match body {
            StudyBody::Measured(body) => {
                let direction = direction_of(&body)?;
                self.out_of_order.extend((self.next() != Some(body.cell)).then_some(seq));
                self.measurements.push(Logged::of(Fact { seq, time, hand, body }, direction));
                Ok(())
            }
            StudyBody::Withdrawn(withdrawn) => withdraw(&mut self.measurements, seq, withdrawn),
        }
    }
}

impl Study {
    /// The plan; `None` without a header.
    #[must_use]
    pub fn plan(&self) -> Option<&Plan> {
        self.about().map(|about| &about.plan)
    }

    /// The measurements that count.
    pub fn in_use(&self) -> impl Iterator<Item = &LoggedMeasurement> {
        self.measurements.iter().filter(|held| held.withdrawn.is_none())
    }

    /// The cells still open, in the order they are to be measured.
    #[must_use]
    pub fn open(&self) -> Vec<PlanCell> {
        let Some(plan) = self.plan() else { return Vec::new() };
        let mut done: Vec<PlanCell> = self.in_use().map(|held| held.taken.cell).collect();
        done.sort_unstable();
        plan.order().filter(|cell| done.binary_search(cell).is_err()).collect()
    }

    /// The cell to measure next; `None` when all are measured.
    #[must_use]
    pub fn next(&self) -> Option<PlanCell> {
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
