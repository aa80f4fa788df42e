//! The shop's sessions: a table to find one in, and what they answer together. Every point of every
//! chart knows its session.
//!
//! - [`chart`]: a chart as data; [`charts`]: the shop's answers as charts and sentences;
//! - [`practised`]: what lies in practice; `reading`: reading all sessions, on a thread of its own;
//! - `apply`: what is asked; [`ui`]: what it looks like.
//! - `part`: which part of the page is in sight.
//! - [`beside`]: other shops' folders, looked at as one with this; [`robin`]: one unit on several benches.

pub(crate) mod apply;
pub(crate) mod beside;
pub(crate) mod chart;
pub(crate) mod charts;
pub(crate) mod part;
pub(crate) mod practised;
pub(crate) mod reading;
pub(crate) mod robin;
pub(crate) mod ui;

use crate::shell::offers::Offers;
use crate::shell::open_journal::JournalView as _;
use crate::ui_command::UiCommand;
use crate::upkeep::picture::CheckView;
use jiff::civil::Date;
use std::collections::BTreeSet;
use std::sync::Arc;

use record::shop::ReturnedSession;
use record::shop::survey::differ::Quantity;
use record::shop::survey::seek::{Filter, SortBy};
use record::{SessionSummary, Survey};

use crate::jobs::{Job, Work};
use beside::ShopsBeside;
use chart::{Leads, ShopChart};
use charts::{ShopCharts, answer};
pub(crate) use part::ShopPage;
use practised::Practised;
use robin::RobinShown;

/// The names that sessions have, each once.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Named {
    /// Housings.
    pub housings: Vec<String>,
    /// Stations.
    pub stations: Vec<String>,
    /// Hands.
    pub hands: Vec<String>,
    /// The folders that are seen as one, as people call them; none of one alone.
    pub shops: Vec<String>,
}

/// What the place remembers.
pub struct Surveying {
    /// What all sessions come to, once they were read.
    pub survey: Option<Arc<Survey>>,
    /// Sessions that a supervisor sent back, in words.
    pub returned: Vec<ReturnedSession>,
    /// The looking for those.
    pub returns: Job<Vec<ReturnedSession>>,
    /// The names they have.
    pub named: Named,
    /// What lies in its practice, or why that could not be read.
    pub practised: Option<Result<Practised, record::Error>>,
    /// The check standards of its stations, made ready to look at, and of when they are.
    pub(crate) checks: ChecksShown,
    /// The reading of them.
    pub reading: Job<Result<reading::ShopReading, record::Error>>,
    /// Why they could not be read.
    pub refused: Option<String>,
    /// What is in sight.
    pub part: ShopPage,
    /// What is asked of the table.
    pub filter: Filter,
    /// Whether a low window shows all that can be asked.
    pub filters_open: bool,
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
    pub answer: ShopCharts,
    /// Other shops' folders beside its own.
    pub beside: ShopsBeside,
    /// One unit on several benches.
    pub robin: RobinShown,
}

impl Default for Surveying {
    /// Nothing is read yet; the newest sessions come first.
    fn default() -> Self {
        Self {
            survey: None,
            returned: Vec::new(),
            returns: Job::idle(Work::Returns),
            named: Named::default(),
            practised: None,
            checks: ChecksShown::default(),
            reading: Job::idle(Work::Survey),
            refused: None,
            part: ShopPage::default(),
            filter: Filter::default(),
            filters_open: false,
            from: String::new(),
            to: String::new(),
            sort: (SortBy::Day, true),
            rows: Vec::new(),
            at: 0,
            quantity: None,
            by_hand: false,
            answer: ShopCharts::default(),
            beside: ShopsBeside::default(),
            robin: RobinShown::default(),
        }
    }
}

impl Surveying {
    /// What every session says, by its index.
    #[must_use]
    pub fn session(&self, index: usize) -> Option<&SessionSummary> {
        self.survey.as_ref()?.sessions.get(index)
    }

