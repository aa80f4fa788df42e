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
use crate::shown;

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
    /// files that one counts whose end is not missing, then the one with most facts, which is the longer
    /// chain where one holds the other, then the first. `paths`: where each session lies.
    pub(super) fn find_doubles(&mut self, paths: &[PathBuf], disk: &dyn Disk) {
        let each = paths.iter().zip(&self.sessions);
        let files: Vec<(PathBuf, String)> =
            each.map(|(path, session)| (path.clone(), session.session.clone())).collect();
        let copies = copies_among(&files, disk, &|other, own| self.seen(other, own));
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
        for (index, copies) in copies {
            let counted = self.sessions.get(index).and_then(|one| counts.get(&one.session));
            let counted = counted.filter(|counted| **counted != index);
            let copy_of = counted.map(|counted| self.seen(*counted, index));
            let Some(session) = self.sessions.get_mut(index) else { continue };
            session.copies = copies;
            session.copy_of = copy_of;
        }
        self.find_continued();
    }

    /// How the file of a session is called, seen from that of another: by its name in one folder, by its
    /// whole path in another.
    fn seen(&self, session: usize, from: usize) -> String {
        let Some(seen) = self.sessions.get(session) else { return String::new() };
        if self.sessions.get(from).is_some_and(|from| from.folder == seen.folder) {
            return shown::one_line(&seen.file).into_owned();
        }
        self.place_of(seen)
    }

    fn find_continued(&mut self) {
        let each = self.sessions.iter().enumerate();
        let goes_on: HashMap<String, usize> =
            each.filter_map(|(index, session)| Some((session.continues.clone()?, index))).collect();
        let next: Vec<Option<String>> = self
            .sessions
            .iter()
            .enumerate()
            .map(|(index, session)| {
                let next = goes_on.get(&session.session).filter(|next| **next != index)?;
                (!session.session.is_empty()).then(|| self.seen(*next, index))
            })
            .collect();
        for (session, next) in self.sessions.iter_mut().zip(next) {
            session.continued_in = next;
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
