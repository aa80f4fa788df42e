//! What a window and its rule do to units like those the shop makes: how many pass though they are
//! outside, how many do not pass though they are inside.
//!
//! The units as made are those signed so far, each once, as its last signature left it. Assumptions and
//! source: [`solver::global_risk`].

use std::collections::{BTreeMap, HashMap};

use jiff::civil::Date;
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
        let mut units = Units::default();
        let of_housing = self.counted().filter(|(_, one)| one.signed && one.housing == housing);
        for (_, one) in of_housing {
            if let Some(measured) = one.as_measured {
                units.add(one, measured);
            }
        }
        Some(risk(housing, &window.name, (window.limits, window.rule), &units))
    }
}

/// Units in the order in which they first came. Those that nobody named are each a unit of their own.
#[derive(Default)]
struct Units<'a> {
    by_name: HashMap<&'a str, usize>,
    left: Vec<(Option<Date>, AsMeasured)>,
}

impl<'a> Units<'a> {
    /// A unit that comes again is one unit, as it was left last.
    fn add(&mut self, session: &'a SessionSummary, measured: AsMeasured) {
        let now = (session.day, measured);
        let next = self.left.len();
        let place = match session.unit.as_str() {
            "" => next,
            name => *self.by_name.entry(name).or_insert(next),
        };
        match self.left.get_mut(place) {
            None => self.left.push(now),
            Some(last) if session.day >= last.0 => *last = now,
            Some(_) => {}
        }
    }
}

/// Housing and window by name, the limits bit by bit, the rule.
type RiskKey<'a> = (&'a str, &'a str, [u64; 4], Rule);

/// The risks of every window for every housing judged by it, by name.
pub(super) fn risks(survey: &Survey) -> Vec<WindowRisk> {
    let mut groups: BTreeMap<RiskKey<'_>, Units<'_>> = BTreeMap::new();
    for (_, session) in survey.counted().filter(|(_, session)| session.signed) {
        let Some(measured) = session.as_measured else { continue };
        groups.entry(key(session, &measured)).or_default().add(session, measured);
    }
    let each = groups.into_iter().filter_map(|((housing, window, ..), units)| {
        let (_, first) = units.left.first()?;
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
    let measured: Vec<MeasuredUnit> =
        units.left.iter().map(|(_, measured)| measured.unit).collect();
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
