//! The shop's sessions: a table to find one in, and what they answer together. Every point of every
//! chart knows its session.
//!
//! - [`chart`]: a chart as data; [`charts`]: the shop's answers as charts and sentences (`work_charts`: why
//!   units fail, how long work takes);
//! - [`practised`]: what lies in practice; `reading`: reading all sessions, on a thread of its own; `surveyed`: what they are asked
//!   at once;
//! - `apply`: what is asked; [`ui`]: what it looks like.
//! - `part`: which part of the page is in sight; `columns`: those of the table; `kept_filters`: what is asked of it,
//!   by name; `unit_page`: one unit over the years; [`round_robin_page`]: one on several benches; [`other_shops`]: those
//!   that are seen as one with this (`choosing_shops`: added and taken off); `writing`: what is put into files.

pub(crate) mod apply;
pub(crate) mod chart;
pub(crate) mod charts;
mod choosing_shops;
pub(crate) mod columns;
pub(crate) mod kept_filters;
pub(crate) mod other_shops;
pub(crate) mod part;
pub(crate) mod practised;
mod reading;
pub(crate) mod round_robin_page;
mod surveyed;
pub(crate) mod ui;
pub(crate) mod unit_page;
mod work_charts;
pub(crate) mod writing;

use crate::shell::of_shop::WriteOfShop;
use crate::shell::offers::Offers;
use crate::shell::open_journal::JournalView as _;
use crate::ui_command::UiCommand;
use crate::upkeep::picture::CheckView;
use jiff::civil::Date;
use std::sync::Arc;

use record::shop::ReturnedSession;
use record::shop::survey::differ::Quantity;
use record::shop::survey::seek::{Filter, SortBy, seek_among};
use record::shop::survey::troubles::Trouble;
use record::{SessionSummary, Survey};

use crate::audit_pack::Packed;
use crate::jobs::{Job, Work};
use crate::report_file::NotWritten;
use chart::{Leads, ShopChart};
use charts::{ShopCharts, answer};
use other_shops::{OtherShops, SeenTogether};
pub(crate) use part::ShopPage;
use practised::Practised;
use reading::SessionsReading;
use round_robin_page::RoundRobinPage;
pub(crate) use surveyed::SessionNames;
use surveyed::Surveyed;
use unit_page::UnitPage;

/// What the place remembers.
pub struct Surveying {
    /// What all sessions come to, once they were read.
    pub survey: Option<Arc<Survey>>,
    /// Whether the shop was opened and is still to be looked at: once the window shows it.
    pub(crate) just_opened: bool,
    /// Sessions that a supervisor sent back.
    pub returned: Vec<ReturnedSession>,
    /// The looking for those.
    pub returns: Job<Vec<ReturnedSession>>,
    /// The names they have.
    pub named: SessionNames,
    /// Other shops' folders that are added.
    pub others: OtherShops,
    /// What the folders come to that are seen as one.
    pub together: SeenTogether,
    /// What lies in its practice, or why that could not be read.
    pub practised: Option<Result<Practised, record::Error>>,
    /// The check standards of its stations, made ready to look at, and of when they are.
    pub(crate) checks: ChecksShown,
    /// An audit pack that is being made: where, and what became of it.
    pub(crate) packing: Job<(std::path::PathBuf, Result<Packed, NotWritten>)>,
    /// The reading of them.
    pub reading: SessionsReading,
    /// Why they could not be read.
    pub refused: Option<String>,
    /// What is in sight.
    pub part: ShopPage,
    /// What is asked of the table.
    pub filter: Filter,
    /// The only shop wanted, where several are seen as one, by what it is called.
    pub only_shop: Option<String>,
    /// The first day, as typed.
    pub from: String,
    /// The last day, as typed.
    pub to: String,
    /// What the table is sorted by, and whether downwards.
    pub sort: (SortBy, bool),
    /// The columns chosen.
    pub columns: Vec<SortBy>,
    /// What a filter to keep is called, as typed.
    pub filter_name: String,
    /// Why it was not kept.
    pub filter_refused: Option<String>,
    /// What lies in practice as sessions; their indices go on from those of the survey.
    pub practice_sessions: Vec<SessionSummary>,
    /// The rows in sight: indices of sessions.
    pub rows: Vec<usize>,
    /// The row the keyboard is at.
    pub at: usize,
    /// What differences are looked for, and in what: by hand, else by station.
    pub quantity: Option<Quantity>,
    /// Whether hands are compared.
    pub by_hand: bool,
    /// The sessions to look at, by index: what only waits for a countersignature last.
    pub troubled: Vec<usize>,
    /// The one of them that the keyboard is at.
    pub troubled_at: usize,
    /// A unit's page.
    pub unit: UnitPage,
    /// A unit on several benches.
    pub round_robin: RoundRobinPage,
    /// The day the hand came here on.
    pub today: Option<Date>,
    /// The answer in sight.
    pub answer: ShopCharts,
    /// Which of its charts the pointer or the keyboard was at last.
    pub(crate) chart_at: usize,
}

impl Default for Surveying {
    /// Nothing is read yet; the newest sessions come first.
    fn default() -> Self {
        Self {
            survey: None,
            just_opened: false,
            returned: Vec::new(),
            returns: Job::idle(Work::Returns),
            named: SessionNames::default(),
            others: OtherShops::default(),
            together: SeenTogether::default(),
            practised: None,
            checks: ChecksShown::default(),
            packing: Job::idle(Work::AuditPack),
            reading: SessionsReading::default(),
            refused: None,
            part: ShopPage::default(),
            filter: Filter::default(),
            only_shop: None,
            from: String::new(),
            to: String::new(),
            sort: (SortBy::Day, true),
            columns: columns::USUAL.to_vec(),
            filter_name: String::new(),
            filter_refused: None,
            practice_sessions: Vec::new(),
            rows: Vec::new(),
            at: 0,
            quantity: None,
            by_hand: false,
            troubled: Vec::new(),
            troubled_at: 0,
            unit: UnitPage::default(),
            round_robin: RoundRobinPage::default(),
            today: None,
            answer: ShopCharts::default(),
            chart_at: 0,
        }
    }
}

