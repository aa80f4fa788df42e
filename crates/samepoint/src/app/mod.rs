//! The window's own state, and how a frame goes: hear what came in, show, do what was asked.
//!
//! - [`logic`](mod@logic): what came in since the last frame; [`ui`](mod@ui): the frame itself;
//! - [`commands`]: where everything that a hand asks for begins; [`available`]: what can be done now;
//! - [`session`]: the open session: file, fold and picture; [`opening`]: shops and sessions;
//! - [`confirming`], [`confirm_picture`], [`off_by_words`], [`aim_off`]: confirm readings; [`signing`]: who answers, `answering`: who
//!   may; [`sealing`]: with which key; `noting`: what was signed, noted in the shop's ledger;
//! - [`who`]: who is at the bench; [`day`]: handovers and what else is noted of the working day;
//! - [`checking`], [`check_picture`]: a station's check standard; [`open_journal`]: its open file, and a study's;
//!   [`kept_file`]: whether one is safe;
//! - `said`: what is said above everything else; [`waiting`]: facts that are not on disk: kept meanwhile, never dropped unasked;
//! - [`reading_log`]: the readings of the open round, to be shown;
//! - [`entry`]: what is being typed; [`front`]: sheets; [`set_up`], [`block`], [`offers`]: what
//!   they hold; [`steps`]: where the job stands; [`room`]: wide or small;
//! - [`callout`], [`advice`], [`station_words`]: what the log points at; [`remedying`]: what would
//!   help; [`refusals`]: what several refuse in the same words;
//! - [`picture`]: fold → what panels show, from a [`source`]; `closing`: whether a round closes; [`difference_picture`]: the same where only the
//!   difference is read; [`targets`]: where to turn each ring; [`use_words`]:
//!   slack and swing; [`aside`]: what is laid beside the readings; [`views`]: what can stand in the
//!   middle; [`places`]: where the hand is when it is not at the bench.

pub mod advice;
pub mod aim_off;
mod answering;
pub mod aside;
pub mod available;
pub mod block;
pub mod callout;
pub mod check_picture;
pub mod checking;
mod closing;
pub mod commands;
pub mod confirm_picture;
pub mod confirming;
pub mod day;
pub mod difference_picture;
pub mod entry;
pub mod front;
pub mod kept_file;
pub mod logic;
mod noting;
pub mod off_by_words;
pub mod offers;
pub mod open_journal;
pub mod opening;
pub mod picture;
mod place_ui;
pub mod places;
pub mod reading_log;
pub mod refusals;
pub mod remedying;
pub mod room;
mod said;
pub mod sealing;
pub mod session;
pub mod set_up;
pub mod signing;
pub mod source;
pub mod station_words;
pub mod steps;
pub mod targets;
pub mod ui;
pub mod use_words;
pub mod views;
pub mod waiting;
pub mod who;

use std::cell::OnceCell;
use std::path::PathBuf;
use std::sync::Arc;

use record::fact::Seq;
use solver::{Channel, Direction, PerChannel};

use crate::dialogs::Answer;
use crate::jobs::{Broken, Job, Wake, Work, Workers};
use crate::plot::FieldView;
use crate::preferences::Preferences;
use crate::services::Services;
use crate::theme::Lighting;
use crate::ui_command::UiCommand;

use aim_off::AimOff;
use checking::{CheckAction, OpenChecks};
use commands::Clip;
use confirming::{Check, Confirming};
use day::DayAction;
use entry::Entry;
use front::Front;
use opening::OpenShop;
use places::explore::ExploreAction;
use places::practice::PracticeAction;
use places::review::ReviewAction;
use places::shop::ShopAction;
use places::study::StudyAction;
use places::{Place, Places};
use remedying::Remedying;
use room::Tab;
use session::OpenSession;
use views::View;
use views::made::Views;
use waiting::{Keepers, WaitingAction};
use who::Who;

