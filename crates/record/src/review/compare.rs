//! Stored against worked out again.
//!
//! *Does not follow*: the verdict word differs; or the round, rule, window or station named is not the
//! one that was open or in force; or a number that the verdict rests on is missing, stored twice, or
//! differs by more than 1e-6 of its size; or no hand or program is named. Numbers that come out as
//! nothing but rounding (1e-9 and less) are equal whatever their ratio.

use core::fmt;
use std::collections::BTreeMap;

use super::read_again::FrameAgain;
use super::version;
use crate::conclusion::numbers::{decides, number_in_words};
use crate::conclusion::{Conclusion, Method, NoConclusion, conclude_to_sign};
use crate::fact::texts::plain;
use crate::fact::{
    Body, Fact, FileMarkKind, Number, Seq, SettingChosen, Signed, Verdict, is_nobody,
};
use crate::figures;
use crate::figures::numbered;
use crate::fold::{FactState, Folding, Session};
use solver::error::told;

/// The relative difference up to which a stored number follows.
pub const RELATIVE_TOLERANCE: f64 = 1e-6;

/// The absolute difference that is nothing but rounding, arcminutes or shares: sums of a few
/// thousand arcminutes in double precision are good to 1e-12.
const ROUNDING: f64 = 1e-9;

/// Whether what was stored follows from what was read.
#[derive(Clone, Debug, PartialEq)]
pub enum Follows {
    /// All that was stored and could be worked out again follows.
    Yes {
        /// Stored numbers that this program does not know how to work out; a later one stored them.
        unknown: Vec<String>,
        /// Numbers that are not stored, and that the rule does not rest on.
        missing: Vec<String>,
    },
    /// Something does not.
    No(Vec<Difference>),
    /// A verdict was signed that this program cannot work out.
    CannotTell(NoConclusion),
    /// Nothing was stored that could follow or not.
    NothingStored,
}

impl Follows {
    /// It follows, every number of it.
    pub const WHOLLY: Self = Self::Yes { unknown: Vec::new(), missing: Vec::new() };

    /// Whether it follows; `None` where nothing was stored, or it cannot be told.
    #[must_use]
    pub const fn known(&self) -> Option<bool> {
        match self {
            Self::Yes { .. } => Some(true),
            Self::No(_) => Some(false),
            Self::CannotTell(_) | Self::NothingStored => None,
        }
    }

    /// The same, and these differences with it.
    pub(super) fn add(&mut self, more: Vec<Difference>) {
        match self {
            Self::No(differences) => differences.extend(more),
            _ if more.is_empty() => {}
            _ => *self = Self::No(more),
        }
    }
}

/// Something stored that does not follow.
#[derive(Clone, Debug, PartialEq)]
pub enum Difference {
    /// The verdict word.
    Verdict {
        /// The fact that stores it.
        seq: Seq,
        /// As stored.
        stored: Verdict,
        /// As worked out.
        found: Verdict,
    },
    /// A number.
    Number {
        /// The fact that stores it.
        seq: Seq,
        /// Its name.
        name: String,
        /// As stored.
        stored: f64,
        /// As worked out.
        found: f64,
    },
    /// A verdict that nothing can give: there is no round, or no window to judge by.
    NoVerdict {
        /// The fact that stores it.
        seq: Seq,
        /// As stored.
        stored: Verdict,
        /// Why there is none.
        why: NoConclusion,
    },
    /// A signature names another round, window or station than was open or in force, or another rule.
    Basis {
        /// The fact that stores it.
        seq: Seq,
        /// Which part.
        part: SignedPart,
        /// As stored.
        stored: String,
        /// As it was.
        found: String,
    },
    /// A number that the verdict rests on is not stored.
    NotStored {
        /// The signature.
        seq: Seq,
        /// The number's name.
        name: String,
    },
    /// A number is stored more than once.
    StoredTwice {
        /// The signature.
        seq: Seq,
        /// The number's name.
        name: String,
    },
    /// A number is stored that the program named there never gave.
    NeverGiven {
        /// The signature.
        seq: Seq,
        /// The number's name.
        name: String,
        /// The program named.
        program: String,
    },
    /// A signature names no program that worked it out.
    NoProgram {
        /// The signature.
        seq: Seq,
    },
    /// A signature names no hand.
    NoHand {
        /// The signature.
        seq: Seq,
    },
    /// The picture of a reading does not show what the session says.
    Frame(FrameAgain),
    /// The readings that a verdict rests on.
    RestsOn {
        /// The fact that stores them.
        seq: Seq,
        /// As stored.
        stored: Vec<Seq>,
        /// As worked out.
        found: Vec<Seq>,
    },
}

