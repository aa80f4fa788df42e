//! The window: what it holds, and how a frame goes: hear what came in, show, do what was asked.
//!
//! - [`hearing`]: what came in since the last frame; [`frame`]: the frame itself, [`top_bar`] (`top_bar_told`: what it
//!   tells) and [`bottom_bar`];
//! - [`apply`]: what each action and command does, or who does it; [`available`]: what can be done now;
//! - [`opening`]: shops and sessions; `files`: copies, dialogs; `on_paper`: reports
//!   and labels, written elsewhere; `sheets`: what comes to the front and goes;
//! - `going`: from one place to another, `place_ui`: the place in sight; [`steps`]: where the job stands;
//! - [`pressing`]: pedals and the keypad; `said`: what is said above everything else.
//! - [`action`]: everything that a hand can ask for; `effects`: what places ask for, and `answering`: an answer of
//!   review on its way to disk, `answering_several`: answers to several sessions; `meant`: which session a command
//!   is about.

pub(crate) mod action;
pub(crate) mod answering;
mod answering_several;
pub(crate) mod apply;
pub(crate) mod available;
pub(crate) mod bottom_bar;
pub(crate) mod effects;
pub(crate) mod files;
pub(crate) mod frame;
pub(crate) mod going;
pub(crate) mod hearing;
mod meant;
pub(crate) mod on_paper;
pub(crate) mod opening;
pub(crate) mod place_ui;
pub(crate) mod pressing;
pub(crate) mod said;
pub(crate) mod sheets;
pub(crate) mod steps;
pub(crate) mod top_bar;
mod top_bar_told;

use crate::bench::practice_unit::NotMadeAgain;
use crate::shell::Shell;
use action::Action;
use std::cell::OnceCell;
use std::path::PathBuf;
use std::sync::Arc;

use record::fact::Seq;

use crate::dialogs::DialogAnswer;
use crate::jobs::{Job, WakeWindow, Work};
use crate::plot::FieldView;
use crate::preferences::Preferences;
use crate::services::Services;
use crate::theme::Lighting;

use crate::bench::confirm::Confirming;
use crate::bench::entry::EntryRow;
use crate::bench::field::clip::Clip;
use crate::bench::guidance::aim_off::AimOff;
use crate::bench::practice_unit::OnBench;
use crate::bench::remedy::Remedying;
use crate::bench::session::OpenSession;
use crate::bench::views::View;
use crate::bench::views::made::Views;
use crate::places::{Place, Places};
use crate::sheets::Sheet;
use crate::shell::layout_size::Tab;
use crate::upkeep::OpenChecks;
use crate::waiting::Keepers;

/// The window.
pub struct App {
    pub(crate) shell: Shell,
    pub(crate) session: Option<OpenSession>,
    /// The check file that a sheet shows.
    pub(crate) checks: Option<OpenChecks>,
    /// Where the hand is.
    pub(crate) place: Place,
    /// What the other places remember.
    pub(crate) places: Places,
    /// The invented unit on the bench, while a practice session is open; why there is none, when its
    /// exercise is not known here.
    pub(crate) practice_unit: Option<Result<OnBench, NotMadeAgain>>,
    pub(crate) entry: EntryRow,
    pub(crate) confirming: Confirming,
    pub(crate) aim_off: AimOff,
    pub(crate) remedying: Remedying,
    pub(crate) front: Sheet,
    /// Sheets with something typed in them that wait behind the one in front.
    pub(crate) behind: Vec<Sheet>,
    /// Sheets with something typed in them that were left for another step or place.
    pub(crate) laid_by: Vec<Sheet>,
    /// What is in sight in a small window.
    pub(crate) tab: Tab,
    pub(crate) view: FieldView,
    /// Whether bench mode stands in the room of plot and guidance.
    pub(crate) bench_mode: bool,
    /// What stands in the middle.
    pub(crate) middle: View,
    /// What was made of it.
    views: Views,
    /// The picture where no session is open.
    empty: OnceCell<crate::views::round::RoundView>,
    /// The colours in force.
    lit: Lighting,
    pub(crate) selected: Option<Seq>,
    asking: Job<DialogAnswer>,
    /// A report or a label on its way to its file.
    on_paper: on_paper::OnPaper,
    /// The rescue files of facts that wait.
    pub(crate) keepers: Keepers,
    /// Rescue files that are not offered again before the next start.
    pub(crate) later: Vec<PathBuf>,
    /// A file that could not be opened and of which a new session can be made.
    to_salvage: Option<crate::shell::to_salvage::ToSalvage>,
    /// What is done once the hand agrees to write where files cannot be locked or synced, and why.
    to_agree: Option<(Action, String)>,
    /// Whether the hand has just agreed to that.
    agreed: bool,
    /// Whether the window is to close now that nothing waits.
    pub(crate) closing: bool,
    /// Whether the window was asked to close in this frame, and may as far as was heard before it.
    pub(crate) close_asked: bool,
    /// Whether it closes as soon as the keys typed before are heard.
    pub(crate) close_behind_keys: bool,
    /// What goes on the clipboard at the end of the frame.
    pub(crate) clip: Option<Clip>,
    /// Events that came behind a key that moves the keyboard, for the next frame.
    pub(crate) held_events: Vec<egui::Event>,
    /// Pictures of the station.
    pub(crate) camera: crate::bench::camera::BenchCamera,
    /// The graticule's picture that a form asked for.
    pub(crate) graticule: Job<crate::own_shop::form::desk::Opening>,
    /// The picture of the shop's papers that a form asked for.
    pub(crate) head_picture: Job<crate::own_shop::form::head_picture::OpeningHead>,
    /// What is being read back.
    pub(crate) reading_back: crate::bench::entry::reading_back::ReadingBack,
    /// Seals of several answers that are made one after another, and whether one of them was begun.
    pub(crate) seals_waiting: std::collections::VecDeque<crate::shell::sealing::SealWanted>,
    pub(crate) sealing_several: bool,
    /// From where a session was looked over.
    pub(crate) came_from: Option<Place>,
    /// Whether a field was being typed in when the last frame of a place ended.
    pub(crate) typed_in: bool,
    /// What waits to be noted in a ledger.
    pub(crate) to_note: crate::bench::signing::ledger::ToNote,
}