/// Something a hand asked for.
#[derive(Clone, Debug, PartialEq)]
pub enum Action {
    /// A command without arguments.
    Do(UiCommand),
    /// Select a reading, or none.
    Select(Option<Seq>),
    /// A command chosen from the list of commands.
    Run(UiCommand),
    /// Show the log, the plot or the rings in a small window.
    Show(Tab),
    /// Take what the set-up sheet says.
    TakeSetUp,
    /// Keep the window on the set-up sheet in the shop.
    KeepWindow,
    /// Do without it.
    DropWindow,
    /// Look at the pasted rows.
    PreviewPaste,
    /// Read the CSV file on the sheet.
    ReadCsv,
    /// Log the rows on the sheet.
    LogBlock,
    /// Open a session or shop.
    OpenPath(PathBuf),
    /// Copy the open session.
    KeepCopyTo(PathBuf),
    /// Write the report of the open session.
    ReportTo(PathBuf),
    /// Ask for the sheet's path with a file dialog.
    AskPath,
    /// Ask with a file dialog where the private part of this key is.
    AskKey(String),
    /// Log what a box shows: inside, or outside.
    LogBox(bool),
    /// Withdraw the reading on the sheet.
    WithdrawNow,
    /// Open the round on the sheet.
    OpenRound,
    /// Take the remedy of the hand's own as it is typed.
    NoteRemedy,
    /// These initials log from now on.
    Hand(String),
    /// Ask for one thing of the checklist.
    Ask(Check),
    /// Consider a remedy of the list, or none.
    Consider(Option<usize>),
    /// The checklist may stand otherwise.
    RefreshChecklist,
    /// Note the looking test on the sheet.
    LookedNow,
    /// Sign what is on the sheet.
    SignNow,
    /// Seal what is on the sheet.
    SealNow,
    /// Try a channel's ring where its crosshair comes nearest to a direction.
    Try(Channel, Direction),
    /// Try a pair of ring angles, degrees.
    TryRings(PerChannel<f64>),
    /// Choose the setting on the sheet.
    ChooseNow,
    /// Write the plot to a file.
    SavePictureTo(PathBuf),
    /// Something about the working day.
    Day(DayAction),
    /// Something about a station's check standard.
    Checks(CheckAction),
    /// Something in practice.
    Practice(PracticeAction),
    /// Something about the optics opened up.
    Explore(ExploreAction),
    /// Something about a study.
    Study(StudyAction),
    /// Something about the shop's sessions.
    Shop(ShopAction),
    /// Something about the session looked over.
    Review(ReviewAction),
    /// Ask where to go on in a new file: the open one is damaged, or cannot be written to.
    Continue,
    /// Something about facts that are not on disk.
    Waiting(WaitingAction),
    /// Make a new session of what verifies in the open, damaged one.
    Salvage,
    /// The same of the file that could not even be opened.
    SalvageUnread,
    /// Set aside what stands where the open session's end is missing, and go on.
    SetEndAside,
    /// Put the warnings away.
    Understood,
    /// Write although files cannot be locked or synced here.
    Agree,
    /// Try again to write what waits.
    Retry,
}

/// The window.
pub struct App {
    services: Services,
    preferences: Preferences,
    /// What the preferences were when last written.
    written_preferences: Preferences,
    shop: OpenShop,
    session: Option<OpenSession>,
    /// The check file that a sheet shows.
    checks: Option<OpenChecks>,
    /// Where the hand is.
    place: Place,
    /// What the other places remember.
    places: Places,
    entry: Entry,
    confirming: Confirming,
    /// Who is at the bench.
    who: Who,
    aim_off: AimOff,
    remedying: Remedying,
    front: Front,
    /// Sheets with something typed in them that wait behind the one in front.
    behind: Vec<Front>,
    /// Sheets with something typed in them that were left for another step or place.
    laid_by: Vec<Front>,
    /// What is in sight in a small window.
    tab: Tab,
    view: FieldView,
    /// What stands in the middle.
    middle: View,
    /// What was made of it.
    views: Views,
    /// The picture where no session is open.
    empty: OnceCell<picture::Picture>,
    /// The colours in force.
    lit: Lighting,
    selected: Option<Seq>,
    notice: Option<String>,
    /// Sentences that stay until something is done about them.
    warnings: Vec<String>,
    asking: Job<Answer>,
    /// The rescue files of facts that wait.
    keepers: Keepers,
    /// Rescue files that are not offered again before the next start.
    later: Vec<PathBuf>,
    /// A file that could not be opened and of which a new session can be made.
    to_salvage: Option<said::ToSalvage>,
    /// What is done once the hand agrees to write where files cannot be locked or synced, and why.
    to_agree: Option<(Action, String)>,
    /// Whether the hand has just agreed to that.
    agreed: bool,
    /// Whether the window is to close now that nothing waits.
    closing: bool,
    /// What goes on the clipboard at the end of the frame.
    clip: Option<Clip>,
    /// Events that came behind a key that moves the keyboard, for the next frame.
    held_events: Vec<egui::Event>,
    /// The seal that is being made, or was made last.
    sealing: Option<sealing::running::Running>,
    /// What waits to be noted in a ledger.
    to_note: noting::ToNote,
    wake: Wake,
}