/// A part of what a signature rests on.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum SignedPart {
    /// The round: the one that was open.
    Round,
    /// The rule: the window's.
    Rule,
    /// The window: the one in force.
    Window,
    /// The station: the one in force.
    Station,
}

impl SignedPart {
    const fn word(self) -> &'static str {
        match self {
            Self::Round => "round",
            Self::Rule => "rule",
            Self::Window => "window",
            Self::Station => "station",
        }
    }
}

impl fmt::Display for Difference {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Verdict { seq, stored, found } => write!(
                f,
                "fact {seq} says “{}”, but the readings give “{}”",
                stored.word(),
                found.word()
            ),
            Self::Number { seq, name, stored, found } => {
                let (name, unit) = number_in_words(name);
                let by = told((found - stored).abs());
                let [stored, found] = figures::apart(*stored, *found);
                write!(
                    f,
                    "fact {seq} says that {name} is {stored}{unit}, but the readings give {found}{unit}"
                )?;
                if stored == found { write!(f, " ({by}{unit} apart)") } else { Ok(()) }
            }
            Self::NoVerdict { seq, stored, why } => {
                write!(f, "fact {seq} says “{}”, but {why}", stored.word())
            }
            Self::Basis { seq, part, stored, found } => {
                let part = part.word();
                write!(f, "fact {seq} names as its {part} {stored}, but it was {found}")
            }
            Self::NotStored { seq, name } => {
                let (name, _) = number_in_words(name);
                write!(f, "fact {seq} does not store {name}, which the verdict rests on")
            }
            Self::StoredTwice { seq, name } => {
                let (name, _) = number_in_words(name);
                write!(f, "fact {seq} stores {name} more than once")
            }
            Self::NeverGiven { seq, name, program } => {
                write!(f, "fact {seq} stores “{name}”, a number that {program} never gave")
            }
            Self::NoProgram { seq } => {
                write!(f, "fact {seq} does not name the program that worked it out")
            }
            Self::NoHand { seq } => write!(f, "fact {seq} is signed by nobody: it names no hand"),
            Self::Frame(frame) => frame.fmt(f),
            Self::RestsOn { seq, stored, found } => write!(
                f,
                "fact {seq} says that it rests on {}, but it rests on {}",
                listed(stored),
                listed(found)
            ),
        }
    }
}

/// Readings by the facts that say them.
fn listed(readings: &[Seq]) -> String {
    if readings.is_empty() { "no reading".to_owned() } else { numbered("fact", readings) }
}

/// What the facts before one come to, worked out as they are gone through and no oftener than it can
/// have changed: signatures change nothing that a conclusion rests on, settings no circle.
struct Before<'a> {
    facts: &'a [Fact],
    folding: Folding,
    conclusion: Option<(Method, Result<Conclusion, NoConclusion>)>,
    solved: Option<(Seq, Option<solver::Solution>)>,
}

impl<'a> Before<'a> {
    fn new(facts: &'a [Fact]) -> Self {
        Self { facts, folding: Folding::new(), conclusion: None, solved: None }
    }

    /// Goes on to just before the fact of this index.
    fn advance_to(&mut self, index: usize) {
        let seen = self.folding.session().timeline.len();
        let said = || self.facts.get(seen..index).unwrap_or_default().iter();
        let signing = |body: &Body| {
            matches!(body, Body::Signed(_) | Body::Countersigned(_) | Body::Returned(_))
        };
        if said().any(|fact| !signing(&fact.body)) {
            self.conclusion = None;
        }
        if said().any(|fact| !signing(&fact.body) && !matches!(fact.body, Body::SettingChosen(_))) {
            self.solved = None;
        }
        self.folding.advance_to(self.facts, index);
    }

