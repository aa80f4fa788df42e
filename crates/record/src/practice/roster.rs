//! The instructor's page: which units a trainee is to work, from which mean a grade counts as mastered, and
//! how each stands.
//!
//! It is one file of the shop, `practice/instructor.ron`, replaced whole; the one before stays beside it under
//! the time it was replaced.

use std::collections::BTreeSet;
use std::fs;
use std::io::Write as _;
use std::path::Path;

use serde::{Deserialize, Serialize};

use super::grade::Grade;
use super::progress::{Attempt, Progress};
use super::series::{Exam, Series};
use super::unit::MOST_UNITS;
use crate::error::Error;
use crate::fact::{is_nobody, same_hand};
use crate::stamp::Stamp;

/// The file's name, in the shop's `practice/`.
pub const ROSTER_FILE: &str = "instructor.ron";
/// A grade is mastered by the mean of so many attempts, the last ones. Ours, no source.
pub const LAST: usize = 3;
/// The file is refused when it is larger, bytes.
const LARGEST: u64 = 1 << 20;
/// Its format.
const FORMAT: u32 = 1;

/// What an instructor asks of trainees.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Roster {
    /// From which mean a grade counts as mastered, trainee by trainee.
    pub thresholds: Vec<Threshold>,
    /// Units to be worked, in the order assigned.
    pub assigned: Vec<Assigned>,
}

/// A mastery threshold.
#[derive(Clone, Debug, PartialEq)]
pub struct Threshold {
    /// Whose.
    pub hand: String,
    /// Of which grade.
    pub grade: Grade,
    /// The mean wanted, per cent, above 0 and up to 100.
    pub percent: f64,
}

/// A unit that a trainee is to work.
#[derive(Clone, Debug, PartialEq)]
pub struct Assigned {
    /// Whose.
    pub hand: String,
    /// The unit's grade.
    pub grade: Grade,
    /// Its number.
    pub number: u64,
    /// Whether as an examination.
    pub exam: Option<Exam>,
}

/// Why nothing of the kind can be asked of a trainee; without a full stop.
#[derive(Clone, Copy, Debug, PartialEq, thiserror::Error)]
pub enum NotAsked {
    /// A file of a format that never was.
    #[error("format: there is no format {0}")]
    Format(u32),
    /// A grade that there is not.
    #[error("grade: there is no grade {0}")]
    Grade(u64),
    /// A mean that cannot be reached, or always is, per cent.
    #[error("a threshold is above 0 and up to 100 %")]
    Threshold(f64),
    /// A unit beyond those that are invented.
    #[error("a unit's number is from 1 to 999,999")]
    Number(u64),
    /// A time limit beyond reason, minutes.
    #[error("a time limit is from 1 to {most} min", most = Exam::MOST_MINUTES)]
    Minutes(u32),
    /// The same unit, grade and trainee once more.
    #[error("it is assigned already")]
    Already,
    /// No trainee.
    #[error("name the trainee by initials")]
    Nobody,
}

/// How a trainee stands in a grade.
#[derive(Clone, Debug, PartialEq)]
pub struct GradeStatus {
    /// Whose.
    pub hand: String,
    /// In which grade.
    pub grade: Grade,
    /// Units signed.
    pub signed: usize,
    /// The mean of the last [`LAST`], per cent; `None` before there are so many.
    pub mean_percent: Option<f64>,
    /// The threshold that was set.
    pub threshold_percent: Option<f64>,
    /// Whether the mean reaches it, all of them in time and none a failing unit that was passed.
    pub mastered: bool,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct RosterFile {
    format: u32,
    thresholds: Vec<ThresholdWords>,
    assigned: Vec<AssignedWords>,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct ThresholdWords {
    hand: String,
    grade: u64,
    percent: f64,
}

#[derive(Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct AssignedWords {
    hand: String,
    grade: u64,
    unit: u64,
    exam: bool,
    minutes: Option<u32>,
}

impl Roster {
    /// Of a shop's `practice/`; empty where there is none yet.
    ///
    /// # Errors
    /// [`Error::Io`], [`Error::ShopFile`], [`Error::ShopValue`]: what is wrong with it, and where.
    pub fn load(practice: &Path) -> Result<Self, Error> {
        let path = practice.join(ROSTER_FILE);
        let reading = |why| Error::io("read", &path, why);
        if path.symlink_metadata().is_err() {
            return Ok(Self::default());
        }
        let text = crate::file::plain::read_text(&path, LARGEST).map_err(reading)?;
        let words: RosterFile = ron::from_str(&text).map_err(|why| Error::ShopFile {
            path: path.clone(),
            line: why.span.start.line,
            column: why.span.start.col,
            what: why.code.to_string(),
        })?;
        Self::read(words).map_err(|why| Error::ShopValue { path, what: why.to_string() })
    }