impl App {
    /// Opens the bench on a session, a shop, or what was open last; else on the demo shop.
    #[must_use]
    pub fn new(ctx: &egui::Context, services: Services, path: Option<PathBuf>) -> Self {
        crate::theme::install(ctx);
        let (preferences, trouble) = Preferences::load(&services.folders.config);
        ctx.set_zoom_factor(preferences.scale);
        crate::theme::light(ctx, preferences.lighting);
        let wake: Wake = {
            let ctx = ctx.clone();
            Arc::new(move || ctx.request_repaint())
        };
        let mut warnings: Vec<String> = trouble.into_iter().collect();
        if let Some(page) = crate::crash::unseen_page(&services.folders.state) {
            warnings.push(format!(
                "The program stopped unexpectedly last time. What it was doing is in {}. \
                 Every reading shown as saved is in its session.",
                record::shown::path(&page)
            ));
        }
        let mut app = Self {
            entry: Entry::new(preferences.step_deg),
            lit: preferences.lighting,
            written_preferences: preferences.clone(),
            shop: OpenShop::none(),
            session: None,
            checks: None,
            place: Place::default(),
            places: Places::default(),
            confirming: Confirming::default(),
            who: Who::at_start(preferences.ask_after_minutes, &preferences.hand),
            aim_off: AimOff::default(),
            remedying: Remedying::default(),
            front: Front::Clear,
            behind: Vec::new(),
            laid_by: Vec::new(),
            tab: Tab::default(),
            view: FieldView::default(),
            middle: View::default(),
            views: Views::default(),
            empty: OnceCell::new(),
            selected: None,
            notice: None,
            warnings,
            asking: Job::idle(Work::FileDialog),
            keepers: Keepers::default(),
            later: Vec::new(),
            to_salvage: None,
            to_agree: None,
            agreed: false,
            closing: false,
            clip: None,
            held_events: Vec::new(),
            sealing: None,
            to_note: noting::ToNote::default(),
            wake,
            services,
            preferences,
        };
        app.open_at_start(path);
        app.offer_rescued();
        // The field it waits at, unless a sheet has one of its own.
        app.who.take_keyboard = app.who.asks() && app.front == Front::Clear;
        app
    }

    /// The remedies as they stand.
    #[must_use]
    pub const fn remedying(&self) -> &Remedying {
        &self.remedying
    }

    /// The open session.
    #[must_use]
    pub const fn session(&self) -> Option<&OpenSession> {
        self.session.as_ref()
    }

    /// The check file that a sheet shows.
    #[must_use]
    pub const fn checks(&self) -> Option<&OpenChecks> {
        self.checks.as_ref()
    }

    /// Where the hand is.
    #[must_use]
    pub const fn place(&self) -> Place {
        self.place
    }

    /// What the other places remember.
    #[must_use]
    pub const fn places(&self) -> &Places {
        &self.places
    }

    /// What the other places remember, for tests that make a shop larger than they can wait for.
    pub const fn places_mut(&mut self) -> &mut Places {
        &mut self.places
    }

    /// What the open shop offers.
    #[must_use]
    pub const fn offers(&self) -> &offers::Offers {
        self.shop.offers()
    }

    /// What is being typed.
    #[must_use]
    pub const fn entry(&self) -> &Entry {
        &self.entry
    }

    /// What a confirm reading is taken under, and what is still to be seen to.
    #[must_use]
    pub const fn confirming(&self) -> &Confirming {
        &self.confirming
    }

    /// The sheet in front.
    #[must_use]
    pub const fn front(&self) -> &Front {
        &self.front
    }

    /// What is in sight in a small window.
    #[must_use]
    pub const fn tab(&self) -> Tab {
        self.tab
    }

    /// What is remembered about the user.
    #[must_use]
    pub const fn preferences(&self) -> &Preferences {
        &self.preferences
    }

    /// The last notice.
    #[must_use]
    pub fn notice(&self) -> Option<&str> {
        self.notice.as_deref()
    }

    /// Sentences that stay until something is done about them.
    #[must_use]
    pub fn warnings(&self) -> &[String] {
        &self.warnings
    }

    /// Where things were drawn in the last frame.
    #[must_use]
    pub const fn view(&self) -> &FieldView {
        &self.view
    }

    /// The reading selected in the log.
    #[must_use]
    pub const fn selected(&self) -> Option<Seq> {
        self.selected
    }

    /// Those who do what may take longer than a frame.
    fn workers(&self) -> Workers {
        Workers { threads: Arc::clone(&self.services.threads), wake: self.wake.clone() }
    }

    /// Says that a worker ended without an answer, where no place of its own shows it.
    fn warn_of(&mut self, broken: &Broken) {
        let told = broken.to_string();
        if !self.warnings.contains(&told) {
            self.warnings.push(told);
        }
    }

    fn say(&mut self, notice: impl Into<String>) {
        let notice = notice.into();
        log::info!("{notice}");
        self.notice = Some(notice);
    }
}

impl eframe::App for App {
    fn logic(&mut self, ctx: &egui::Context, _frame: &mut eframe::Frame) {
        self.hear(ctx);
    }

    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        self.show(ui);
    }

    fn raw_input_hook(&mut self, ctx: &egui::Context, input: &mut egui::RawInput) {
        self.hold_back(ctx, input);
    }

    fn on_exit(&mut self, _gl: Option<&eframe::glow::Context>) {
        self.leave();
    }
}
