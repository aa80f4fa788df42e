//! The summaries of a survey: those that one worker made at a turn lie together where it made them, and are never moved.

use core::iter::Flatten;
use core::ops::{Index, IndexMut};
use core::slice::{Iter, IterMut};
use std::vec::IntoIter;

use super::summary::SessionSummary;

/// Summaries in their order.
#[derive(Clone, Debug, Default)]
pub struct Summaries {
    runs: Vec<Vec<SessionSummary>>,
    /// Where each lies: in which run, and at which place of it.
    places: Vec<(usize, usize)>,
}

impl Summaries {
    /// How many.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.places.len()
    }

    /// Whether there are none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.places.is_empty()
    }

    /// The one at an index, if there is one.
    #[must_use]
    pub fn get(&self, index: usize) -> Option<&SessionSummary> {
        let (run, at) = *self.places.get(index)?;
        self.runs.get(run)?.get(at)
    }

    /// The same, to be changed.
    pub fn get_mut(&mut self, index: usize) -> Option<&mut SessionSummary> {
        let (run, at) = *self.places.get(index)?;
        self.runs.get_mut(run)?.get_mut(at)
    }

    /// The last.
    #[must_use]
    pub fn last(&self) -> Option<&SessionSummary> {
        self.get(self.len().checked_sub(1)?)
    }

    /// Each in order.
    pub fn iter(&self) -> Flatten<Iter<'_, Vec<SessionSummary>>> {
        self.runs.iter().flatten()
    }

    /// Each in order, to be changed.
    pub fn iter_mut(&mut self) -> Flatten<IterMut<'_, Vec<SessionSummary>>> {
        self.runs.iter_mut().flatten()
    }

    /// Those of a run behind these.
    pub(super) fn push_run(&mut self, run: Vec<SessionSummary>) {
        let number = self.runs.len();
        self.places.extend((0..run.len()).map(|at| (number, at)));
        self.runs.push(run);
    }

    /// Those of others behind these.
    pub(super) fn append(&mut self, others: Self) {
        others.runs.into_iter().for_each(|run| self.push_run(run));
    }
}

impl PartialEq for Summaries {
    fn eq(&self, others: &Self) -> bool {
        self.iter().eq(others)
    }
}

#[expect(clippy::indexing_slicing, reason = "as of any list")]
impl Index<usize> for Summaries {
    type Output = SessionSummary;

    fn index(&self, index: usize) -> &SessionSummary {
        let (run, at) = self.places[index];
        &self.runs[run][at]
    }
}

#[expect(clippy::indexing_slicing, reason = "as of any list")]
impl IndexMut<usize> for Summaries {
    fn index_mut(&mut self, index: usize) -> &mut SessionSummary {
        let (run, at) = self.places[index];
        &mut self.runs[run][at]
    }
}

impl<'a> IntoIterator for &'a Summaries {
    type Item = &'a SessionSummary;
    type IntoIter = Flatten<Iter<'a, Vec<SessionSummary>>>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter()
    }
}

impl<'a> IntoIterator for &'a mut Summaries {
    type Item = &'a mut SessionSummary;
    type IntoIter = Flatten<IterMut<'a, Vec<SessionSummary>>>;

    fn into_iter(self) -> Self::IntoIter {
        self.iter_mut()
    }
}

impl IntoIterator for Summaries {
    type Item = SessionSummary;
    type IntoIter = Flatten<IntoIter<Vec<SessionSummary>>>;

    fn into_iter(self) -> Self::IntoIter {
        self.runs.into_iter().flatten()
    }
}

impl Extend<SessionSummary> for Summaries {
    fn extend<T: IntoIterator<Item = SessionSummary>>(&mut self, more: T) {
        self.push_run(more.into_iter().collect());
    }
}

impl FromIterator<SessionSummary> for Summaries {
    fn from_iter<T: IntoIterator<Item = SessionSummary>>(all: T) -> Self {
        Self::from(all.into_iter().collect::<Vec<_>>())
    }
}

impl From<Vec<SessionSummary>> for Summaries {
    fn from(all: Vec<SessionSummary>) -> Self {
        let mut summaries = Self::default();
        summaries.push_run(all);
        summaries
    }
}
