//! The summaries of a survey: each lies where it was made when its file was read, and is never moved.

use core::iter::Map;
use core::ops::{Index, IndexMut};
use core::slice::{Iter, IterMut};

use super::summary::SessionSummary;

/// Summaries in their order.
#[derive(Clone, Debug, Default, PartialEq)]
#[expect(clippy::vec_box, reason = "a hundred thousand of them are not copied into one place")]
pub struct Summaries(Vec<Box<SessionSummary>>);

type Each<'a> =
    Map<Iter<'a, Box<SessionSummary>>, fn(&'a Box<SessionSummary>) -> &'a SessionSummary>;
type EachMut<'a> = Map<
    IterMut<'a, Box<SessionSummary>>,
    fn(&'a mut Box<SessionSummary>) -> &'a mut SessionSummary,
>;

impl Summaries {
    /// How many.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.0.len()
    }

    /// Whether there are none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The one at an index, if there is one.
    #[must_use]
    pub fn get(&self, index: usize) -> Option<&SessionSummary> {
        self.0.get(index).map(Box::as_ref)
    }

    /// The same, to be changed.
    pub fn get_mut(&mut self, index: usize) -> Option<&mut SessionSummary> {
        self.0.get_mut(index).map(Box::as_mut)
    }

    /// The last.
    #[must_use]
    pub fn last(&self) -> Option<&SessionSummary> {
        self.0.last().map(Box::as_ref)
    }

    /// Each in order.
    pub fn iter(&self) -> Each<'_> {
        self.0.iter().map(Box::as_ref)
    }

    /// Each in order, to be changed.
    pub fn iter_mut(&mut self) -> EachMut<'_> {
        self.0.iter_mut().map(Box::as_mut)
    }

    pub(super) fn reserve_exact(&mut self, more: usize) {
        self.0.reserve_exact(more);
    }

    pub(super) fn push(&mut self, summary: Box<SessionSummary>) {
        self.0.push(summary);
    }

    /// Those of others behind these.
    pub(super) fn append(&mut self, others: Self) {
        self.0.extend(others.0);
    }
}

#[expect(clippy::indexing_slicing, reason = "as of any list")]
impl Index<usize> for Summaries {
    type Output = SessionSummary;

    fn index(&self, index: usize) -> &SessionSummary {
        &self.0[index]
    }
}

#[expect(clippy::indexing_slicing, reason = "as of any list")]
impl IndexMut<usize> for Summaries {
    fn index_mut(&mut self, index: usize) -> &mut SessionSummary {
        &mut self.0[index]
    }
}

impl<'a> IntoIterator for &'a Summaries {
    type Item = &'a SessionSummary;
    type IntoIter = Each<'a>;

    fn into_iter(self) -> Each<'a> {
        self.iter()
    }
}

impl<'a> IntoIterator for &'a mut Summaries {
    type Item = &'a mut SessionSummary;
    type IntoIter = EachMut<'a>;

    fn into_iter(self) -> EachMut<'a> {
        self.iter_mut()
    }
}

impl IntoIterator for Summaries {
    type Item = SessionSummary;
    type IntoIter =
        Map<std::vec::IntoIter<Box<SessionSummary>>, fn(Box<SessionSummary>) -> SessionSummary>;

    fn into_iter(self) -> Self::IntoIter {
        self.0.into_iter().map(|summary| *summary)
    }
}

impl Extend<SessionSummary> for Summaries {
    fn extend<T: IntoIterator<Item = SessionSummary>>(&mut self, more: T) {
        self.0.extend(more.into_iter().map(Box::new));
    }
}

impl FromIterator<SessionSummary> for Summaries {
    fn from_iter<T: IntoIterator<Item = SessionSummary>>(all: T) -> Self {
        Self(all.into_iter().map(Box::new).collect())
    }
}

impl From<Vec<SessionSummary>> for Summaries {
    fn from(all: Vec<SessionSummary>) -> Self {
        all.into_iter().collect()
    }
}
