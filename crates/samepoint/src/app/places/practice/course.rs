//! Earlier attempts and how they went, in words and dots.

use std::path::{Path, PathBuf};

use paper::words;
use record::practice::{Grade, Progress, progress::OVER};

use crate::app::picture::capital;

/// What the place shows of earlier attempts.
#[derive(Clone, Debug, PartialEq)]
pub struct CoursePicture {
    /// Attempts, the newest first; those not signed yet before all.
    pub attempts: Vec<AttemptLine>,
    /// How each grade went on, easiest first.
    pub courses: Vec<Course>,
    /// Files that could not be read or scored, each with what is wrong.
    pub skipped: Vec<String>,
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

impl CoursePicture {
    /// Of what a shop holds, its practice sessions being in a folder.
    #[must_use]
    pub fn of(progress: &Progress, folder: &Path) -> Self {
        let unit = |grade: Grade, number: u64| format!("{}, unit {number}", grade.word());
        let unsigned = progress.unsigned.iter().map(|begun| {
            let (day, unit) = (begun.day.to_string(), unit(begun.grade, begun.number));
            AttemptLine {
                path: begun.path.clone(),
                telling: format!("{day}, {unit}, not signed yet"),
                day,
                unit,
                score: "–".to_owned(),
                verdict: "not signed yet".to_owned(),
                signed: false,
            }
        });
        let signed = progress.attempts.iter().rev().map(|attempt| {
            let (day, unit) = (attempt.day.to_string(), unit(attempt.grade, attempt.number));
            let score = percent(attempt.score.total_percent());
            let verdict = format!("{} · {}", attempt.verdict.word(), attempt.hand);
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
            courses: Grade::ALL.map(|grade| Course::of(progress, grade)).to_vec(),
            skipped: progress.skipped.iter().map(ToString::to_string).collect(),
        }
    }
}

impl Course {
    fn of(progress: &Progress, grade: Grade) -> Self {
        let course = progress.course(grade);
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

/// Per cent in whole numbers, as the score's own words have them.
#[must_use]
pub fn percent(value: f64) -> String {
    words::percent(value / 100.0)
}
