//! What counts once: a session of which the shop has several files, and a unit that came several times.
//!
//! Files of one session count once in everything that is told of a shop. Of a unit's sessions, tests and
//! intervals take the first one (in a group, where groups are compared): what a unit brings along, its
//! bores, tubes and eyepieces, is the same each time, so that later visits are no evidence of their own.
//! The first, and not the mean of all: means of more visits scatter less, so that they would not be alike,
//! and a unit that came back was worked on.

use std::cmp::Reverse;
use std::collections::{BTreeMap, HashMap};
use std::path::PathBuf;

use jiff::civil::Date;

use super::{SessionSummary, Survey};
use crate::figures::counted_s;
use crate::file::Disk;
use crate::ledger::{Copied, Copy, copies_among};
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

/// What the other files of its session are to a file, and the files that go on from it: each by its place in the list
/// it was found in.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Doubled {
    /// Other files of the same session, and how their lines are to its own.
    pub copies: Vec<(usize, Copied)>,
    /// The file of the same session that counts in its stead.
    pub counts_instead: Option<usize>,
    /// The file of another session that goes on from this one, and counts in its stead.
    pub continued_in: Option<usize>,
}

/// The one rule of what counts once, in one folder or in several: of several files of one session that one counts whose
/// end is not missing, then the one with most facts, which is the longer chain where one holds the other, then
/// the first of the list. Lists hold the folders in the order in which they are named, so that of equals one's own
/// counts, and the files of each by name. A session that another file goes on from counts there. Told is of those
/// alone of which there is something to tell. `path_of`: where the file of each lies.
pub fn doubled_among(
    files: &[&SessionSummary],
    path_of: impl Fn(usize) -> Option<PathBuf>,
    disk: &dyn Disk,
) -> BTreeMap<usize, Doubled> {
    let named: Vec<&str> = files.iter().map(|one| one.session.as_str()).collect();
    let mut found: BTreeMap<usize, Doubled> = BTreeMap::new();
    let copies = copies_among(&named, path_of, disk);
    let mut counts: HashMap<&str, usize> = HashMap::new();
    for &index in copies.keys() {
        let Some(one) = files.get(index) else { continue };
        let held = counts.entry(&one.session).or_insert(index);
        let rank = |of: usize| {
            let one = files.get(of)?;
            Some((one.end_missing.is_none(), one.facts, Reverse(of)))
        };
        if rank(index) > rank(*held) {
            *held = index;
        }
    }
    // The first of several that go on from one session; a file that says so of its own goes on from none.
    let mut goes_on: HashMap<&str, usize> = HashMap::new();
    for (index, one) in files.iter().enumerate() {
        if let Some(from) = one.continues.as_deref().filter(|from| *from != one.session) {
            goes_on.entry(from).or_insert(index);
        }
    }
    for (index, copies) in copies {
        let counting = named.get(index).and_then(|session| counts.get(session));
        let counts_instead = counting.copied().filter(|counting| *counting != index);
        found.insert(index, Doubled { copies, counts_instead, continued_in: None });
    }
    let known = named.iter().enumerate().filter(|(_, session)| !session.is_empty());
    for (index, session) in known.filter(|_| !goes_on.is_empty()) {
        if let Some(goes_on) = goes_on.get(session) {
            found.entry(index).or_default().continued_in = Some(*goes_on);
        }
    }
    found
}

impl Survey {
    /// Finds the files that are of one session, and the sessions that go on in another file. `path_of`: where the file
    /// of each session lies.
    pub(super) fn find_doubles(
        &mut self,
        path_of: impl Fn(usize) -> Option<PathBuf>,
        disk: &dyn Disk,
    ) {
        let each: Vec<&SessionSummary> = self.sessions.iter().collect();
        let found = doubled_among(&each, path_of, disk);
        let said: Vec<_> = found
            .into_iter()
            .map(|(index, Doubled { copies, counts_instead, continued_in })| {
                let seen = |other: usize| self.seen(other, index);
                let copies: Vec<Copy> = copies
                    .into_iter()
                    .map(|(other, how)| Copy { file: seen(other), how })
                    .collect();
                (index, copies, counts_instead.map(seen), continued_in.map(seen))
            })
            .collect();
        for (index, copies, copy_of, continued_in) in said {
            let Some(session) = self.sessions.get_mut(index) else { continue };
            session.copies = copies;
            session.copy_of = copy_of;
            session.continued_in = continued_in;
        }
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
