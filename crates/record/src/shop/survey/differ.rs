//! Which stations or hands differ in what their sessions come to.
//!
//! All groups at once by Kruskal and Wallis, then each pair by Mann and Whitney, with the pairs' p
//! corrected by Holm. Ranks, not means: the quantities are distances and scatters, which are skewed,
//! cannot be negative and have different spreads from group to group, and a median and its neighbours
//! say more of them than a mean; with the five to thirty sessions that a hand has, nothing can be said
//! of their distribution. Holm, because it holds whatever the pairs have to do with each other, and is
//! never weaker than Bonferroni.
//!
//! A unit counts once in a group, with its first visit: its own share is in each of them, so that ten visits
//! of one unit would look like ten units. One that was in two groups counts in both; what it has in common
//! there makes them more alike, and the tests no worse than stated.
//!
//! Groups that differ need not be to blame: a hand that gets the hard units finishes farther out.

use std::collections::BTreeMap;

use solver::stats::compare::holm;
use solver::stats::ranks::{KruskalWallis, MannWhitney, kruskal_wallis, mann_whitney};
use solver::stats::robust::{Middle, middle};

use super::doubles::later_visits_words;
use super::{By, SIGNIFICANT, SessionSummary, Survey};
use crate::figures::{arcmin_fine, number, percent};

/// Sessions of a group from which it is compared: with fewer, no difference can be told from chance.
pub const ENOUGH_SESSIONS: usize = 4;

/// What is compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Quantity {
    /// Distance from boresight as left, arcminutes.
    Boresight,
    /// Window use as left.
    WindowUse,
    /// Scatter of log readings about their circles, arcminutes.
    Scatter,
    /// Distance of the crosshairs as left from where the rings were meant to put them, arcminutes.
    SettingMiss,
    /// Middle of both circles' centres, x, arcminutes: a station zeroed wrong moves it.
    MiddleX,
    /// The same, y.
    MiddleY,
}

impl Quantity {
    /// All of them, in the order shown.
    pub const EVERY: [Self; 6] = [
        Self::Boresight,
        Self::WindowUse,
        Self::Scatter,
        Self::SettingMiss,
        Self::MiddleX,
        Self::MiddleY,
    ];

    /// The words for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Boresight => "distance from boresight as left",
            Self::WindowUse => "window use as left",
            Self::Scatter => "scatter of readings about their circles",
            Self::SettingMiss => "distance from the setting aimed at",
            Self::MiddleX => "middle of both centres, x",
            Self::MiddleY => "middle of both centres, y",
        }
    }

    /// Its value in a session.
    #[must_use]
    pub fn of(self, session: &SessionSummary) -> Option<f64> {
        match self {
            Self::Boresight => session.boresight_arcmin,
            Self::WindowUse => session.window_use,
            Self::Scatter => session.scatter_arcmin,
            Self::SettingMiss => session.setting_miss_arcmin,
            Self::MiddleX => session.middle().map(|middle| middle.x_arcmin),
            Self::MiddleY => session.middle().map(|middle| middle.y_arcmin),
        }
    }

    fn words(self, value: f64) -> String {
        if self == Self::WindowUse { percent(value) } else { arcmin_fine(value) }
    }
}

/// A group that is compared.
#[derive(Clone, Debug, PartialEq)]
pub struct ComparedGroup {
    /// Its name.
    pub name: String,
    /// The value of each unit's first visit to the group, with the index of its session.
    pub points: Vec<(usize, f64)>,
    /// Median and spread.
    pub middle: Middle,
}

/// Two groups compared.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct GroupPair {
    /// Both groups, by index.
    pub groups: [usize; 2],
    /// Mann and Whitney's test.
    pub test: MannWhitney,
    /// Its probability, corrected by Holm for all pairs.
    pub corrected_p: f64,
}

/// Groups compared in one quantity.
#[derive(Clone, Debug, PartialEq)]
pub struct Differ {
    /// What is compared.
    pub quantity: Quantity,
    /// What the groups are.
    pub by: By,
    /// The groups with enough sessions, by name.
    pub groups: Vec<ComparedGroup>,
    /// Later visits of a unit to the same group, which are left out.
    pub later_visits: usize,
    /// Groups with too few, by name.
    pub too_few: Vec<String>,
    /// All at once; `None` of fewer than two groups.
    pub all: Option<KruskalWallis>,
    /// Pair by pair; empty of fewer than two groups.
    pub pairs: Vec<GroupPair>,
}