    fn read(words: RosterFile) -> Result<Self, NotAsked> {
        if words.format != FORMAT {
            return Err(NotAsked::Format(words.format));
        }
        let grade = |number: u64| {
            let found = Grade::ALL.into_iter().find(|grade| grade.number() == number);
            found.ok_or(NotAsked::Grade(number))
        };
        let mut roster = Self::default();
        for one in words.thresholds {
            let (grade, percent) = (grade(one.grade)?, one.percent);
            roster.set_threshold(Threshold { hand: one.hand, grade, percent })?;
        }
        for one in words.assigned {
            let exam = one.exam.then_some(Exam { minutes: one.minutes });
            let grade = grade(one.grade)?;
            roster.assign(Assigned { hand: one.hand, grade, number: one.unit, exam })?;
        }
        Ok(roster)
    }

    /// Sets a threshold in the place of an earlier one.
    ///
    /// # Errors
    /// [`NotAsked`]: what is wrong with it.
    pub fn set_threshold(&mut self, threshold: Threshold) -> Result<(), NotAsked> {
        named(&threshold.hand)?;
        if !(threshold.percent > 0.0 && threshold.percent <= 100.0) {
            return Err(NotAsked::Threshold(threshold.percent));
        }
        let other = |one: &Threshold| {
            one.grade != threshold.grade || !same_hand(&one.hand, &threshold.hand)
        };
        self.thresholds.retain(other);
        self.thresholds.push(threshold);
        Ok(())
    }

    /// Assigns a unit, once.
    ///
    /// # Errors
    /// [`NotAsked`]: what is wrong with it.
    pub fn assign(&mut self, assigned: Assigned) -> Result<(), NotAsked> {
        named(&assigned.hand)?;
        if !(1..=MOST_UNITS).contains(&assigned.number) {
            return Err(NotAsked::Number(assigned.number));
        }
        let minutes = assigned.exam.and_then(|exam| exam.minutes);
        let limits = 1..=Exam::MOST_MINUTES;
        if let Some(beyond) = minutes.filter(|it| !limits.contains(it)) {
            return Err(NotAsked::Minutes(beyond));
        }
        let same = |one: &Assigned| {
            (one.grade, one.number, one.exam) == (assigned.grade, assigned.number, assigned.exam)
                && same_hand(&one.hand, &assigned.hand)
        };
        if self.assigned.iter().any(same) {
            return Err(NotAsked::Already);
        }
        self.assigned.push(assigned);
        Ok(())
    }

    /// Puts it in place whole; the one before is kept beside it under the time.
    ///
    /// # Errors
    /// [`Error::Io`], [`Error::FactNotWritable`]: nothing has changed then.
    pub fn save(&self, practice: &Path, now: Stamp) -> Result<(), Error> {
        let path = practice.join(ROSTER_FILE);
        let writing = |why| Error::io("write", &path, why);
        fs::create_dir_all(practice).map_err(|why| Error::io("make the folder", practice, why))?;
        let words = RosterFile {
            format: FORMAT,
            thresholds: self.thresholds.iter().map(ThresholdWords::of).collect(),
            assigned: self.assigned.iter().map(AssignedWords::of).collect(),
        };
        let mut text = ron::ser::to_string_pretty(&words, ron::ser::PrettyConfig::default())
            .map_err(|why| Error::FactNotWritable { what: why.to_string() })?;
        text.push('\n');
        let mut file = tempfile::NamedTempFile::new_in(practice).map_err(writing)?;
        file.write_all(text.as_bytes()).map_err(writing)?;
        file.as_file().sync_all().map_err(writing)?;
        if path.symlink_metadata().is_ok() {
            let before = practice.join(format!("instructor {}.ron", now.for_file_name()));
            fs::copy(&path, &before).map_err(|why| Error::io("write", &before, why))?;
        }
        file.persist(&path).map_err(|why| writing(why.error))?;
        Ok(())
    }

