//! Earlier attempts and how they went, in words and dots.

use paper::words::capital;
use std::path::{Path, PathBuf};

use paper::words;
use record::practice::roster::{Assigned, GradeStatus, LAST};
use record::practice::{Attempt, Exam, Grade, Progress, Roster, Unsigned, progress::OVER};
use record::same_hand;

/// What the place shows of earlier attempts.
#[derive(Clone, Debug, PartialEq)]
pub struct CourseView {
    /// Attempts, the newest first; those not signed yet before all.
    pub attempts: Vec<AttemptLine>,
    /// How each grade went on, easiest first.
    pub courses: Vec<Course>,
    /// Everybody who signed.
    pub hands: Vec<String>,
    /// Whose attempts and courses these are; `None`: everybody's.
    pub of_hand: Option<String>,
    /// How each trainee stands, in sentences.
    pub standings: Vec<StandingLine>,
    /// Units that were assigned.
    pub assigned: Vec<AssignedLine>,
    /// Files that could not be read or scored, each with what is wrong.
    pub skipped: Vec<String>,
}

/// How a trainee stands in a grade.
#[derive(Clone, Debug, PartialEq)]
pub struct StandingLine {
    /// In a sentence.
    pub text: String,
    /// Whether the grade is mastered.
    pub mastered: bool,
}

/// A unit that was assigned.
#[derive(Clone, Debug, PartialEq)]
pub struct AssignedLine {
    /// What.
    pub assigned: Assigned,
    /// In a sentence, with whether it is done.
    pub text: String,
    /// Whether it is done.
    pub done: bool,
}

/// An attempt.
#[derive(Clone, Debug, PartialEq)]
pub struct AttemptLine {
    /// Its file.
    pub path: PathBuf,
    /// The day.
    pub day: String,
    /// Grade and number.
    pub unit: String,
    /// Score; where it is not signed yet, that.
    pub score: String,
    /// Verdict and hand.
    pub verdict: String,
    /// Whether it is signed, so that the truth is told.
    pub signed: bool,
    /// All of it, for assistive technology.
    pub telling: String,
}

/// A grade's scores over time.
#[derive(Clone, Debug, PartialEq)]
pub struct Course {
    /// The grade.
    pub grade: Grade,
    /// Totals and running means, per cent, in order.
    pub totals: Vec<(f64, f64)>,
    /// The same in words.
    pub told: String,
}

impl CourseView {
    /// Of what a shop holds, its practice sessions being in a folder.
    #[must_use]
    pub fn of(progress: &Progress, roster: &Roster, folder: &Path, of_hand: Option<&str>) -> Self {
        let unit = |grade: Grade, number: u64| format!("{}, unit {number}", grade.word());
        let mine = |begun: &&Unsigned| of_hand.is_none_or(|hand| same_hand(&begun.hand, hand));
        let unsigned = progress.unsigned.iter().filter(mine).map(|begun| {
            let (day, unit) = (begun.day.to_string(), unit(begun.grade, begun.number));
            AttemptLine {
                path: begun.path.clone(),
                telling: format!("{day}, {unit}, not signed yet, {}", begun.hand),
                day,
                unit,
                score: "–".to_owned(),
                verdict: format!(
                    "not signed yet · {}{}",
                    begun.hand,
                    if begun.exam { " · examination" } else { "" }
                ),
                signed: false,
            }
        });
        let whose = |attempt: &&Attempt| of_hand.is_none_or(|hand| same_hand(&attempt.hand, hand));
        let signed = progress.attempts.iter().rev().filter(whose).map(|attempt| {
            let (day, unit) = (attempt.day.to_string(), unit(attempt.grade, attempt.number));
            let score = percent(attempt.score.total_percent());
            let exam = if attempt.exam.is_some() { " · examination" } else { "" };
            let late = if attempt.is_in_time() { "" } else { ", too late" };
            let seen = if attempt.seen.is_some() { ", seen before" } else { "" };
            let verdict =
                format!("{} · {}{exam}{late}{seen}", attempt.verdict.word(), attempt.hand);
            AttemptLine {
                path: folder.join(&attempt.file),
                telling: format!("{day}, {unit}, score {score}, signed {verdict}"),
                day,
                unit,
                score,
                verdict,
                signed: true,
            }
        });
        Self {
            attempts: unsigned.chain(signed).collect(),
            courses: Grade::ALL.map(|grade| Course::of(progress, grade, of_hand)).to_vec(),
            hands: progress.hands().into_iter().map(str::to_owned).collect(),
            of_hand: of_hand.map(str::to_owned),
            standings: roster.standings(progress).iter().map(StandingLine::of).collect(),
            assigned: roster.assigned.iter().map(|it| AssignedLine::of(it, progress)).collect(),
            skipped: progress.skipped.iter().map(ToString::to_string).collect(),
        }
    }
}