impl Differ {
    /// The pairs that differ: where all at once do, those whose corrected p is below 5 %.
    pub fn different(&self) -> impl Iterator<Item = &GroupPair> {
        let any = self.all.is_some_and(|all| all.p_value < SIGNIFICANT);
        self.pairs.iter().filter(move |pair| any && pair.corrected_p < SIGNIFICANT)
    }

    /// It in sentences: the tests named, then each pair that differs.
    #[must_use]
    pub fn words(&self) -> Vec<String> {
        let Some(all) = &self.all else {
            return vec![format!(
                "At least two {}s with {ENOUGH_SESSIONS} sessions each are needed to compare.",
                self.by.word()
            )];
        };
        let differ = if all.p_value < SIGNIFICANT { "differ" } else { "cannot be told apart" };
        let mut said = vec![format!(
            "{} {}s {differ} in {} (Kruskal and Wallis, H {}, p {}).",
            self.groups.len(),
            self.by.word(),
            self.quantity.word(),
            number(all.h, 1),
            p_words(all.p_value)
        )];
        for pair in self.different() {
            let [a, b] = pair.groups.map(|index| self.groups.get(index));
            if let (Some(a), Some(b)) = (a, b) {
                said.push(format!(
                    "{} and {}: medians {} and {} (Mann and Whitney, p {} corrected by Holm).",
                    a.name,
                    b.name,
                    self.quantity.words(a.middle.median),
                    self.quantity.words(b.middle.median),
                    p_words(pair.corrected_p)
                ));
            }
        }
        if !self.too_few.is_empty() {
            said.push(format!("Too few sessions to compare: {}.", self.too_few.join(", ")));
        }
        if self.later_visits > 0 {
            said.push(later_visits_words(self.later_visits).trim().to_owned());
        }
        said
    }
}

/// A probability for a sentence: `0.012`, `under 0.001`.
#[must_use]
pub fn p_words(p: f64) -> String {
    if p < 0.001 { "under 0.001".to_owned() } else { number(p, 3) }
}

impl Survey {
    /// Whether groups of sessions differ in a quantity. Sessions whose group nobody named are left
    /// out.
    #[must_use]
    pub fn differ(&self, by: By, quantity: Quantity) -> Differ {
        let mut named: BTreeMap<&str, Vec<(usize, f64)>> = BTreeMap::new();
        for (index, session) in self.counted() {
            let name = by.name(session);
            if let Some(value) = quantity.of(session).filter(|_| !name.is_empty()) {
                named.entry(name).or_default().push((index, value));
            }
        }
        let (mut groups, mut too_few, mut later_visits) = (Vec::new(), Vec::new(), 0);
        for (name, points) in named {
            let (points, left_out) = self.first_visits(points);
            later_visits += left_out;
            let values: Vec<f64> = points.iter().map(|(_, value)| *value).collect();
            match middle(&values) {
                Ok(middle) if values.len() >= ENOUGH_SESSIONS => {
                    groups.push(ComparedGroup { name: name.to_owned(), points, middle });
                }
                _ => too_few.push(name.to_owned()),
            }
        }
        let values: Vec<Vec<f64>> = groups
            .iter()
            .map(|group| group.points.iter().map(|(_, value)| *value).collect())
            .collect();
        let slices: Vec<&[f64]> = values.iter().map(Vec::as_slice).collect();
        let all = kruskal_wallis(&slices).ok();
        let mut pairs = Vec::new();
        for (a, first) in slices.iter().enumerate() {
            for (b, second) in slices.iter().enumerate().skip(a + 1) {
                if let Ok(test) = mann_whitney(first, second) {
                    pairs.push(GroupPair { groups: [a, b], test, corrected_p: test.p_value });
                }
            }
        }
        let raw: Vec<f64> = pairs.iter().map(|pair| pair.test.p_value).collect();
        for (pair, corrected) in pairs.iter_mut().zip(holm(&raw).unwrap_or_default()) {
            pair.corrected_p = corrected;
        }
        Differ { quantity, by, groups, later_visits, too_few, all, pairs }
    }
}