    /// How each trainee stands in each grade that was worked or has a threshold, by hand and grade.
    #[must_use]
    pub fn standings(&self, progress: &Progress) -> Vec<GradeStatus> {
        let mut hands: Vec<String> = Vec::new();
        let named = progress.attempts.iter().map(|one| &one.hand);
        for hand in named.chain(self.thresholds.iter().map(|one| &one.hand)) {
            if hands.iter().all(|known| !same_hand(known, hand)) {
                hands.push(hand.clone());
            }
        }
        hands.sort_unstable();
        let every = hands.iter().flat_map(|hand| Grade::ALL.map(|grade| (hand, grade)));
        every.filter_map(|(hand, grade)| self.standing(progress, hand, grade)).collect()
    }

    fn standing(&self, progress: &Progress, hand: &str, grade: Grade) -> Option<GradeStatus> {
        let worked: Vec<&Attempt> = progress
            .attempts
            .iter()
            .filter(|one| one.series == Series::NOW && one.grade == grade)
            .filter(|one| same_hand(&one.hand, hand))
            .collect();
        let set =
            self.thresholds.iter().find(|one| one.grade == grade && same_hand(&one.hand, hand));
        let threshold_percent = set.map(|one| one.percent);
        if worked.is_empty() && threshold_percent.is_none() {
            return None;
        }
        // A unit worked again after its truth was told shows nothing: the first time counts, and an
        // examination only where the unit was new.
        let mut seen = BTreeSet::new();
        let first: Vec<&Attempt> = worked
            .into_iter()
            .filter(|one| seen.insert(one.number) && one.seen.is_none())
            .collect();
        let last = first.len().checked_sub(LAST).and_then(|from| first.get(from..));
        let mean_percent = last.map(|last| {
            last.iter().map(|one| one.score.total_percent()).sum::<f64>() / LAST as f64
        });
        let clean = last.is_some_and(|last| {
            last.iter().all(|one| one.is_in_time() && !one.score.passed_failing)
        });
        let reached = mean_percent.zip(threshold_percent).is_some_and(|(mean, set)| mean >= set);
        Some(GradeStatus {
            hand: hand.to_owned(),
            grade,
            signed: first.len(),
            mean_percent,
            threshold_percent,
            mastered: clean && reached,
        })
    }
}

impl Assigned {
    /// The attempt that answers it: the trainee's first at that unit, as an examination where it is one;
    /// then of a unit that the trainee had not met before.
    #[must_use]
    pub fn done<'a>(&self, progress: &'a Progress) -> Option<&'a Attempt> {
        self.sat(progress).find(|one| one.seen.is_none())
    }

    /// The attempts at it as it was asked for, met before or not.
    pub fn sat<'a>(&self, progress: &'a Progress) -> impl Iterator<Item = &'a Attempt> {
        let Self { hand, grade, number, exam } = self.clone();
        progress.attempts.iter().filter(move |one| {
            (one.series, one.grade, one.number) == (Series::NOW, grade, number)
                && one.exam == exam
                && same_hand(&one.hand, &hand)
        })
    }
}

impl ThresholdWords {
    fn of(one: &Threshold) -> Self {
        Self { hand: one.hand.clone(), grade: one.grade.number(), percent: one.percent }
    }
}

impl AssignedWords {
    fn of(one: &Assigned) -> Self {
        Self {
            hand: one.hand.clone(),
            grade: one.grade.number(),
            unit: one.number,
            exam: one.exam.is_some(),
            minutes: one.exam.and_then(|exam| exam.minutes),
        }
    }
}

fn named(hand: &str) -> Result<(), NotAsked> {
    if is_nobody(hand) { Err(NotAsked::Nobody) } else { Ok(()) }
}
