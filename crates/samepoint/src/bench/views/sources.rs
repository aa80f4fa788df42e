//! Where errors come from: pods apart from tubes, what the rounds can tell and what they cannot.

use paper::words;
use paper::words::capital;
use record::remedies::{TubeSplit, tube_split};
use solver::source_split::{CentrePart, Determined, Split};
use solver::{Channel, Direction};

use super::missing::NothingToShow;
use crate::bench::session::OpenSession;

/// A part's error.
#[derive(Clone, Debug, PartialEq)]
pub struct Arrow {
    /// Whose.
    pub of: CentreSource,
    /// Its name.
    pub name: String,
    /// What it adds to a circle's centre.
    pub value: Direction,
}

/// What kind of part.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CentreSource {
    /// A pod of the housing.
    Pod(Channel),
    /// A tube, upright.
    Tube,
    /// A difference: what is known where neither part is.
    Difference,
}

/// The split.
#[derive(Clone, Debug, PartialEq)]
pub struct SourcesView {
    /// What is determined.
    pub arrows: Vec<Arrow>,
    /// In words.
    pub told: Vec<String>,
    /// What would settle more.
    pub next: String,
}

/// Chance of so large a disagreement below which the rounds are said to disagree.
const UNLIKELY: f64 = 0.01;

impl SourcesView {
    /// For the open session.
    ///
    /// # Errors
    /// [`NothingToShow`].
    pub fn of(session: &OpenSession) -> Result<Self, NothingToShow> {
        let state = session.state();
        let found = tube_split(state).ok_or(NothingToShow::Sources)?;
        let optics = state.housing().and_then(|housing| housing.optics().ok());
        let TubeSplit { split, serials, rounds, .. } = &found;
        let mut told = vec![rests_on(rounds, serials)];
        let mut arrows = Vec::new();
        let parts = Channel::BOTH
            .map(|pod| (CentrePart::Pod(pod), CentreSource::Pod(pod), format!("{pod} pod")))
            .into_iter()
            .chain(serials.iter().enumerate().map(|(number, serial)| {
                (CentrePart::Tube(number), CentreSource::Tube, format!("tube {serial}"))
            }));
        let mut unknown = Vec::new();
        for (part, of, name) in parts {
            let Some(found) = split.determined(&[(part, 1.0)]) else {
                unknown.push(name);
                continue;
            };
            let at_output =
                optics.filter(|_| of == CentreSource::Tube).map_or_else(String::new, |optics| {
                    let mm = optics.mm_from_shift(found.value).length_mm();
                    format!(", an image offset of {} mm", words::number(mm, 3))
                });
            told.push(format!("{}: {}{at_output}.", capital(&name), value_words(&found)));
            arrows.push(Arrow { of, name, value: found.value });
        }
        if !unknown.is_empty() {
            told.push(format!("Not told apart: {}.", unknown.join(", ")));
            for (name, combination) in differences(serials) {
                if let Some(found) = split.determined(&combination) {
                    told.push(format!("Known all the same: {name}, {}.", value_words(&found)));
                    arrows.push(Arrow { of: CentreSource::Difference, name, value: found.value });
                }
            }
        }
        told.push(check_words(split));
        let next = next_words(&arrows, &unknown, serials.len());
        Ok(Self { arrows, told, next: next.to_owned() })
    }
}

fn rests_on(rounds: &[usize], serials: &[String]) -> String {
    format!(
        "It rests on {} with tubes {}, eyepieces and shims as they are now.",
        words::numbered("round", rounds),
        serials.join(", ")
    )
}

/// Differences worth knowing where the parts are not.
fn differences(serials: &[String]) -> Vec<(String, Vec<(CentrePart, f64)>)> {
    let pods = [(CentrePart::Pod(Channel::Left), 1.0), (CentrePart::Pod(Channel::Right), -1.0)];
    let mut found = vec![("left pod less right pod".to_owned(), pods.to_vec())];
    if let [first, second, ..] = serials {
        let tubes = vec![(CentrePart::Tube(0), 1.0), (CentrePart::Tube(1), -1.0)];
        found.push((format!("tube {first} less tube {second}"), tubes));
    }
    found
}

/// A value with the half width of its 95 % interval.
fn value_words(found: &Determined) -> String {
    let half = found.half_width_95().map(|half| {
        half.map_or_else(|| "unknown".to_owned(), |half| format!("±{}′", words::number(half, 1)))
    });
    format!("{} ({}, {})", words::direction(found.value), half[0], half[1])
}

fn check_words(split: &Split) -> String {
    match split.chance() {
        None => "Nothing is left over, so the rounds do not check each other.".to_owned(),
        Some(p) if p < UNLIKELY => format!(
            "The rounds disagree (p {}): something else than the tubes moved.",
            words::number(p, 4)
        ),
        Some(_) => "The rounds agree with each other.".to_owned(),
    }
}

fn next_words(arrows: &[Arrow], unknown: &[String], tubes: usize) -> &'static str {
    if unknown.is_empty() {
        "Nothing is left to settle."
    } else if arrows.is_empty() && tubes < 3 {
        "Next: swap the tubes between the pods, take that as the remedy, and read a round."
    } else {
        "Next: turn one tube half way round in its seat, take that as the remedy, and read a round: \
         that tells a tube from its pod."
    }
}
