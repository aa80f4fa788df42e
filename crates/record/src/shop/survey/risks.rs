//! What a window and its rule do to units like those the shop makes: how many pass though they are
//! outside, how many do not pass though they are inside.
//!
//! The units as made are those signed so far, each once, as its last signature left it. Assumptions and
//! source: [`solver::global_risk`].

use std::collections::BTreeMap;

use solver::decision::Rule;
use solver::global_risk::{ENOUGH_UNITS, GlobalRisk, MeasuredUnit, Produced};

use super::as_measured::AsMeasured;
use super::{SessionSummary, Survey};
use crate::figures::{counted, probability};

/// A window's risks for the units of a housing.
#[derive(Clone, Debug, PartialEq)]
pub struct WindowRisk {
    /// The housing; empty where nobody named it.
    pub housing: String,
    /// The window.
    pub window: String,
    /// Its rule.
    pub rule: Rule,
    /// Signed units that it rests on.
    pub units: usize,
    /// The risks under the rule in force, and under the other one; `None` with too few units, or where their
    /// numbers cannot be worked with.
    pub risks: Option<[GlobalRisk; 2]>,
}

impl WindowRisk {
    /// It in a sentence or two.
    #[must_use]
    pub fn words(&self) -> String {
        let Self { housing, window, rule, units, risks } = self;
        let named =
            |name: &str| if name.is_empty() { "not named".to_owned() } else { name.to_owned() };
        let head = format!("{}, {} ({} rule)", named(housing), named(window), rule.word());
        let so_far = counted(*units, "signed unit", "signed units");
        match risks {
            Some([own, other]) => format!(
                "{head}: of units like its {so_far}, {} would pass though outside, {} would not pass though \
                 inside. Under the {} rule: {} and {}.",
                probability(own.consumers),
                probability(own.producers),
                other_rule(*rule).word(),
                probability(other.consumers),
                probability(other.producers)
            ),
            None if *units < ENOUGH_UNITS => format!(
                "{head}: {so_far}; {ENOUGH_UNITS} are needed to tell what share would be passed or \
                 refused wrongly."
            ),
            None => format!("{head}: the {so_far} do not tell what share would be passed wrongly."),
        }
    }
}

const fn other_rule(rule: Rule) -> Rule {
    match rule {
        Rule::Simple => Rule::Guarded,
        Rule::Guarded => Rule::Simple,
    }
}

/// Housing and window by name, the limits bit by bit, the rule.
type Key<'a> = (&'a str, &'a str, [u64; 4], bool);

/// The risks of every window for every housing judged by it, by name.
pub(super) fn risks(survey: &Survey) -> Vec<WindowRisk> {
    let mut groups: BTreeMap<Key<'_>, BTreeMap<&str, (&SessionSummary, AsMeasured)>> =
        BTreeMap::new();
    for (_, session) in survey.counted().filter(|(_, session)| session.signed) {
        let Some(measured) = session.as_measured else { continue };
        let units = groups.entry(key(session, &measured)).or_default();
        // A unit that comes again is one unit, as it was left last.
        let last = units.entry(&session.unit).or_insert((session, measured));
        if session.day >= last.0.day {
            *last = (session, measured);
        }
    }
    groups.into_iter().map(|((housing, window, ..), units)| risk(housing, window, &units)).collect()
}

fn key<'a>(session: &'a SessionSummary, measured: &AsMeasured) -> Key<'a> {
    let limits = measured.limits;
    let bits = [
        limits.convergence_arcmin(),
        limits.divergence_arcmin(),
        limits.dipvergence_arcmin(),
        limits.boresight_arcmin().unwrap_or(f64::INFINITY),
    ]
    .map(f64::to_bits);
    (&session.housing, &session.window, bits, measured.rule == Rule::Guarded)
}

fn risk(
    housing: &str,
    window: &str,
    units: &BTreeMap<&str, (&SessionSummary, AsMeasured)>,
) -> WindowRisk {
    let measured: Vec<MeasuredUnit> = units.values().map(|(_, measured)| measured.unit).collect();
    let first = units.values().next().map(|(_, measured)| *measured);
    let rule = first.map_or(Rule::default(), |first| first.rule);
    let risks = first.and_then(|first| {
        let produced = Produced::seen(&measured).ok()?;
        let own = produced.risk(&first.limits, rule).ok()?;
        Some([own, produced.risk(&first.limits, other_rule(rule)).ok()?])
    });
    WindowRisk {
        housing: housing.to_owned(),
        window: window.to_owned(),
        rule,
        units: measured.len(),
        risks,
    }
}