    /// The facts that say window and station in force.
    fn in_force(&self) -> [Option<Seq>; 2] {
        let session = self.folding.session();
        let window = session.windows.last().map(|said| said.seq);
        [window, session.stations.last().map(|said| said.seq)]
    }

    fn conclusion(&mut self, method: Method) -> Result<&Conclusion, NoConclusion> {
        let session = self.folding.session();
        let kept = self.conclusion.take().filter(|(by, _)| *by == method);
        let (_, concluded) = self
            .conclusion
            .insert(kept.unwrap_or_else(|| (method, conclude_to_sign(session, method))));
        concluded.as_ref().map_err(Clone::clone)
    }

    fn solution(&mut self, round: Seq) -> Option<&solver::Solution> {
        if self.solved.as_ref().is_none_or(|(solved, _)| *solved != round) {
            let problem = self.folding.session().problem_as_read(round);
            let solution = problem.and_then(|problem| solver::solve(&problem).ok());
            self.solved = Some((round, solution));
        }
        self.solved.as_ref().and_then(|(_, solution)| solution.as_ref())
    }
}

/// Compares every live signature and chosen setting with what the facts before it give. `session`: the
/// fold of these facts.
#[must_use]
pub fn follows(facts: &[Fact], session: &Session) -> Follows {
    let mut differences = Vec::new();
    let mut strange = Strange::default();
    let mut cannot_tell = None;
    let mut stored_any = false;
    let mut before = Before::new(facts);
    // Where facts are lost, what was stored over them cannot be worked out again, and nothing of it is
    // in force.
    let salvaged = session.lost_until.and_then(|_| {
        facts.iter().rposition(|fact| fact.body.mark() == Some(FileMarkKind::Salvaged))
    });
    let live = |index: usize| {
        session.timeline.get(index) == Some(&FactState::Live) && Some(index) > salvaged
    };
    for (index, fact) in facts.iter().enumerate().filter(|(index, _)| live(*index)) {
        let fact = &*plain(fact);
        match &fact.body {
            Body::Signed(signed) => {
                stored_any = true;
                before.advance_to(index);
                if is_nobody(&fact.hand) {
                    differences.push(Difference::NoHand { seq: fact.seq });
                }
                if let Err(why) =
                    signature(fact.seq, signed, &mut before, &mut strange, &mut differences)
                {
                    cannot_tell = Some(why);
                }
            }
            Body::SettingChosen(chosen) => {
                stored_any = true;
                before.advance_to(index);
                setting(fact.seq, chosen, &mut before, &mut differences);
            }
            _ => {}
        }
    }
    match cannot_tell {
        _ if !differences.is_empty() => Follows::No(differences),
        Some(why) => Follows::CannotTell(why),
        None if stored_any => Follows::Yes { unknown: strange.unknown, missing: strange.missing },
        None => Follows::NothingStored,
    }
}

/// Names of stored numbers that another version of the program accounts for, and of numbers that
/// decide nothing and are not stored.
#[derive(Default)]
struct Strange {
    unknown: Vec<String>,
    missing: Vec<String>,
}

