//! What a window and its rule do to units like those the shop makes: how many pass though they are
//! outside, how many do not pass though they are inside.
//!
//! The units as made are those signed so far, each once, as its last signature left it. Assumptions and
//! source: [`solver::global_risk`].

use std::collections::BTreeMap;

use solver::Window;
use solver::decision::Rule;
use solver::global_risk::{ENOUGH_UNITS, GlobalRisk, MeasuredUnit, Produced};

use super::as_measured::AsMeasured;
use super::{SessionSummary, Survey};
use crate::fact::SessionKind;
use crate::figures::{counted_s, probability};
use crate::fold::Session;

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
        let so_far = counted_s(*units, "signed unit");
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

impl Survey {
    /// What a window and its rule would do to units of a session's housing as this shop makes them: those
    /// signed so far, each once, whatever window they were judged by. `None` for practice, and for a session
    /// without a window.
    #[must_use]
    pub fn risk_for(&self, session: &Session) -> Option<WindowRisk> {
        let practice = session.header.as_ref()?.kind != SessionKind::Real;
        let window = session.window().filter(|_| !practice)?;
        let housing = session.unit().map_or("", |unit| unit.housing.as_str());
        let mut units = BTreeMap::new();
        let of_housing = self.counted().filter(|(_, one)| one.signed && one.housing == housing);
        for (index, one) in of_housing {
            if let Some(measured) = one.as_measured {
                left_last(&mut units, index, one, measured);
            }
        }
        Some(risk(housing, &window.name, (window.limits, window.rule), &units))
    }
}

/// Units by name; those that nobody named are each a unit of their own.
type Units<'a> = BTreeMap<(&'a str, usize), (&'a SessionSummary, AsMeasured)>;

/// A unit that comes again is one unit, as it was left last.
fn left_last<'a>(
    units: &mut Units<'a>,
    index: usize,
    session: &'a SessionSummary,
    measured: AsMeasured,
) {
    let unnamed = if session.unit.is_empty() { index + 1 } else { 0 };
    let last = units.entry((&session.unit, unnamed)).or_insert((session, measured));
    if session.day >= last.0.day {
        *last = (session, measured);
    }
}

/// Housing and window by name, the limits bit by bit, the rule.
type RiskKey<'a> = (&'a str, &'a str, [u64; 4], Rule);

/// The risks of every window for every housing judged by it, by name.
pub(super) fn risks(survey: &Survey) -> Vec<WindowRisk> {
    let mut groups: BTreeMap<RiskKey<'_>, Units<'_>> = BTreeMap::new();
    for (index, session) in survey.counted().filter(|(_, session)| session.signed) {
        let Some(measured) = session.as_measured else { continue };
        let units = groups.entry(key(session, &measured)).or_default();
        left_last(units, index, session, measured);
    }
    let each = groups.into_iter().filter_map(|((housing, window, ..), units)| {
        let (_, first) = units.values().next()?;
        Some(risk(housing, window, (first.limits, first.rule), &units))
    });
    each.collect()
}

fn key<'a>(session: &'a SessionSummary, measured: &AsMeasured) -> RiskKey<'a> {
    let limits = measured.limits;
    let bits = [
        limits.convergence_arcmin(),
        limits.divergence_arcmin(),
        limits.dipvergence_arcmin(),
        limits.boresight_arcmin().unwrap_or(f64::INFINITY),
    ]
    .map(f64::to_bits);
    (&session.housing, &session.window, bits, measured.rule)
}

fn risk(
    housing: &str,
    window: &str,
    (limits, rule): (Window, Rule),
    units: &Units<'_>,
) -> WindowRisk {
    let measured: Vec<MeasuredUnit> = units.values().map(|(_, measured)| measured.unit).collect();
    let risks = Produced::seen(&measured).ok().and_then(|produced| {
        let own = produced.risk(&limits, rule).ok()?;
        Some([own, produced.risk(&limits, other_rule(rule)).ok()?])
    });
    WindowRisk {
        housing: housing.to_owned(),
        window: window.to_owned(),
        rule,
        units: measured.len(),
        risks,
    }
}
