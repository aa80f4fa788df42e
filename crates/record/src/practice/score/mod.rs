//! The score of a practice session: one formula, from the facts and the truth.
//!
//! Each part earns 0 to 1; the total is their sum by weight, in per cent. A formula never changes once
//! units were scored by it: a better one gets a number, and the exercises of a new series. Which formula a
//! session is scored by, its exercise says.
//!
//! - [`first`]: where the unit was left, and at what cost; [`second`]: what makes a technician;
//! - [`readings`]: how well each reading was read; [`procedure`]: what was skipped.

pub mod first;
pub mod procedure;
pub mod readings;
pub mod second;

use core::fmt;

pub use procedure::ProcedureStep;

use super::series::Series;
use super::truth::{Hidden, Truth, as_signed};
use crate::conclusion::{Method, conclude_by};
use crate::fact::Verdict;
use crate::figures::counted_s;

/// Which formula.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Formula {
    /// [`first`].
    First,
    /// [`second`].
    Second,
}

/// One of the parts of a score.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum ScorePart {
    /// The window use that was truly reached.
    WindowUse,
    /// How far from boresight it was left.
    Boresight,
    /// Whether the remedy was right.
    Remedy,
    /// Readings and rounds spent.
    Thrift,
    /// Whether the verdict is honest.
    Verdict,
    /// How well the graticule was read.
    Reading,
    /// Whether every step was gone through.
    Procedure,
    /// Where the rings were left.
    Setting,
    /// Whether what was wrong was found and said.
    Finding,
}

impl Formula {
    /// The one of a series.
    #[must_use]
    pub const fn of(series: Series) -> Self {
        match series {
            Series::First => Self::First,
            Series::Second => Self::Second,
        }
    }

    /// 1 or 2.
    #[must_use]
    pub const fn number(self) -> u32 {
        match self {
            Self::First => 1,
            Self::Second => 2,
        }
    }

    /// Its parts, as they are listed, and each one's share of the total, per cent.
    #[must_use]
    pub const fn parts(self) -> &'static [(ScorePart, f64)] {
        match self {
            Self::First => &first::PARTS,
            Self::Second => &second::PARTS,
        }
    }

    /// How a part is worked out, in a sentence or two.
    #[must_use]
    pub const fn rule(self, part: ScorePart) -> &'static str {
        match self {
            Self::First => first::rule(part),
            Self::Second => second::rule(part),
        }
    }
}

impl ScorePart {
    /// All of them: those of the first formula, then those that came with the second.
    pub const ALL: [Self; 9] = [
        Self::WindowUse,
        Self::Boresight,
        Self::Remedy,
        Self::Thrift,
        Self::Verdict,
        Self::Reading,
        Self::Procedure,
        Self::Setting,
        Self::Finding,
    ];

    /// What it is called.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::WindowUse => "window use",
            Self::Boresight => "boresight",
            Self::Remedy => "remedy",
            Self::Thrift => "thrift",
            Self::Verdict => "verdict",
            Self::Reading => "reading",
            Self::Procedure => "procedure",
            Self::Setting => "setting",
            Self::Finding => "finding",
        }
    }
}

/// A part as scored.
#[derive(Clone, Debug, PartialEq)]
pub struct ScoredPart {
    /// Which.
    pub part: ScorePart,
    /// Its share of the total, per cent.
    pub weight: f64,
    /// What it earned, 0 to 1.
    pub earned: f64,
    /// Why, with the numbers.
    pub words: String,
}

/// A score.
#[derive(Clone, Debug, PartialEq)]
pub struct Score {
    /// By which formula.
    pub formula: Formula,
    /// The parts, in the formula's order.
    pub parts: Vec<ScoredPart>,
    /// Whether a failing unit was passed, which halves the total.
    pub passed_failing: bool,
}

impl Score {
    fn new(formula: Formula, earned: Vec<(ScorePart, f64, String)>, passed_failing: bool) -> Self {
        let weight = |part: ScorePart| {
            let listed = formula.parts().iter().find(|(of, _)| *of == part);
            listed.map_or(0.0, |(_, weight)| *weight)
        };
        let parts = earned.into_iter().map(|(part, earned, words)| ScoredPart {
            part,
            weight: weight(part),
            earned,
            words,
        });
        Self { formula, parts: parts.collect(), passed_failing }
    }

    /// The total, per cent.
    #[must_use]
    pub fn total_percent(&self) -> f64 {
        let sum: f64 = self.parts.iter().map(|one| one.weight * one.earned).sum();
        if self.passed_failing { sum / 2.0 } else { sum }
    }

    /// What a part earned, 0 to 1; `None` where the formula has no such part.
    #[must_use]
    pub fn earned_of(&self, part: ScorePart) -> Option<f64> {
        self.parts.iter().find(|one| one.part == part).map(|one| one.earned)
    }

    /// What a part earned, 0 to 1; 0 where the formula has no such part.
    #[must_use]
    pub fn earned(&self, part: ScorePart) -> f64 {
        self.earned_of(part).unwrap_or(0.0)
    }
}

/// Said of a score where a failing unit was passed.
pub const HALVED: &str = "A failing unit was passed: the total is halved.";

/// Said where work that is worth nothing was done with little.
const NOT_COUNTED: &str = " It does not count: what was left is not worth what was spared.";

/// Said where no ring angle tells what was left.
const RINGS_UNKNOWN: &str = "Where the rings were left cannot be told: no ring angle was noted.";

/// A verdict that the readings do not give.
fn not_by_readings(signed: Verdict, given: Option<Verdict>) -> String {
    let given = given.map_or("none", Verdict::word);
    format!("Signed “{}”, but the readings give “{given}”.", signed.word())
}

/// A verdict beside the truth.
fn beside_truth(signed: Verdict, is: &str) -> String {
    format!("Signed “{}”, and the unit is {is}.", signed.word())
}

impl fmt::Display for Score {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        for one in &self.parts {
            let points = one.weight * one.earned;
            writeln!(f, "{}: {points:.0} of {:.0}. {}", one.part.word(), one.weight, one.words)?;
        }
        if self.passed_failing {
            writeln!(f, "{HALVED}")?;
        }
        write!(f, "Total: {:.0} %", self.total_percent())
    }
}

/// Scores a signed practice session as it was first signed: what follows is done knowing the truth.
///
/// # Errors
/// [`Hidden`]: there is no truth to hold it against, or not yet.
pub fn score(session: &crate::fold::Session) -> Result<Score, Hidden> {
    let truth = Truth::of(session)?;
    let signature = session.signatures.first().ok_or(Hidden::NotSigned)?;
    let then = as_signed(session, signature.seq);
    let method = Method::of(&signature.signed).unwrap_or_default();
    let concluded = conclude_by(&then, method).ok().map(|held| held.verdict);
    let signed = &signature.signed;
    Ok(match Formula::of(truth.unit.series) {
        Formula::First => first::scored(&truth, signed.verdict, concluded),
        Formula::Second => second::scored(&truth, &then, signed, concluded),
    })
}

/// 1 up to `free` over, falling to 0 at `free + length`.
fn falling(over: f64, free: f64, length: f64) -> f64 {
    let left = 1.0 - (over - free).max(0.0) / length;
    if left.is_finite() { left.clamp(0.0, 1.0) } else { 0.0 }
}

/// `1 reading in 1 round`.
fn spent_words(readings: usize, rounds: usize) -> String {
    format!("{} in {}", counted_s(readings, "reading"), counted_s(rounds, "round"))
}
