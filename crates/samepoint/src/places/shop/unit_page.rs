//! A unit's page: which unit, and its sessions over the years once they were read.

use record::RealDisk;
use record::Survey;
use record::shop::survey::returning::Returning;
use record::shop::survey::visits::UnitHistory;

use crate::jobs::{Broken, Job, Work, Workers};

/// What the page remembers.
pub struct UnitPage {
    /// The unit; empty: all of them are listed.
    pub unit: String,
    /// Its sessions, once they were read.
    pub history: Option<UnitHistory>,
    /// The reading of them.
    pub reading: Job<UnitHistory>,
    /// Why they could not be read.
    pub refused: Option<String>,
    /// Which units come back.
    pub returning: Returning,
    /// The visit, or the unit of all, that the keyboard is at; the newest visit is the first.
    pub at: usize,
}

impl Default for UnitPage {
    fn default() -> Self {
        Self {
            unit: String::new(),
            history: None,
            reading: Job::idle(Work::UnitHistory),
            refused: None,
            returning: Returning::default(),
            at: 0,
        }
    }
}

impl UnitPage {
    /// Turns to a unit and begins to read its sessions.
    pub(super) fn turn_to(&mut self, unit: String, survey: Option<&Survey>, workers: &Workers) {
        self.history = None;
        self.refused = None;
        self.at = 0;
        self.unit = unit;
        let Some(files) = survey.and_then(|survey| survey.unit_files(&self.unit)) else { return };
        self.reading.start(workers, move || files.read(&RealDisk));
    }

    /// Lists all units again, at the one that was in sight.
    pub(super) fn list_all(&mut self) {
        let unit = std::mem::take(&mut self.unit);
        let at = self.returning.units.iter().position(|one| one.unit == unit);
        self.at = at.unwrap_or_default();
        self.history = None;
    }

    /// Hears what was read; of a unit that is not in sight any more it is let go of.
    pub(super) fn hear(&mut self) {
        match self.reading.hear() {
            None => {}
            Some(Ok(history)) if history.unit == self.unit => self.history = Some(history),
            Some(Ok(_)) => {}
            Some(Err(broken)) => self.refused = Some(words(&broken)),
        }
    }

    /// How many rows can be walked through.
    pub(crate) fn rows(&self) -> usize {
        if self.unit.is_empty() {
            return self.returning.units.len();
        }
        self.history.as_ref().map_or(0, |history| history.visits.len())
    }

    /// The session of the visit that the keyboard is at.
    #[must_use]
    pub fn session_at(&self) -> Option<usize> {
        let visits = &self.history.as_ref()?.visits;
        // The newest stands first.
        let place = visits.len().checked_sub(self.at + 1)?;
        visits.get(place).map(|visit| visit.session)
    }
}

fn words(broken: &Broken) -> String {
    broken.to_string()
}
