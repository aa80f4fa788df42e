//! The frame: top bar, log, field plot, guidance, bottom bar, and the sheet in front.

use egui::{Button, CentralPanel, Frame, Margin, Panel, RichText, Ui, vec2};
use record::{Access, ReadOnlyReason, SaveState};

use solver::PerChannel;

use super::aside::Aside;
use super::front::Front;
use super::picture::{Picture, Source};
use super::{Action, App};
use crate::panels::bottom_bar::bottom_bar_ui;
use crate::panels::central::central_ui;
use crate::panels::entry_row::{EntryContext, entry_row_ui};
use crate::panels::guidance::{WIDTH, guidance_ui};
use crate::panels::log_table::{log_table_ui, walk};
use crate::panels::sheets::front_ui;
use crate::panels::top_bar::{TopBar, top_bar_ui};
use crate::theme::{DARK, TARGET};
use crate::ui_command::UiCommand;
use crate::widgets::{Tone, message_ui};

/// Width of the log, points.
const SIDE: f32 = 334.0;

impl App {
    /// One frame. What the entry row asks is done before the plot is drawn, so a reading and what
    /// it means appear together.
    pub(super) fn show(&mut self, ui: &mut Ui) {
        let palette = &DARK;
        let mut actions: Vec<Action> =
            ui.input_mut(UiCommand::pressed).into_iter().map(Action::Do).collect();
        if self.front == Front::Clear
            && !self.view.has_keyboard(ui.ctx())
            && let Some(session) = &self.session
            && let Some(selected) = walk(ui, &session.picture().rows, self.selected)
        {
            actions.push(Action::Select(selected));
        }
        self.apply(std::mem::take(&mut actions));
        self.put_on_clipboard(ui.ctx());

        let bar = self.top_bar();
        let frame = |x, y| Frame::new().fill(palette.ground).inner_margin(Margin::symmetric(x, y));
        Panel::top("top bar").exact_size(46.0).resizable(false).frame(frame(14, 4)).show(
            ui,
            |ui| {
                top_bar_ui(ui, palette, &bar, &mut actions);
            },
        );
        let steps = self.steps();
        Panel::bottom("bottom bar").exact_size(46.0).resizable(false).frame(frame(14, 4)).show(
            ui,
            |ui| {
                bottom_bar_ui(ui, palette, &steps, self.notice.as_deref(), &mut actions);
            },
        );
        let access = self.access_words();
        if !self.warnings.is_empty() || access.is_some() {
            Panel::top("warnings").resizable(false).frame(frame(14, 6)).show(ui, |ui| {
                self.warnings_ui(ui, access.as_deref(), &mut actions);
            });
        }
        Panel::left("log").exact_size(SIDE).resizable(false).frame(frame(12, 8)).show(ui, |ui| {
            let context = self.entry_context();
            let unit = self.entry.unit;
            entry_row_ui(ui, palette, &mut self.entry, context, &mut actions);
            if unit != self.entry.unit {
                self.redraw();
            }
            self.apply(std::mem::take(&mut actions));
            self.entry.take_focus(ui.ctx());
            ui.add_space(4.0);
            match &self.session {
                Some(session) => {
                    log_table_ui(ui, palette, &session.picture().rows, self.selected, &mut actions);
                }
                None => {
                    ui.label(RichText::new("No session is open.").color(palette.quiet));
                }
            }
        });
        let empty;
        let picture = match &self.session {
            Some(session) => session.picture(),
            None => {
                empty = empty_picture();
                &empty
            }
        };
        let window_name = self
            .session
            .as_ref()
            .and_then(|session| session.state().window())
            .map(|window| format!("{} · {}", window.name, window.source));
        // On a wide screen the targets grow with their panel, to be read from farther away.
        let guidance_width = (ui.ctx().content_rect().width() * 0.25).clamp(WIDTH, 1.4 * WIDTH);
        Panel::right("guidance")
            .exact_size(guidance_width)
            .resizable(false)
            .frame(frame(14, 8))
            .show(ui, |ui| guidance_ui(ui, palette, picture, window_name.as_deref(), &mut actions));
        let field = Frame::new().fill(palette.field).inner_margin(Margin::symmetric(10, 6));
        let over = CentralPanel::default()
            .frame(field)
            .show(ui, |ui| central_ui(ui, palette, &mut self.view, picture, &mut actions))
            .response
            .rect;
        front_ui(ui, over, palette, &mut self.front, self.shop.offers(), &mut actions);
        if !actions.is_empty() {
            self.apply(actions);
            self.put_on_clipboard(ui.ctx());
            self.entry.take_focus(ui.ctx());
            ui.request_repaint();
        }
        self.save_preferences();
    }

