//! What would let go of an open file waits until the hand chose what becomes of facts that are not on
//! disk: keep trying, write them elsewhere, leave them in the rescue file, discard them.

use super::Leaving;
use std::path::Path;
use std::time::{Duration, Instant};

use super::WaitingSheet;
use crate::app::App;
use crate::app::action::Action;
use crate::places::practice::PracticeAction;
use crate::places::review::ReviewAction;
use crate::places::shop::ShopAction;
use crate::places::study::StudyAction;
use crate::sheets::Sheet;
use crate::shell::held::Held;
use crate::shell::open_shop::shop_of;
use crate::ui_command::UiCommand;
use crate::upkeep::CheckAction;

/// How long the window waits for facts on their way to disk before it asks.
const LONGEST: Duration = Duration::from_secs(2);

impl App {
    /// Whether every fact of these files is on disk, so that they may be let go of. If not, the hand
    /// is asked, and what was to be done waits for the answer.
    pub(crate) fn may_leave(&mut self, files: &[Held], then: Leaving) -> bool {
        self.settle(files);
        self.rescue_waiting(false);
        let Some(&held) = files.iter().find(|&&held| self.unsaved(held) > 0) else { return true };
        self.rescue_waiting(true);
        self.bring(Sheet::Waiting(WaitingSheet::of(held, Some(then))));
        false
    }

    /// Waits a little for facts that are on their way to disk.
    pub(crate) fn settle(&mut self, files: &[Held]) {
        let begun = Instant::now();
        loop {
            self.hear_files();
            let saving = files.iter().any(|&held| self.is_saving(held));
            if !saving || begun.elapsed() > LONGEST {
                break;
            }
            std::thread::sleep(Duration::from_millis(2));
        }
    }

    /// The files that doing something would let go of. Whatever takes another file's place is here.
    pub(crate) fn lets_go_of(&self, action: &Action) -> Vec<Held> {
        match action {
            Action::OpenPath(path)
            | Action::Practice(PracticeAction::Open(path) | PracticeAction::OpenHidden(path)) => {
                self.opening_lets_go_of(path)
            }
            Action::TakeSetUp if matches!(&self.front, Sheet::SetUp(sheet) if sheet.begins) => {
                vec![Held::Session]
            }
            Action::SalvageUnread
            | Action::Practice(PracticeAction::Start)
            | Action::Review(ReviewAction::ReadBlind) => {
                vec![Held::Session]
            }
            Action::Review(ReviewAction::AtBench) => {
                let path = self.places.review.open.as_ref().map(|open| &open.path);
                path.map_or_else(Vec::new, |path| self.opening_lets_go_of(path))
            }
            Action::Shop(ShopAction::Bench(index)) => {
                let path = self.places.shop.session_file(*index, &self.shell);
                path.map_or_else(Vec::new, |path| self.opening_lets_go_of(&path))
            }
            Action::Checks(CheckAction::Open(station)) => self.checking_lets_go_of(station),
            Action::Do(UiCommand::CheckStation) => {
                let station = self.station_to_check();
                station.map_or_else(Vec::new, |station| self.checking_lets_go_of(&station))
            }
            Action::Study(StudyAction::Open(_) | StudyAction::Begin) => vec![Held::Study],
            _ => Vec::new(),
        }
    }

    fn opening_lets_go_of(&self, path: &Path) -> Vec<Held> {
        if path.is_dir() {
            return Held::ALL.to_vec();
        }
        if self.session.as_ref().is_some_and(|session| session.file().path() == path) {
            return Vec::new();
        }
        if shop_of(path).is_some_and(|folder| folder != self.shell.shop.offers().folder) {
            return Held::ALL.to_vec();
        }
        vec![Held::Session]
    }

    fn checking_lets_go_of(&self, station: &str) -> Vec<Held> {
        let other = self.checks.as_ref().is_some_and(|open| open.station().name != station);
        if other { vec![Held::Checks] } else { Vec::new() }
    }

    /// Keeps the window open while facts wait; whichever way it was to be closed. What was typed in the same
    /// frame has not been heard yet: [`App::close_or_stay`] looks again behind it.
    pub(crate) fn hear_close_request(&mut self, ctx: &egui::Context) {
        if ctx.input(|input| input.viewport().close_requested()) {
            self.close_asked = self.may_leave(&Held::ALL, Leaving::Close);
            if !self.close_asked {
                stay(ctx);
            }
        }
    }

    /// Behind all that a frame does: whether the window that was asked to close still may. Keys that wait for
    /// the field they were typed for come first.
    pub(crate) fn close_or_stay(&mut self, ctx: &egui::Context) {
        if !self.close_asked && !self.close_behind_keys {
            return;
        }
        let asked = std::mem::take(&mut self.close_asked);
        if !self.held_events.is_empty() {
            self.close_behind_keys = true;
            if asked {
                ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
            }
            ctx.request_repaint();
            return;
        }
        let behind = std::mem::take(&mut self.close_behind_keys);
        match (self.may_leave(&Held::ALL, Leaving::Close), behind) {
            (true, false) => {}
            (true, true) => self.closing = true,
            (false, _) => stay(ctx),
        }
    }
}

/// What asks the hand must be seen.
fn stay(ctx: &egui::Context) {
    ctx.send_viewport_cmd(egui::ViewportCommand::CancelClose);
    ctx.send_viewport_cmd(egui::ViewportCommand::Minimized(false));
    ctx.send_viewport_cmd(egui::ViewportCommand::Focus);
    ctx.request_repaint();
}
