//! What counts once: a session of which the shop has several files, and a unit that came several times.
//!
//! Files of one session count once in everything that is told of a shop. Of a unit's sessions, tests and
//! intervals take the first one (in a group, where groups are compared): what a unit brings along, its
//! bores, tubes and eyepieces, is the same each time, so that later visits are no evidence of their own.
//! The first, and not the mean of all: means of more visits scatter less, so that they would not be alike,
//! and a unit that came back was worked on.

use std::collections::HashMap;
use std::path::PathBuf;

use jiff::civil::Date;

use super::{SessionSummary, Survey};
use crate::figures::counted_s;
use crate::file::Disk;
use crate::ledger::{Copied, copies_among};

impl SessionSummary {
    /// Whether it counts in what is told of its shop, beside others: real work whose end is not missing,
    /// no practice, no blind check of another session, no copy and not continued in another file, which
    /// would count one unit twice.
    #[must_use]
    pub fn counts(&self) -> bool {
        !self.practice
            && self.checks.is_none()
            && self.end_missing.is_none()
            && self.copy_of.is_none()
            && self.continued_in.is_none()
    }
}

impl Survey {
    /// Finds the files that are of one session, and the sessions that go on in another file. Of several
    /// files that one counts whose end is not missing, then the one with most facts, then the first by
    /// name.
    pub(super) fn find_doubles(&mut self, paths: &[PathBuf], disk: &dyn Disk) {
        let each = paths.iter().zip(&self.sessions);
        let files: Vec<(PathBuf, String)> =
            each.map(|(path, session)| (path.clone(), session.session.clone())).collect();
        let copies = copies_among(&files, disk);
        let mut counts: HashMap<String, usize> = HashMap::new();
        for &index in copies.keys() {
            let Some(session) = self.sessions.get(index) else { continue };
            let held = counts.entry(session.session.clone()).or_insert(index);
            let better = self.sessions.get(*held).is_some_and(|best| {
                let rank = |one: &SessionSummary| (one.end_missing.is_none(), one.facts);
                rank(session) > rank(best)
            });
            if better {
                *held = index;
            }
        }
        let counting: HashMap<String, String> = counts
            .into_iter()
            .filter_map(|(session, index)| Some((session, self.sessions.get(index)?.file.clone())))
            .collect();
        for (index, copies) in copies {
            let Some(session) = self.sessions.get_mut(index) else { continue };
            session.copies = copies;
            let counted = counting.get(&session.session);
            session.copy_of = counted.filter(|file| **file != session.file).cloned();
        }
        self.find_continued();
    }

    fn find_continued(&mut self) {
        let goes_on: HashMap<String, String> = self
            .sessions
            .iter()
            .filter_map(|session| Some((session.continues.clone()?, session.file.clone())))
            .collect();
        for session in &mut self.sessions {
            let next = goes_on.get(&session.session).filter(|file| **file != session.file);
            session.continued_in = next.filter(|_| !session.session.is_empty()).cloned();
        }
    }

    /// How many files are of a session that another file counts for.
    #[must_use]
    pub fn doubled(&self) -> usize {
        let double =
            |session: &&SessionSummary| session.copy_of.is_some() || session.continued_in.is_some();
        self.sessions.iter().filter(double).count()
    }

    /// Of points, each of a session by its index, those of the first visit of each unit, in their order,
    /// and how many are left out. A unit is known by its name and housing; sessions whose unit nobody
    /// named are each of a unit of their own.
    pub(super) fn first_visits<T>(&self, points: Vec<(usize, T)>) -> (Vec<(usize, T)>, usize) {
        first_visits(points, |index| {
            let SessionSummary { unit, housing, day, .. } = self.sessions.get(index)?;
            Some(VisitOf { unit, housing, day: *day })
        })
    }
}

/// Whose visit a session was, and when.
#[derive(Clone, Copy, Debug)]
pub(in crate::shop) struct VisitOf<'a> {
    pub(in crate::shop) unit: &'a str,
    pub(in crate::shop) housing: &'a str,
    pub(in crate::shop) day: Option<Date>,
}

/// As [`Survey::first_visits`], of sessions of which only their visits are known.
pub(in crate::shop) fn first_visits<'a, T>(
    points: Vec<(usize, T)>,
    visit_of: impl Fn(usize) -> Option<VisitOf<'a>>,
) -> (Vec<(usize, T)>, usize) {
    let visit = |index: usize| {
        let VisitOf { unit, housing, day } = visit_of(index)?;
        // A session without a day cannot be shown to be the first.
        let when = (day.is_none(), day, index);
        (!unit.is_empty()).then_some(((unit, housing), when))
    };
    let mut first: HashMap<(&str, &str), (bool, Option<Date>, usize)> = HashMap::new();
    for (unit, when) in points.iter().filter_map(|(index, _)| visit(*index)) {
        let held = first.entry(unit).or_insert(when);
        *held = (*held).min(when);
    }
    let all = points.len();
    let is_first =
        |index: usize| visit(index).is_none_or(|(unit, when)| first.get(&unit) == Some(&when));
    let kept: Vec<(usize, T)> = points.into_iter().filter(|(index, _)| is_first(*index)).collect();
    let left_out = all - kept.len();
    (kept, left_out)
}

/// What is said of points that are left out; empty where none are.
pub(super) fn later_visits_words(left_out: usize) -> String {
    if left_out == 0 {
        return String::new();
    }
    let count = counted_s(left_out, "later visit");
    format!(" {count} of the same units left out: what a unit brings along is no new evidence.")
}

impl SessionSummary {
    /// Its other files that do not have the same lines as far as both go.
    #[must_use]
    pub fn is_forked(&self) -> bool {
        self.copies.iter().any(|copy| matches!(copy.how, Copied::Forked(_)))
    }
}
