//! The first units of a grade: each teaches one thing.

use super::fault::Fault;
use super::grade::Grade;

/// What a unit teaches.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Lesson {
    /// Of two crossings the nearer one is right.
    NearerCrossing,
    /// Rings have play: approach them from one side.
    Approach,
    /// Locks turn rings: aim off.
    Locks,
    /// One shim brings the circles together.
    OneShim,
    /// Some units cannot be helped.
    NothingHelps,
    /// One thing is wrong, and how it shows.
    Planted(Fault),
}

impl Lesson {
    /// The lesson of a grade's unit; `None` behind the lessons.
    #[must_use]
    pub fn of(grade: Grade, number: u64) -> Option<Self> {
        let at = usize::try_from(number.checked_sub(1)?).ok()?;
        let lessons: &[Self] = match grade {
            Grade::First => &[Self::NearerCrossing],
            Grade::Second => &[Self::Approach, Self::Locks],
            Grade::Third => &[Self::OneShim, Self::NothingHelps],
            Grade::Fourth => return Fault::ALL.get(at).copied().map(Self::Planted),
        };
        lessons.get(at).copied()
    }

    /// What it teaches, in a sentence or two.
    #[must_use]
    pub const fn teaches(self) -> &'static str {
        match self {
            Self::NearerCrossing => {
                "The circles cross twice. Only the nearer crossing is inside the window: set that one."
            }
            Self::Approach => {
                "The rings have 6° of play and nothing else is worn: read a ring angle from both sides \
                 and see. Log from one side, and end every turn from that side."
            }
            Self::Locks => {
                "Tightening turns each ring by 1.5° to 3° and nothing else is worn: read before and after \
                 it, and aim off by what it turns."
            }
            Self::OneShim => "Rings alone do not get inside. One shim under one tube does.",
            Self::NothingHelps => {
                "Rings alone do not get inside, and nothing on the shelf does: say so with a fail."
            }
            Self::Planted(fault) => fault.shows(),
        }
    }
}