impl Course {
    fn of(progress: &Progress, grade: Grade, hand: Option<&str>) -> Self {
        let course = progress.course(grade, hand);
        let totals: Vec<(f64, f64)> = course
            .iter()
            .map(|one| (one.attempt.score.total_percent(), one.mean_percent))
            .collect();
        let name = capital(grade.word());
        let told = match (totals.len(), totals.last()) {
            (1, Some((total, _))) => format!("{name}: 1 unit signed, {}.", percent(*total)),
            (count, Some((_, mean))) => {
                let best = totals.iter().map(|(total, _)| *total).fold(0.0, f64::max);
                let (mean, best) = (percent(*mean), percent(best));
                let last = if count > OVER { format!("last {OVER}") } else { "units".to_owned() };
                format!("{name}: {count} units signed; mean of the {last} {mean}, best {best}.")
            }
            _ => format!("{name}: none signed yet."),
        };
        Self { grade, totals, told }
    }
}

impl StandingLine {
    fn of(standing: &GradeStatus) -> Self {
        let mean = standing.mean_percent.map_or_else(
            || format!("fewer than {LAST} to judge by"),
            |mean| format!("mean of the last {LAST} {}", percent(mean)),
        );
        let (verdict, mastered) = match (standing.threshold_percent, standing.mastered) {
            (None, _) => ("no threshold is set".to_owned(), false),
            (Some(set), true) => (format!("threshold {}: mastered", percent(set)), true),
            (Some(set), false) => (format!("threshold {}: not mastered yet", percent(set)), false),
        };
        let units = words::counted_s(standing.signed, "unit");
        let (hand, grade) = (&standing.hand, standing.grade.word());
        Self { text: format!("{hand}, {grade}: {units} signed, {mean}; {verdict}."), mastered }
    }
}

impl AssignedLine {
    fn of(assigned: &Assigned, progress: &Progress) -> Self {
        let attempt = assigned.done(progress);
        let exam = match assigned.exam {
            None => String::new(),
            Some(Exam { minutes: None }) => ", as an examination".to_owned(),
            Some(Exam { minutes: Some(minutes) }) => {
                format!(", as an examination of {minutes} min")
            }
        };
        let seen = assigned.sat(progress).find_map(|attempt| attempt.seen.as_ref());
        let done = attempt.map_or_else(
            || {
                seen.map_or_else(
                    || "open".to_owned(),
                    |seen| format!("open: it was sat and does not count, seen before by {seen}"),
                )
            },
            |attempt| {
                let late = if attempt.is_in_time() { "" } else { ", too late" };
                format!(
                    "signed on {}, {}{late}",
                    attempt.day,
                    percent(attempt.score.total_percent())
                )
            },
        );
        let Assigned { hand, grade, number, .. } = assigned;
        let text = format!("{hand}: {}, unit {number}{exam}: {done}.", grade.word());
        Self { assigned: assigned.clone(), text, done: attempt.is_some() }
    }
}

/// Per cent in whole numbers, as the score's own words have them.
#[must_use]
pub(crate) fn percent(value: f64) -> String {
    words::percent(value / 100.0)
}
