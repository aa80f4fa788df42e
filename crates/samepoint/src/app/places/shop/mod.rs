//! The shop's sessions: a table to find one in, and what they answer together. Every point of every
//! chart knows its session.
//!
//! - [`chart`]: a chart as data; [`charts`]: the shop's answers as charts and sentences;
//! - [`reading`]: reading all sessions, on a thread of its own.

pub mod chart;
pub mod charts;
pub mod reading;

use record::Survey;
use record::shop::survey::differ::Quantity;
use record::shop::survey::seek::{Filter, SortBy};

use chart::Chart;
use charts::{Answer, answer};
use reading::Reading;

/// What is in sight.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Hash)]
pub enum Part {
    /// The table.
    #[default]
    Sessions,
    /// What a supervisor should look at.
    Troubles,
    /// Where circles lie.
    Centres,
    /// How far from boresight units leave.
    Finishing,
    /// What passes first.
    PassRate,
    /// Whether shims did as predicted.
    Shims,
    /// Which stations or hands differ.
    Differences,
    /// What tightening does.
    Locks,
    /// Check charts, what is due, what wanders.
    Stations,
}

impl Part {
    /// All of them, in the order of the screen.
    pub const ALL: [Self; 9] = [
        Self::Sessions,
        Self::Troubles,
        Self::Centres,
        Self::Finishing,
        Self::PassRate,
        Self::Shims,
        Self::Differences,
        Self::Locks,
        Self::Stations,
    ];

    /// Its name.
    #[must_use]
    pub const fn text(self) -> &'static str {
        match self {
            Self::Sessions => "Sessions",
            Self::Troubles => "To look at",
            Self::Centres => "Circle centres",
            Self::Finishing => "Boresight",
            Self::PassRate => "First pass",
            Self::Shims => "Shims",
            Self::Differences => "Differences",
            Self::Locks => "Locks",
            Self::Stations => "Stations",
        }
    }

    /// The question it answers.
    #[must_use]
    pub const fn question(self) -> &'static str {
        match self {
            Self::Sessions => "Which session? Press a row, or Enter, to look it over.",
            Self::Troubles => "What should a supervisor look at?",
            Self::Centres => "Where do the circle centres of each housing lie?",
            Self::Finishing => "How far from boresight do we finish?",
            Self::PassRate => "How many units pass in their first round?",
            Self::Shims => "Did shims do what was predicted?",
            Self::Differences => "Which stations or hands differ?",
            Self::Locks => "What does tightening the locks do, housing by housing?",
            Self::Stations => "Do the stations stand still, and what is due?",
        }
    }
}

/// What the place remembers.
#[derive(Default)]
pub struct Surveying {
    /// What all sessions come to, once they were read.
    pub survey: Option<Survey>,
    /// The reading of them, while it goes on.
    pub reading: Option<Reading>,
    /// Why they could not be read.
    pub refused: Option<String>,
    /// What is in sight.
    pub part: Part,
    /// What is asked of the table.
    pub filter: Filter,
    /// The first day, as typed.
    pub from: String,
    /// The last day, as typed.
    pub to: String,
    /// What the table is sorted by, and whether downwards.
    pub sort: (SortBy, bool),
    /// The rows in sight: indices of sessions.
    pub rows: Vec<usize>,
    /// The row the keyboard is at.
    pub at: usize,
    /// What differences are looked for, and in what: by hand, else by station.
    pub quantity: Option<Quantity>,
    /// Whether hands are compared.
    pub by_hand: bool,
    /// The answer in sight.
    pub answer: Answer,
}

impl Surveying {
    /// What every session says, by its index.
    #[must_use]
    pub fn session(&self, index: usize) -> Option<&record::SessionSummary> {
        self.survey.as_ref()?.sessions.get(index)
    }

    /// How many sessions were returned and wait for a technician.
    #[must_use]
    pub fn returned(&self) -> Vec<String> {
        let sessions = self.survey.iter().flat_map(|survey| &survey.sessions);
        let mut said = Vec::new();
        for session in sessions {
            if let record::Answered::Returned { comment, by } = &session.answered {
                said.push(format!("{}, returned by {by}: “{comment}”", session.unit));
            }
        }
        said
    }

    /// Works out what is in sight anew.
    pub fn refresh(&mut self) {
        let Some(survey) = &self.survey else {
            self.rows.clear();
            self.answer = Answer::default();
            return;
        };
        let day = |typed: &str| typed.trim().parse().ok();
        self.filter.from = day(&self.from);
        self.filter.to = day(&self.to);
        let (by, down) = self.sort;
        self.rows = survey.seek(&self.filter, by, down);
        self.at = self.at.min(self.rows.len().saturating_sub(1));
        let quantity = self.quantity.unwrap_or(Quantity::Boresight);
        self.answer = answer(survey, self.part, quantity, self.by_hand);
    }

    /// A chart of the answer in sight.
    #[must_use]
    pub fn chart(&self, index: usize) -> Option<&Chart> {
        self.answer.charts.get(index)
    }
}

/// What a hand asks of the shop.
#[derive(Clone, Debug, PartialEq)]
pub enum ShopAction {
    /// Show another part.
    Show(Part),
    /// The filter changed.
    Filter,
    /// Sort by this; the same again turns it round.
    Sort(SortBy),
    /// Look a session over.
    Review(usize),
    /// Look over what a damaged file still holds.
    ReviewFile(std::path::PathBuf),
    /// Go on at the bench with a session.
    Bench(usize),
    /// Compare in this.
    Compare(Quantity),
    /// Compare hands, or stations.
    ByHand(bool),
    /// Read all sessions again.
    Again,
}
