//! Stored against worked out again.
//!
//! *Does not follow*: the verdict word differs, or a stored number differs by more than 1e-6 of
//! its size. Numbers that come out as nothing but rounding (1e-9 and less) are equal whatever their
//! ratio.

use core::fmt;

use crate::conclusion::{Method, NoConclusion, conclude_by};
use crate::fact::texts::plain;
use crate::fact::{Body, Fact, Seq, SettingChosen, Signed, Verdict};
use crate::figures;
use crate::fold::{FactState, Session, fold_to};
use solver::error::told;

/// The relative difference up to which a stored number follows.
pub const RELATIVE_TOLERANCE: f64 = 1e-6;

/// The absolute difference that is nothing but rounding, arcminutes or shares: sums of a few
/// thousand arcminutes in double precision are good to 1e-12.
const ROUNDING: f64 = 1e-9;

/// Whether what was stored follows from what was read.
#[derive(Clone, Debug, PartialEq)]
pub enum Follows {
    /// All that was stored and could be worked out again follows. `unknown` names stored numbers
    /// that this program does not know how to work out.
    Yes {
        /// Their names.
        unknown: Vec<String>,
    },
    /// Something does not.
    No(Vec<Difference>),
    /// A verdict was signed that this program cannot work out.
    CannotTell(NoConclusion),
    /// Nothing was stored that could follow or not.
    NothingStored,
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
                let (name, unit) = in_words(name);
                let by = told((found - stored).abs());
                let [stored, found] = figures::apart(*stored, *found);
                write!(
                    f,
                    "fact {seq} says that {name} is {stored}{unit}, but the readings give {found}{unit}"
                )?;
                if stored == found { write!(f, " ({by}{unit} apart)") } else { Ok(()) }
            }
            Self::RestsOn { seq, stored, found } => write!(
                f,
                "fact {seq} says that it rests on {}, but it rests on {}",
                listed(stored),
                listed(found)
            ),
        }
    }
}

/// A stored number's name in words, and its unit: `left_x_arcmin` is “left x”, in arcminutes.
fn in_words(name: &str) -> (String, &'static str) {
    let (bare, unit) = if let Some(bare) = name.strip_suffix("_arcmin2") {
        (bare.to_owned(), "′²")
    } else if name.contains("_arcmin") {
        (name.replacen("_arcmin", "", 1), "′")
    } else {
        (name.to_owned(), "")
    };
    let words = bare.replacen("points.", "crosshair ", 1).replace(['_', '.'], " ");
    (words, unit)
}

/// Readings by the facts that say them.
fn listed(readings: &[Seq]) -> String {
    let all: Vec<String> = readings.iter().map(ToString::to_string).collect();
    match all.as_slice() {
        [] => "no reading".to_owned(),
        [one] => format!("fact {one}"),
        _ => format!("facts {}", all.join(", ")),
    }
}

/// Compares every live signature and chosen setting with what the facts before it give. `session`: the
/// fold of these facts.
#[must_use]
pub fn follows(facts: &[Fact], session: &Session) -> Follows {
    let mut differences = Vec::new();
    let mut unknown = Vec::new();
    let mut cannot_tell = None;
    let mut stored_any = false;
    let live = |index: usize| session.timeline.get(index) == Some(&FactState::Live);
    for (_, fact) in facts.iter().enumerate().filter(|(index, _)| live(*index)) {
        let fact = &*plain(fact);
        match &fact.body {
            Body::Signed(signed) => {
                stored_any = true;
                let before = fold_to(facts, fact.seq - 1);
                match signature(fact.seq, signed, &before, &mut unknown) {
                    Ok(mut found) => differences.append(&mut found),
                    Err(why) => cannot_tell = Some(why),
                }
            }
            Body::SettingChosen(chosen) => {
                stored_any = true;
                let before = fold_to(facts, fact.seq - 1);
                setting(fact.seq, chosen, &before, &mut differences);
            }
            _ => {}
        }
    }
    match cannot_tell {
        _ if !differences.is_empty() => Follows::No(differences),
        Some(why) => Follows::CannotTell(why),
        None if stored_any => Follows::Yes { unknown },
        None => Follows::NothingStored,
    }
}

fn signature(
    seq: Seq,
    signed: &Signed,
    before: &Session,
    unknown: &mut Vec<String>,
) -> Result<Vec<Difference>, NoConclusion> {
    let conclusion = conclude_by(before, Method::of(signed)?)?;
    let mut differences = Vec::new();
    if conclusion.verdict != signed.verdict {
        let (stored, found) = (signed.verdict, conclusion.verdict);
        differences.push(Difference::Verdict { seq, stored, found });
    }
    let mut stored_readings = signed.rests_on.clone();
    stored_readings.sort_unstable();
    if stored_readings != conclusion.rests_on {
        let (stored, found) = (stored_readings, conclusion.rests_on.clone());
        differences.push(Difference::RestsOn { seq, stored, found });
    }
    let numbers = conclusion.numbers();
    for stored in &signed.numbers {
        match numbers.iter().find(|found| found.name == stored.name) {
            Some(found) => number(seq, &stored.name, stored.value, found.value, &mut differences),
            None => unknown.push(stored.name.clone()),
        }
    }
    Ok(differences)
}

/// A setting's points must be where the circles are at its ring angles, and the rest must follow
/// from the points.
fn setting(seq: Seq, chosen: &SettingChosen, before: &Session, found: &mut Vec<Difference>) {
    let points = chosen.points_arcmin.map(|[x, y]| solver::Direction::new(x, y));
    let solution = before.problem(chosen.round).and_then(|problem| solver::solve(&problem).ok());
    for (channel, point) in points.iter() {
        let fit = solution.as_ref().and_then(|solution| solution.fits[channel].as_ref().ok());
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
    if let (Some(stored), Some(window)) = (chosen.window_use, before.window()) {
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