    /// Takes up what all sessions come to.
    pub fn take_up(&mut self, survey: Survey) {
        let names = |of: fn(&SessionSummary) -> &str| -> Vec<String> {
            let named = survey.sessions.iter().map(of).filter(|name| !name.is_empty());
            named.collect::<BTreeSet<&str>>().into_iter().map(str::to_owned).collect()
        };
        self.named = Named {
            housings: names(|session| &session.housing),
            stations: names(|session| &session.station),
            hands: names(|session| &session.hand),
            shops: if survey.is_of_several() {
                (0..survey.folders.len()).map(|folder| survey.folder_name(folder)).collect()
            } else {
                Vec::new()
            },
        };
        if self.survey.as_ref().is_none_or(|before| before.folders != survey.folders) {
            self.filter.folder = None;
        }
        self.survey = Some(Arc::new(survey));
        self.refused = None;
    }

    /// Works out what is in sight anew.
    pub fn refresh(&mut self) {
        let Some(survey) = &self.survey else {
            self.rows.clear();
            self.answer = ShopCharts::default();
            return;
        };
        let day = |typed: &str| typed.trim().parse().ok();
        self.filter.from = day(&self.from);
        self.filter.to = day(&self.to);
        let (by, down) = self.sort;
        self.rows = survey.seek(&self.filter, by, down);
        self.at = self.at.min(self.rows.len().saturating_sub(1));
        let quantity = self.quantity.unwrap_or(Quantity::Boresight);
        self.answer = if self.part == ShopPage::RoundRobin {
            self.robin.charts()
        } else {
            answer(survey, self.part, quantity, self.by_hand)
        };
        // A chart is looked at, and copied, without what stands above it.
        if let [_, _, ..] = self.named.shops.as_slice() {
            let words = format!("Of {} together.", self.named.shops.join(" and "));
            for chart in &mut self.answer.charts {
                chart.told.push(words.clone());
            }
        }
    }

    /// Shows the sessions of some days in the table.
    pub fn show_days(&mut self, from: Date, to: Date) {
        self.part = ShopPage::Sessions;
        self.filter = Filter::default();
        self.from = from.to_string();
        self.to = to.to_string();
        self.refresh();
    }

    /// A chart of the answer in sight.
    #[must_use]
    pub fn chart(&self, index: usize) -> Option<&ShopChart> {
        self.answer.charts.get(index)
    }
}

/// The check standards of a shop's stations as charts, made once for what was read of them on a day.
#[derive(Default)]
pub(crate) struct ChecksShown {
    made_for: Option<(u64, Date)>,
    each: Vec<(String, CheckView)>,
}

impl ChecksShown {
    /// Makes them anew where checks were read since, or the day is another.
    pub(crate) fn follow(&mut self, offers: &Offers, today: Date) {
        let made_for = Some((offers.checks_read, today));
        if self.made_for != made_for {
            let each = offers.checks.iter();
            self.each =
                each.map(|(name, checks)| (name.clone(), CheckView::of(checks, today))).collect();
            self.made_for = made_for;
        }
    }

    /// Those of a station.
    pub(crate) fn of(&self, station: &str) -> Option<&CheckView> {
        self.each.iter().find(|(name, _)| name == station).map(|(_, view)| view)
    }
}

/// What a hand asks of the shop.
#[derive(Clone, Debug, PartialEq)]
pub enum ShopAction {
    /// Show another part.
    Show(ShopPage),
    /// The filter changed.
    Filter,
    /// Sort by this; the same again turns it round.
    Sort(SortBy),
    /// Go where a point leads.
    Follow(Leads),
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
    /// Look at the folder beside this shop that is typed.
    AddBeside,
    /// Ask with a file dialog for it.
    ChooseBeside,
    /// Look at this folder no more.
    RemoveBeside(std::path::PathBuf),
    /// Look at the one again that was removed last.
    AddAgain,
    /// Compare the benches that measured this unit.
    RobinUnit(String),
    /// Write the recall list to a file.
    RecallListTo(std::path::PathBuf),
    /// Set aside what stands where the end of this ledger file is missing.
    SetLedgerEndAside(std::path::PathBuf),
    /// Read all sessions again.
    Again,
    /// A command of the window.
    Do(UiCommand),
    /// Read the check standard of this station.
    CheckStation(String),
}

impl From<UiCommand> for ShopAction {
    fn from(command: UiCommand) -> Self {
        Self::Do(command)
    }
}