impl App {
    /// Opens the bench on a session, a shop, or what was open last; else on the demo shop.
    #[must_use]
    pub fn new(ctx: &egui::Context, services: Services, path: Option<PathBuf>) -> Self {
        let mut app = Self::with_nothing_open(ctx, services);
        app.open_first(path);
        app
    }

    /// Opens the first of the window: as [`Self::new`], and what was rescued is offered.
    pub(crate) fn open_first(&mut self, path: Option<PathBuf>) {
        self.open_at_start(path);
        self.offer_rescued();
        // The field it waits at, unless a sheet has one of its own.
        self.shell.who.take_keyboard = self.shell.who.asks() && self.front == Sheet::Clear;
    }

    /// The window as it is preferred, before anything is opened in it.
    pub(crate) fn with_nothing_open(ctx: &egui::Context, services: Services) -> Self {
        crate::theme::install(ctx);
        let wake: WakeWindow = {
            let ctx = ctx.clone();
            Arc::new(move || ctx.request_repaint())
        };
        let mut shell = Shell::new(services, wake);
        ctx.set_zoom_factor(shell.preferences.scale);
        crate::theme::light(ctx, shell.preferences.lighting);
        if let Some(page) = crate::crash::unseen_page(&shell.services.folders.state) {
            shell.warn(format!(
                "The program stopped unexpectedly last time. What it was doing is in {}. \
                 Every reading shown as saved is in its session.",
                record::shown::path(&page)
            ));
        }
        Self {
            entry: EntryRow::new(shell.preferences.step_deg),
            lit: shell.preferences.lighting,
            session: None,
            checks: None,
            practice_unit: None,
            place: Place::default(),
            places: Places::default(),
            confirming: Confirming::default(),
            aim_off: AimOff::default(),
            remedying: Remedying::default(),
            front: Sheet::Clear,
            behind: Vec::new(),
            laid_by: Vec::new(),
            tab: Tab::default(),
            view: FieldView::default(),
            bench_mode: false,
            middle: View::default(),
            views: Views::default(),
            empty: OnceCell::new(),
            selected: None,
            asking: Job::idle(Work::FileDialog),
            on_paper: on_paper::OnPaper::default(),
            keepers: Keepers::default(),
            later: Vec::new(),
            to_salvage: None,
            to_agree: None,
            agreed: false,
            closing: false,
            close_asked: false,
            close_behind_keys: false,
            clip: None,
            held_events: Vec::new(),
            camera: crate::bench::camera::BenchCamera::default(),
            graticule: Job::idle(Work::Graticule),
            head_picture: Job::idle(Work::HeadPicture),
            reading_back: crate::bench::entry::reading_back::ReadingBack::default(),
            seals_waiting: std::collections::VecDeque::new(),
            sealing_several: false,
            came_from: None,
            typed_in: false,
            to_note: crate::bench::signing::ledger::ToNote::default(),
            shell,
        }
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
    pub const fn offers(&self) -> &crate::shell::offers::Offers {
        self.shell.shop.offers()
    }

    /// What is being typed.
    #[must_use]
    pub const fn entry(&self) -> &EntryRow {
        &self.entry
    }

    /// What a confirm reading is taken under, and what is still to be seen to.
    #[must_use]
    pub const fn confirming(&self) -> &Confirming {
        &self.confirming
    }

    /// The sheet in front.
    #[must_use]
    pub const fn front(&self) -> &Sheet {
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
        &self.shell.preferences
    }

    /// The last notice.
    #[must_use]
    pub fn notice(&self) -> Option<&str> {
        self.shell.notice.as_deref()
    }

    /// Sentences that stay until something is done about them.
    #[must_use]
    pub fn warnings(&self) -> &[String] {
        &self.shell.warnings
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

    /// Says something, until something else is said.
    pub(crate) fn say(&mut self, notice: impl Into<String>) {
        self.shell.say(notice);
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
