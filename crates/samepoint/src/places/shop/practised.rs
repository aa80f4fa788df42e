//! What lies in a shop's `practice/`, for an instructor: how much, by whom, and each file to be looked over. It
//! counts among no sessions.

use std::path::Path;

use record::practice::{Progress, Roster};
use record::{figures, same_hand};

use crate::views::course::{AttemptLine, CourseView, percent};

/// A shop's practice.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Practised {
    /// How many files, signed and not, and how many were passed over.
    pub told: String,
    /// Each trainee in a sentence.
    pub trainees: Vec<String>,
    /// The files, the newest first; those not signed yet before all.
    pub attempts: Vec<AttemptLine>,
    /// Files that could not be read or scored, each with what is wrong.
    pub skipped: Vec<String>,
}

impl Practised {
    /// Of what was read of it.
    #[must_use]
    pub fn of(progress: &Progress, folder: &Path) -> Self {
        let course = CourseView::of(progress, &Roster::default(), folder, None);
        let (signed, unsigned) = (progress.attempts.len(), progress.unsigned.len());
        let skipped = progress.skipped.len();
        let all = figures::counted(signed + unsigned + skipped, "file", "files");
        Self {
            told: format!(
                "{all} of practice: {signed} signed, {unsigned} not signed, {skipped} passed over. None counts \
                 among the sessions."
            ),
            trainees: progress.everybody().iter().map(|hand| trainee(progress, hand)).collect(),
            attempts: course.attempts,
            skipped: course.skipped,
        }
    }

    /// How many files it is of, those passed over too.
    #[must_use]
    pub fn files(&self) -> usize {
        self.attempts.len() + self.skipped.len()
    }
}

fn trainee(progress: &Progress, hand: &str) -> String {
    let signed: Vec<_> =
        progress.attempts.iter().filter(|one| same_hand(&one.hand, hand)).collect();
    let exams = signed.iter().filter(|one| one.exam.is_some()).count();
    let begun = progress.unsigned.iter().filter(|one| same_hand(&one.hand, hand)).count();
    let mean =
        signed.iter().map(|one| one.score.total_percent()).sum::<f64>() / signed.len() as f64;
    let mean =
        if signed.is_empty() { String::new() } else { format!(", mean score {}", percent(mean)) };
    format!(
        "{hand}: {} signed, {} of them sat as examinations, {begun} not signed{mean}.",
        figures::counted(signed.len(), "unit", "units"),
        exams
    )
}
