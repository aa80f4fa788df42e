//! Sessions side by side: what each housing, station, hand and window comes to.

use std::collections::BTreeMap;

use solver::stats::proportion::{Proportion, wilson};
use solver::stats::robust::{Middle, middle};

use super::{SessionSummary, Survey};
use crate::fact::is_nobody;

/// The confidence of the intervals.
const CONFIDENCE: f64 = 0.95;

/// What sessions are told apart by.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum By {
    /// All of them together.
    All,
    /// Housing type.
    Housing,
    /// Station.
    Station,
    /// The hand that took most readings.
    Hand,
    /// Tolerance window.
    Window,
}

impl By {
    /// All of them, in the order shown.
    pub const EVERY: [Self; 5] =
        [Self::All, Self::Housing, Self::Station, Self::Hand, Self::Window];

    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::All => "all",
            Self::Housing => "housing",
            Self::Station => "station",
            Self::Hand => "hand",
            Self::Window => "window",
        }
    }

    /// What a session is called by it; empty where nobody gave a name.
    #[must_use]
    pub fn name(self, session: &SessionSummary) -> &str {
        match self {
            Self::All => "",
            Self::Housing => &session.housing,
            Self::Station => &session.station,
            Self::Hand if is_nobody(&session.hand) => "",
            Self::Hand => &session.hand,
            Self::Window => &session.window,
        }
    }
}

/// What some sessions come to.
#[derive(Clone, Debug, PartialEq)]
pub struct SurveyGroup {
    /// What they have in common.
    pub by: By,
    /// Its name; empty where nobody gave one.
    pub name: String,
    /// How many.
    pub sessions: usize,
    /// Of the units that came to a verdict, each with its first such session, the share that passed in
    /// their first round, with its 95 % interval; `None` when none did.
    pub passed_first: Option<Proportion>,
    /// Distance from boresight as left, arcminutes.
    pub boresight_arcmin: Option<Middle>,
    /// Distance between the circles' centres in the first round, arcminutes.
    pub centres_apart_arcmin: Option<Middle>,
    /// How far shims missed, arcminutes.
    pub shim_miss_arcmin: Option<Middle>,
}

impl Survey {
    /// Sessions that count by one thing they have in common, by name.
    #[must_use]
    pub fn by(&self, by: By) -> Vec<SurveyGroup> {
        let mut named: BTreeMap<&str, Vec<(usize, &SessionSummary)>> = BTreeMap::new();
        for (index, session) in self.counted() {
            named.entry(by.name(session)).or_default().push((index, session));
        }
        let of = |(name, sessions): (&str, Vec<(usize, &SessionSummary)>)| {
            let decided = sessions.iter().copied().filter(|(_, session)| session.is_decided());
            let (units, _) = self.first_visits(decided.collect());
            let passed = units.iter().filter(|(_, session)| session.passed_first()).count();
            let sessions: Vec<&SessionSummary> =
                sessions.into_iter().map(|(_, session)| session).collect();
            group(by, name, &sessions, [passed, units.len()])
        };
        named.into_iter().map(of).collect()
    }
}

fn group(
    by: By,
    name: &str,
    sessions: &[&SessionSummary],
    [passed, decided]: [usize; 2],
) -> SurveyGroup {
    let of = |value: fn(&SessionSummary) -> Option<f64>| {
        let values: Vec<f64> = sessions.iter().filter_map(|session| value(session)).collect();
        middle(&values).ok()
    };
    let misses: Vec<f64> = sessions
        .iter()
        .flat_map(|session| session.shim_misses.iter().map(|miss| miss.miss_arcmin))
        .collect();
    SurveyGroup {
        by,
        name: name.to_owned(),
        sessions: sessions.len(),
        passed_first: wilson(passed, decided, CONFIDENCE).ok(),
        boresight_arcmin: of(|session| session.boresight_arcmin),
        centres_apart_arcmin: of(|session| session.centres_apart_arcmin),
        shim_miss_arcmin: middle(&misses).ok(),
    }
}
