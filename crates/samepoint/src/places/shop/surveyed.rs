//! A survey, and what the page asks of all its sessions at once.

use std::collections::BTreeSet;

use record::Survey;
use record::shop::survey::round_robin::RoundRobin;

/// The names that sessions have, each once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SessionNames {
    /// Housings.
    pub housings: Vec<String>,
    /// Stations.
    pub stations: Vec<String>,
    /// Hands.
    pub hands: Vec<String>,
}

impl SessionNames {
    /// Those of a survey, all in one walk: a hundred thousand sessions are many to go to.
    fn of(survey: &Survey) -> Self {
        let [mut housings, mut stations, mut hands] = [const { BTreeSet::new() }; 3];
        for session in &survey.sessions {
            housings.insert(session.housing.as_str());
            stations.insert(session.station.as_str());
            hands.insert(session.hand.as_str());
        }
        let names = |of: BTreeSet<&str>| -> Vec<String> {
            of.into_iter().filter(|name| !name.is_empty()).map(str::to_owned).collect()
        };
        Self { housings: names(housings), stations: names(stations), hands: names(hands) }
    }
}

/// A survey with what takes a walk through all its sessions: made where it is read, not on the window's thread.
pub(crate) struct Surveyed {
    pub(crate) survey: Survey,
    pub(crate) named: SessionNames,
    /// The units that several benches had.
    pub(crate) on_several: Vec<String>,
}

impl Surveyed {
    pub(crate) fn of(survey: Survey) -> Self {
        let (named, on_several) = (SessionNames::of(&survey), RoundRobin::units(&survey));
        Self { survey, named, on_several }
    }
}