    fn entry_context(&self) -> EntryContext {
        EntryContext {
            writable: self.session.as_ref().is_some_and(super::session::OpenSession::is_writable),
            as_found_possible: self
                .session
                .as_ref()
                .is_some_and(super::session::OpenSession::as_found_possible),
            has_divisions: self.session.as_ref().is_some_and(|s| s.state().station().is_some()),
        }
    }

    fn top_bar(&self) -> TopBar {
        let now = self.services.clock.now();
        let recent = self
            .preferences
            .recent
            .iter()
            .map(|path| (path.clone(), super::opening::words_of(path)))
            .collect();
        let Some(session) = &self.session else {
            return TopBar {
                title: "No session".to_owned(),
                under: self.shop.offers().shop.clone(),
                recent,
                hand: self.preferences.hand.clone(),
                ..TopBar::default()
            };
        };
        let (station, station_look) = session.station_words(now);
        TopBar {
            title: session.title(),
            under: session.under_title(),
            station,
            station_look,
            saved: session.saved(),
            recent,
            can: [session.state().undo().is_some(), session.state().redo().is_some()]
                .map(|can| can && session.is_writable()),
            open: true,
            hand: self.preferences.hand.clone(),
        }
    }

    /// Why facts cannot be added to the open session, if they cannot.
    fn access_words(&self) -> Option<String> {
        let session = self.session.as_ref()?;
        match session.file().access() {
            Access::Writing => None,
            access => Some(super::picture::capital(&access.to_string())),
        }
    }

    fn warnings_ui(&self, ui: &mut Ui, access: Option<&str>, actions: &mut Vec<Action>) {
        for warning in self.warnings.iter().map(String::as_str).chain(access) {
            message_ui(ui, &DARK, Tone::Look, warning, false);
        }
        ui.horizontal(|ui| {
            let mut offer = |text: &str, tip: &str, action: Action| {
                let button = Button::new(text).min_size(vec2(0.0, TARGET));
                if ui.add(button).on_hover_text(tip).clicked() {
                    actions.push(action);
                }
            };
            if !self.warnings.is_empty() {
                offer("Understood", "Put these sentences away.", Action::Understood);
            }
            let Some(session) = &self.session else { return };
            let stopped = matches!(session.file().save_state(), SaveState::Stopped { .. });
            if stopped {
                offer("Try again", "Write what waits in memory to the same file.", Action::Retry);
            }
            if matches!(session.file().access(), Access::AskFirst { .. }) {
                offer("Write all the same", "Facts may be lost if power fails.", Action::Agree);
            }
            let damaged = matches!(
                session.file().access(),
                Access::ReadOnly(ReadOnlyReason::Damaged(_) | ReadOnlyReason::NotPermitted(_))
            );
            if stopped || damaged {
                let tip = "Copy every fact that can be read into a new file and go on there.";
                offer("Continue in a new file", tip, Action::Continue);
            }
        });
    }
}

fn empty_picture() -> Picture {
    let problem = solver::Problem::default();
    Picture::new(Source {
        rows: &PerChannel::default(),
        problem: &problem,
        place: PerChannel::default(),
        approach: PerChannel {
            left: record::ApproachUsed::NotNoted,
            right: record::ApproachUsed::NotNoted,
        },
        station: None,
        ring_step_deg: 1.0,
        unit: record::ReadingUnit::Arcmin,
        selected: None,
        aside: &Aside::default(),
    })
}