/// Whether all that a signature stores is what the facts before it give.
fn signature(
    seq: Seq,
    signed: &Signed,
    before: &mut Before<'_>,
    strange: &mut Strange,
    differences: &mut Vec<Difference>,
) -> Result<(), NoConclusion> {
    if signed.program.trim().is_empty() {
        differences.push(Difference::NoProgram { seq });
    }
    let [window, station] = before.in_force();
    let conclusion = match before.conclusion(Method::of(signed)?) {
        Ok(conclusion) => conclusion,
        Err(why @ NoConclusion::CannotJudge(_)) => return Err(why),
        Err(why) => {
            differences.push(Difference::NoVerdict { seq, stored: signed.verdict, why });
            return Ok(());
        }
    };
    if conclusion.verdict != signed.verdict {
        let (stored, found) = (signed.verdict, conclusion.verdict);
        differences.push(Difference::Verdict { seq, stored, found });
    }
    let mut basis = |part, stored: String, found: String| {
        if stored != found {
            differences.push(Difference::Basis { seq, part, stored, found });
        }
    };
    let by_fact = |seq: Option<Seq>| seq.map_or("none".to_owned(), |seq| format!("fact {seq}"));
    basis(SignedPart::Round, by_fact(Some(signed.round)), by_fact(Some(conclusion.round)));
    basis(SignedPart::Rule, signed.rule.word().to_owned(), conclusion.rule.word().to_owned());
    basis(SignedPart::Window, by_fact(signed.window), by_fact(window));
    basis(SignedPart::Station, by_fact(signed.station), by_fact(station));
    let mut stored_readings = signed.rests_on.clone();
    stored_readings.sort_unstable();
    if stored_readings != conclusion.rests_on {
        let (stored, found) = (stored_readings, conclusion.rests_on.clone());
        differences.push(Difference::RestsOn { seq, stored, found });
    }
    numbers(seq, signed, &conclusion.numbers(), strange, differences);
    Ok(())
}

/// Every number that the verdict rests on is stored once and equal, and no other is.
fn numbers(
    seq: Seq,
    signed: &Signed,
    given: &[Number],
    strange: &mut Strange,
    differences: &mut Vec<Difference>,
) {
    let mut stored: BTreeMap<&str, Vec<f64>> = BTreeMap::new();
    for number in &signed.numbers {
        stored.entry(&number.name).or_default().push(number.value);
    }
    for Number { name, value: found } in given {
        match stored.remove(name.as_str()).as_deref() {
            Some([stored]) => number(seq, name, *stored, *found, differences),
            Some(_) => differences.push(Difference::StoredTwice { seq, name: name.clone() }),
            None if decides(signed.rule, name) => {
                differences.push(Difference::NotStored { seq, name: name.clone() });
            }
            None => strange.missing.push(name.clone()),
        }
    }
    for name in stored.into_keys().map(str::to_owned) {
        if version::is_later(&signed.program) {
            strange.unknown.push(name);
        } else {
            let program = signed.program.clone();
            differences.push(Difference::NeverGiven { seq, name, program });
        }
    }
}

/// A setting's points must be where the circles are at its ring angles, and the rest must follow
/// from the points.
fn setting(seq: Seq, chosen: &SettingChosen, before: &mut Before<'_>, found: &mut Vec<Difference>) {
    let points = chosen.points_arcmin.map(|[x, y]| solver::Direction::new(x, y));
    let solution = before.solution(chosen.round);
    for (channel, point) in points.iter() {
        let fit = solution.and_then(|solution| solution.fits[channel].as_ref().ok());
        let at_ring =
            fit.zip(chosen.ring_deg[channel]).and_then(|(fit, ring)| fit.circle.at_ring(ring));
        if let Some(expected) = at_ring {
            let name = |axis: &str| format!("points_arcmin.{channel}.{axis}");
            number(seq, &name("x"), point.x_arcmin, expected.x_arcmin, found);
            number(seq, &name("y"), point.y_arcmin, expected.y_arcmin, found);
        }
    }
    let misalignment = solver::Misalignment::between(points.left, points.right);
    let shared = points.left.midpoint(points.right);
    let [x, y] = chosen.misalignment_arcmin;
    number(seq, "misalignment_arcmin.x", x, misalignment.x_arcmin, found);
    number(seq, "misalignment_arcmin.y", y, misalignment.y_arcmin, found);
    number(seq, "boresight_arcmin", chosen.boresight_arcmin, shared.boresight_arcmin(), found);
    if let (Some(stored), Some(window)) = (chosen.window_use, before.folding.session().window()) {
        let used = window.limits.used_by(points.left, points.right).worst();
        number(seq, "window_use", stored, used, found);
    }
}

fn number(seq: Seq, name: &str, stored: f64, found: f64, differences: &mut Vec<Difference>) {
    let allowed = (RELATIVE_TOLERANCE * stored.abs().max(found.abs())).max(ROUNDING);
    // Written so that NaN differs.
    if (stored - found).abs() <= allowed {
        return;
    }
    differences.push(Difference::Number { seq, name: name.to_owned(), stored, found });
}
