//! Which series of exercises a unit is of, and what an exercise's name says.
//!
//! The name is the key to the truth: how the units of a series are drawn never changes, so that its
//! files reopen for ever. A change to how units are drawn is a new series, with names of another form.
//!
//! | series | names | what it has | scored by formula |
//! |---|---|---|---|
//! | first | `practice unit 17, first grade` | three grades, seating and dioptres exact | 1 |
//! | second | `invented unit 17, grade 2` | lessons, seating, planted faults, a fourth grade, examinations | 2 |
//!
//! An examination's unit is the same unit, named `exam unit 17, grade 2`, with its time limit behind where
//! it has one: `…, 40 min`. Names are short, since they stand in a bar.

use super::grade::Grade;
use crate::fact::{Exercise, SessionKind};
use crate::fold::Session;

/// A series of exercises.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Series {
    /// Those of the first files.
    First,
    /// Lessons, seating, planted faults.
    Second,
}

impl Series {
    /// The one that is begun now.
    pub const NOW: Self = Self::Second;

    /// Its grades, easiest first.
    #[must_use]
    pub const fn grades(self) -> &'static [Grade] {
        match self {
            Self::First => &[Grade::First, Grade::Second, Grade::Third],
            Self::Second => &Grade::ALL,
        }
    }
}

/// An examination: answers and guidance stay hidden until the signature.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub struct Exam {
    /// How long it may take from its first fact to the signature, minutes; `None`: as long as it takes.
    pub minutes: Option<u32>,
}

impl Exam {
    /// The longest time limit, minutes.
    pub const MOST_MINUTES: u32 = 600;
}

/// The examination that is sat in a session, for its time limit; whether anything is withheld is
/// [`Session::withholds`]'s to say.
#[must_use]
pub fn sitting(session: &Session) -> Option<Exam> {
    let SessionKind::Practice(exercise) = &session.header.as_ref()?.kind else { return None };
    ExerciseName::of(exercise)?.exam.filter(|_| session.withholds())
}

/// What an exercise's name says.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) struct ExerciseName {
    pub(super) series: Series,
    pub(super) grade: Grade,
    pub(super) number: u64,
    pub(super) exam: Option<Exam>,
}

impl ExerciseName {
    /// The exercise that says it.
    pub(super) fn exercise(self) -> Exercise {
        let (number, grade) = (self.number, self.grade);
        let limit = match self.exam.and_then(|exam| exam.minutes) {
            Some(minutes) => format!(", {minutes} min"),
            None => String::new(),
        };
        let name = match (self.series, self.exam) {
            (Series::First, _) => format!("practice unit {number}, {}", grade.word()),
            (Series::Second, None) => format!("invented unit {number}, grade {}", grade.number()),
            (Series::Second, Some(_)) => {
                format!("{}unit {number}, grade {}{limit}", Exercise::EXAM, grade.number())
            }
        };
        Exercise { name, seed: number }
    }

    /// What an exercise says; `None` for a name this program does not give.
    pub(super) fn of(exercise: &Exercise) -> Option<Self> {
        let number = exercise.seed;
        let minutes = exercise.name.rsplit_once(", ").and_then(|(_, last)| {
            last.strip_suffix(" min")?.parse().ok().filter(|m| *m <= Exam::MOST_MINUTES)
        });
        let said = [(Series::First, None), (Series::Second, None)]
            .into_iter()
            .chain([(Series::Second, Some(Exam { minutes }))]);
        said.flat_map(|(series, exam)| {
            series.grades().iter().map(move |&grade| Self { series, grade, number, exam })
        })
        .find(|named| named.exercise() == *exercise)
    }
}