impl Surveying {
    /// What every session says, by its index.
    #[must_use]
    pub fn session(&self, index: usize) -> Option<&SessionSummary> {
        let sessions = &self.survey.as_ref()?.sessions;
        let practised = || self.practice_sessions.get(index.checked_sub(sessions.len())?);
        sessions.get(index).or_else(practised)
    }

    /// The session that the row at hand is of, where the table is in sight.
    #[must_use]
    pub fn at_hand(&self) -> Option<usize> {
        match self.part {
            ShopPage::Sessions => self.rows.get(self.at).copied(),
            ShopPage::Units => self.unit.session_at(),
            ShopPage::RoundRobin => self.round_robin.session_at(),
            ShopPage::Troubles => self.troubled.get(self.troubled_at).copied(),
            _ => None,
        }
    }

    /// Takes up what all sessions come to.
    pub fn take_up(&mut self, survey: Survey) {
        self.take(Surveyed::of(survey));
    }

    fn take(&mut self, surveyed: Surveyed) {
        let Surveyed { survey, named, on_several } = surveyed;
        (self.named, self.round_robin.units) = (named, on_several);
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
        // Of a shop that is not looked at now there is no session.
        let place = |wanted: &String| self.together.place(wanted).unwrap_or(usize::MAX);
        self.filter.folder = self.only_shop.as_ref().map(place);
        let (by, down) = self.sort;
        let all = survey.sessions.iter().chain(&self.practice_sessions).enumerate();
        self.rows = seek_among(all, &self.filter, by, down);
        self.at = self.at.min(self.rows.len().saturating_sub(1));
        if self.part == ShopPage::Troubles {
            let mut troubled = survey.troubles();
            troubled.sort_by_key(|(index, why)| (only_waits(why), *index));
            self.troubled = troubled.into_iter().map(|(index, _)| index).collect();
            self.troubled_at = self.troubled_at.min(self.troubled.len().saturating_sub(1));
        }
        if self.part == ShopPage::Units {
            self.unit.returning = survey.returning();
        }
        let quantity = self.quantity.unwrap_or(Quantity::Boresight);
        self.answer = match self.part {
            ShopPage::Work => work_charts::work(survey, self.today),
            part => answer(survey, part, quantity, self.by_hand),
        };
    }

    /// Shows the sessions of some days in the table.
    pub fn show_days(&mut self, from: Date, to: Date) {
        self.part = ShopPage::Sessions;
        self.filter = Filter::default();
        self.only_shop = None;
        self.from = from.to_string();
        self.to = to.to_string();
        self.refresh();
    }

    /// The columns of the table: where several folders are seen as one, also which of them a row is from.
    #[must_use]
    pub(crate) fn columns_in_sight(&self) -> Vec<SortBy> {
        let several = !self.together.names.is_empty();
        let wanted = |column: &SortBy| match column {
            SortBy::Folder => several,
            _ => self.columns.contains(column),
        };
        SortBy::EVERY.into_iter().filter(wanted).collect()
    }

    /// The chart at hand, where charts are in sight.
    #[must_use]
    pub(crate) fn chart_at_hand(&self) -> Option<&ShopChart> {
        let last = self.answer.charts.len().checked_sub(1)?;
        self.chart(self.chart_at.min(last))
    }

    /// A chart of the answer in sight.
    #[must_use]
    pub fn chart(&self, index: usize) -> Option<&ShopChart> {
        self.answer.charts.get(index)
    }
}

/// Whether a session only waits for a countersignature.
pub(crate) fn only_waits(why: &[Trouble]) -> bool {
    why.iter().all(|one| matches!(one, Trouble::Waiting))
}

/// Whether a session waits for a countersignature in the shop that is open, and not in one beside it.
pub(crate) fn waits_here(session: &SessionSummary) -> bool {
    session.folder == 0 && session.state.waits() && session.counts()
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
    /// The pointer or the keyboard is at this chart.
    ChartAt(usize),
    /// Show this column, or no longer.
    Column(SortBy),
    /// Keep what is asked of the table, by the name typed.
    KeepFilter,
    /// Ask what the filter of this name asks.
    ApplyFilter(String),
    /// Keep the filter of this name no longer.
    RemoveFilter(String),
    /// Show a unit's page.
    OpenUnit(String),
    /// List all units.
    AllUnits,
    /// Hold the benches that a unit was on against each other.
    OpenRoundRobin(String),
    /// List all units that were on several benches.
    AllRoundRobins,
    /// Compare benches in this, of all that is compared.
    CompareBenches(usize),
    /// Look a session over.
    Review(usize),
    /// See the folder typed beside the shop.
    AddShop,
    /// Ask for that folder with a file dialog.
    ChooseShop,
    /// See this folder beside the shop no longer.
    RemoveShop(std::path::PathBuf),
    /// Look over what waits for a countersignature, one session after the other.
    ReviewWaiting,
    /// Look over what a damaged file still holds.
    ReviewFile(std::path::PathBuf),
    /// Go on at the bench with a session.
    Bench(usize),
    /// Compare in this.
    Compare(Quantity),
    /// Compare hands, or stations.
    ByHand(bool),
    /// Write the recall list to a file.
    RecallListTo(std::path::PathBuf),
    /// Write something else of the shop to a file.
    WriteOfShop(Box<WriteOfShop>),
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
