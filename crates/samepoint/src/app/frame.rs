//! The frame: top bar, log, field plot, guidance, bottom bar, and the sheet in front; side by side
//! where there is room, else one at a time below the entry row.

use std::cell::OnceCell;

use egui::{
    Align, Button, CentralPanel, Event, Frame, KeyboardShortcut, Layout, Margin, Panel, Rect,
    RichText, ScrollArea, Ui, vec2,
};
use record::fact::{Purpose, Seq};
use record::paste;
use record::station::Shows;

use super::App;
use super::action::Action;
use super::bottom_bar::bottom_bar_ui;
use super::top_bar::top_bar_ui;
use crate::bench::confirm::checklist::checklist_ui;
use crate::bench::confirm::ui::confirm_ui;
use crate::bench::day::strips::{handover_strip_ui, rested_ui, returned_strip_ui, who_ui};
use crate::bench::differences::table::difference_table_ui;
use crate::bench::entry::row::{
    EntryContext, entry_line_ui, entry_row_across_ui, entry_row_ui, hint_ui,
};
use crate::bench::field::ui::{Pictured, central_ui, view_ui};
use crate::bench::guidance::ui::{WIDTH, WindowWords, guidance_ui};
use crate::bench::log::callout::callouts;
use crate::bench::log::callouts_ui::callouts_ui;
use crate::bench::log::table::{LogTable, log_table_ui, walk};
use crate::bench::remedy::Remedying;
use crate::bench::remedy::lines::compared_lines;
use crate::bench::remedy::ui::{own_remedy_ui, remedy_ui};
use crate::bench::session::OpenSession;
use crate::bench::views::View;
use crate::bench::views::made::Views;
use crate::places::Place;
use crate::sheets::Sheet;
use crate::sheets::keyboard::keep_tab_inside;
use crate::sheets::parts::SheetContext;
use crate::sheets::ui::front_ui;
use crate::shell::layout_size::{LayoutSize, Tab};
use crate::shell::refusals::NO_SESSION;
use crate::theme::{Palette, TARGET};
use crate::ui_command::UiCommand;
use crate::views::round::RoundView;
use crate::widgets::{Tell, ring_dial_has_keyboard, shortened_ui};

/// The most letters one paste brings in: a block of the most rows, each of middling length.
const LONGEST_PASTE: usize = 50 * paste::ROW_LIMIT;

/// Width of the log, points.
const SIDE: f32 = 334.0;

/// The checklist, the last readings and a callout about the station need this height, points.
const CHECKLIST_AND_CALLOUTS: f32 = 650.0;

/// With less height than this, points, the checklist and the readings below it scroll as one page.
const LIST_AND_LAST_READINGS: f32 = 400.0;

impl App {
    /// The picture of what is on the bench.
    #[must_use]
    pub fn shown_picture(&self) -> &RoundView {
        shown_picture(self.session.as_ref(), &self.empty)
    }

    /// The views beside it, as they were made.
    #[must_use]
    pub const fn views(&self) -> &Views {
        &self.views
    }

    /// One frame. What the entry row asks is done before the plot is drawn, so a reading and what
    /// it means appear together.
    pub(crate) fn show(&mut self, ui: &mut Ui) {
        let palette = self.shell.preferences.lighting.palette();
        let room = LayoutSize::of(ui.ctx().content_rect().size());
        if shorten_pasted(ui) {
            self.say(format!(
                "Only the first {LONGEST_PASTE} letters of what was pasted are taken."
            ));
        }
        self.heed_input(ui.ctx());
        if let Some(title) = self.front.title() {
            keep_tab_inside(ui.ctx(), title);
        }
        self.keys(ui);
        self.heed_rest(ui.ctx());
        let mut actions: Vec<Action> = Vec::new();
        self.bars_ui(ui, palette, room, &mut actions);
        self.day_ui(ui, palette, room, &mut actions);
        let over = match room {
            _ if self.place != Place::Bench => self.place_ui(ui, palette, room, &mut actions),
            LayoutSize::Wide => self.wide_ui(ui, palette, &mut actions),
            LayoutSize::Small => self.small_ui(ui, palette, &mut actions),
        };
        let context = SheetContext {
            offers: self.shell.shop.offers(),
            session: self.session.as_ref(),
            waits: match &self.front {
                Sheet::Waiting(sheet) => self.waits(sheet.held),
                _ => None,
            },
            checks: self.checks.as_ref(),
            sealing: self.shell.sealing.as_ref(),
            preferences: &self.shell.preferences,
            now: self.shell.services.clock.now(),
            unit: self.entry.unit,
        };
        front_ui(ui, over, palette, &mut self.front, &context, &mut actions);
        if !actions.is_empty() {
            self.apply(actions);
            self.put_on_clipboard(ui.ctx());
            if self.place == Place::Bench {
                self.give_focus(ui.ctx());
            }
            ui.request_repaint();
        }
        self.give_keyboard_back(ui.ctx());
        self.typed_in = self.place != Place::Bench && ui.ctx().text_edit_focused();
        if self.shell.who.take_keyboard {
            ui.request_repaint();
        }
        // From the next frame on, all of it at once: this one is drawn in the colours it began in.
        if self.lit != self.shell.preferences.lighting {
            self.lit = self.shell.preferences.lighting;
            crate::theme::light(ui.ctx(), self.lit);
            ui.request_repaint();
        }
        self.save_preferences();
        self.places.shop.look_at_opened(&self.shell);
        self.close_or_stay(ui.ctx());
        if std::mem::take(&mut self.closing) {
            ui.ctx().send_viewport_cmd(egui::ViewportCommand::Close);
        }
    }

    /// Commands by key, walking through the readings, and a block pasted into one field.
    fn keys(&mut self, ui: &Ui) {
        let away = self.place != Place::Bench;
        self.read_keypad(ui);
        let mut actions = self.presses(ui);
        // Escape puts an open list away, not the sheet it is in.
        let listed = egui::Popup::is_any_open(ui.ctx());
        let acts = |command: UiCommand, key: &KeyboardShortcut| {
            self.place.acts_on_key(command)
                && !self.front.owns_key(*key)
                && !(listed && command == UiCommand::Back)
        };
        let pressed = ui.input_mut(|input| UiCommand::pressed(input, acts));
        actions.extend(pressed.into_iter().map(Action::Do));
        let reading_only = !away
            && matches!(self.front, Sheet::Clear | Sheet::Keys | Sheet::Cautions | Sheet::Glossary);
        if reading_only
            && !self.view.has_keyboard(ui.ctx())
            && !ring_dial_has_keyboard(ui.ctx())
            && let Some(session) = &self.session
            && let Some(selected) = walk(ui, || session.shown(), self.selected)
        {
            actions.push(Action::Select(selected));
        }
        self.apply(actions);
        if !away {
            self.take_dropped(ui.ctx());
        }
        self.put_on_clipboard(ui.ctx());
        if reading_only
            && self.session.as_ref().is_some_and(OpenSession::is_writable)
            && let Some(text) = pasted_block(ui)
        {
            self.show_paste_sheet(text);
        }
    }

    fn bars_ui(&self, ui: &mut Ui, palette: &Palette, room: LayoutSize, actions: &mut Vec<Action>) {
        let height = if room == LayoutSize::Small { 38.0 } else { 46.0 };
        let frame = framed(palette, if room == LayoutSize::Small { 8 } else { 14 }, 2);
        let bar = self.top_bar();
        Panel::top("top bar").exact_size(height).resizable(false).frame(frame).show(ui, |ui| {
            top_bar_ui(ui, palette, &bar, room, actions);
        });
        let steps = if self.place == Place::Bench { self.steps() } else { Vec::new() };
        Panel::bottom("bottom bar").exact_size(height).resizable(false).frame(frame).show(
            ui,
            |ui| {
                bottom_bar_ui(ui, palette, &steps, room, actions);
            },
        );
        let said = self.said();
        if !self.shell.warnings.is_empty() || said.is_something() {
            let frame = framed(palette, 14, 6);
            Panel::top("warnings").resizable(false).frame(frame).show(ui, |ui| {
                self.warnings_ui(ui, &said, actions);
            });
        }
    }

    /// What is asked and told of the working day.
    fn day_ui(
        &mut self,
        ui: &mut Ui,
        palette: &Palette,
        room: LayoutSize,
        actions: &mut Vec<Action>,
    ) {
        // A sheet in a small window needs the room.
        let has_room = room == LayoutSize::Wide || self.front == Sheet::Clear;
        let at_bench = self.place == Place::Bench && has_room;
        if self.shell.who.take_keyboard {
            self.entry.focus = None;
        }
        let session = self.session.as_ref().filter(|_| at_bench);
        let unread = session.map(OpenSession::unread).unwrap_or_default().to_vec();
        // One question at a time: who says whether anything was touched must be known first. But what is in sight
        // stays there.
        let who = &self.shell.who;
        let asks_rested = at_bench && (!who.asks() || who.rested_in_sight);
        let rested = if asks_rested { self.must_ask_rested() } else { None };
        self.shell.who.rested_in_sight = rested.is_some();
        let returned = session.and_then(OpenSession::returned_words);
        if !self.shell.who.asks() && unread.is_empty() && rested.is_none() && returned.is_none() {
            return;
        }
        let frame = framed(palette, 14, 6);
        Panel::top("day").resizable(false).frame(frame).show(ui, |ui| {
            if self.shell.who.asks() {
                let hands = self.hands_in_force();
                who_ui(ui, palette, &mut self.shell.who, &hands, actions);
            }
            if let Some(returned) = returned {
                returned_strip_ui(ui, palette, &returned);
            }
            if let Some(handover) = unread.first() {
                handover_strip_ui(ui, palette, handover, unread.len() - 1, actions);
            }
            if let Some(rested) = rested {
                rested_ui(ui, palette, &rested, &self.in_force_words(), actions);
            }
        });
    }

    /// Log, plot and guidance side by side; returns where sheets go.
    fn wide_ui(&mut self, ui: &mut Ui, palette: &Palette, actions: &mut Vec<Action>) -> Rect {
        let frame = framed(palette, 12, 8);
        Panel::left("log").exact_size(SIDE).resizable(false).frame(frame).show(ui, |ui| {
            let context = self.entry_context();
            let unit = self.entry.unit;
            entry_row_ui(ui, palette, &mut self.entry, &context, actions);
            self.after_entry(ui, unit, actions);
            self.log_ui(ui, palette, actions);
        });
        if self.bench_mode {
            return self.glance_ui(ui, palette);
        }
        // On a wide screen the targets grow with their panel, to be read from farther away.
        let width = (ui.ctx().content_rect().width() * 0.25).clamp(WIDTH, 1.4 * WIDTH);
        let frame = framed(palette, 14, 8);
        Panel::right("guidance")
            .exact_size(width)
            .resizable(false)
            .frame(frame)
            .show(ui, |ui| self.guidance_ui(ui, palette, actions));
        self.field_ui(ui, palette, actions)
    }

    /// The entry row across the window, and one of log, plot and guidance below it.
    fn small_ui(&mut self, ui: &mut Ui, palette: &Palette, actions: &mut Vec<Action>) -> Rect {
        let frame = framed(palette, 8, 4);
        Panel::top("entry").resizable(false).frame(frame).show(ui, |ui| {
            let context = self.entry_context();
            let unit = self.entry.unit;
            if self.bench_mode {
                entry_line_ui(ui, palette, &mut self.entry, &context, actions);
                self.after_entry(ui, unit, actions);
                return;
            }
            entry_row_across_ui(ui, palette, &mut self.entry, &context, actions);
            ui.horizontal(|ui| {
                ui.spacing_mut().item_spacing.x = 2.0;
                for tab in Tab::ALL {
                    let button = Button::selectable(self.tab == tab, tab.text())
                        .min_size(vec2(52.0, TARGET));
                    let shown = ui.add(button);
                    let (chosen, telling) = (self.tab == tab, format!("Show {}", tab.text()));
                    shown.widget_info(|| {
                        let role = egui::accesskit::Role::Tab;
                        egui::WidgetInfo::selected(role, true, chosen, &telling)
                    });
                    if shown.clicked() {
                        actions.push(Action::Show(tab));
                    }
                }
                let room = vec2(ui.available_width(), 36.0);
                // One below the other: beside a long notice there would be no room for the hint.
                ui.allocate_ui_with_layout(room, Layout::top_down(Align::Min), |ui| {
                    ui.set_min_size(room);
                    hint_ui(ui, palette, &self.entry, &context, actions);
                });
            });
            self.after_entry(ui, unit, actions);
        });
        if self.bench_mode {
            return self.glance_ui(ui, palette);
        }
        if let Some(session) = &self.session {
            // What readings are judged by is told beside each of the three.
            let judged_by = session.judged_by_name();
            Panel::top("judged by")
                .exact_size(15.0)
                .show_separator_line(false)
                .resizable(false)
                .frame(framed(palette, 12, 0))
                .show(ui, |ui| {
                    let words = RichText::new(judged_by).small().color(palette.quiet);
                    shortened_ui(ui, words, ui.available_width());
                });
        }
        match self.tab {
            Tab::Plot => self.field_ui(ui, palette, actions),
            Tab::Log => {
                let shown = CentralPanel::default().frame(framed(palette, 12, 6));
                shown.show(ui, |ui| self.log_ui(ui, palette, actions)).response.rect
            }
            Tab::Rings => {
                let shown = CentralPanel::default().frame(framed(palette, 12, 6));
                shown.show(ui, |ui| self.guidance_ui(ui, palette, actions)).response.rect
            }
        }
    }

    /// Does what the entry row asked before anything else is drawn.
    fn after_entry(&mut self, ui: &Ui, unit: record::ReadingUnit, actions: &mut Vec<Action>) {
        if unit != self.entry.unit {
            self.redraw();
        }
        self.apply(std::mem::take(actions));
        self.give_focus(ui.ctx());
    }

    /// What is still to be seen to while confirming, the readings, and below them what the log
    /// points at.
    fn log_ui(&mut self, ui: &mut Ui, palette: &Palette, actions: &mut Vec<Action>) {
        let confirming = self.entry.purpose == Purpose::Confirm && self.closed().is_none();
        let Some(session) = &self.session else {
            ui.tell(RichText::new(NO_SESSION).color(palette.quiet));
            return;
        };
        let now = self.shell.services.clock.now();
        let station = self.station_today(now);
        let mut callouts = callouts(session, self.selected, station.as_ref(), now);
        if confirming && ui.available_height() < CHECKLIST_AND_CALLOUTS {
            // The top bar says it too, and the verdict beside.
            callouts.retain(|callout| !callout.is_of_station);
        }
        if !callouts.is_empty() {
            let height = ui.available_height() * if confirming { 0.25 } else { 0.45 };
            Panel::bottom("callouts")
                .resizable(false)
                .show_separator_line(false)
                .frame(Frame::new().inner_margin(Margin { top: 4, ..Margin::ZERO }))
                .show(ui, |ui| callouts_ui(ui, palette, &callouts, height, actions));
        }
        if confirming && ui.available_height() < LIST_AND_LAST_READINGS {
            // One scrolled page: every line of the list can be reached, and the readings below it.
            let channel = self.entry.channel;
            let confirming = &mut self.confirming;
            let selected = self.selected;
            ScrollArea::vertical().id_salt("confirm").auto_shrink(false).show(ui, |ui| {
                checklist_ui(ui, palette, confirming, channel, None, actions);
                ui.add_space(8.0);
                let size = vec2(ui.available_width(), 200.0);
                ui.allocate_ui(size, |ui| readings_ui(ui, palette, session, selected, actions));
            });
            return;
        }
        if confirming {
            let channel = self.entry.channel;
            // The last readings stay in sight below it.
            let height = (ui.available_height() - 120.0).max(120.0);
            checklist_ui(ui, palette, &mut self.confirming, channel, Some(height), actions);
            ui.add_space(8.0);
        }
        // In a small window the list has all the room there is.
        if ui.available_height() < 3.0 * TARGET {
            return;
        }
        readings_ui(ui, palette, session, self.selected, actions);
    }

    /// Where to turn each ring; while confirming, what the readings come to.
    fn guidance_ui(&mut self, ui: &mut Ui, palette: &Palette, actions: &mut Vec<Action>) {
        if let Some(session) = &self.session
            && self.entry.purpose == Purpose::Confirm
        {
            let (closed, advice) = (self.closed(), self.advice());
            let Some(rings) = self.rings_while_confirming() else { return };
            let confirm = session.confirm();
            confirm_ui(ui, palette, confirm, &rings, &advice, closed.as_deref(), actions);
            return;
        }
        let compared = self.session.as_ref().map(compared_lines).unwrap_or_default();
        if self.remedying.open {
            let considered = self.remedying.considered;
            if self.session.as_ref().is_some_and(|open| open.told().is_err()) {
                let Remedying { own, takes, .. } = &mut self.remedying;
                own_remedy_ui(ui, palette, own, takes, actions);
                return;
            }
            let unanswered = self.session.as_ref().is_some_and(|session| session.aside().rested);
            let lines = self.remedy_lines();
            remedy_ui(ui, palette, &lines, &compared, considered, unanswered, actions);
            return;
        }
        let window_name = self
            .session
            .as_ref()
            .and_then(|session| session.state().window())
            .map(|window| format!("{} · {}", window.name, window.source));
        let judged_by = self.session.as_ref().map(OpenSession::judged_by);
        let picture = shown_picture(self.session.as_ref(), &self.empty);
        let window = WindowWords { name: window_name.as_deref(), judged_by: judged_by.as_deref() };
        guidance_ui(ui, palette, picture, window, &compared, actions);
    }

    fn field_ui(&mut self, ui: &mut Ui, palette: &Palette, actions: &mut Vec<Action>) -> Rect {
        let frame = Frame::new().fill(palette.field).inner_margin(Margin::symmetric(10, 6));
        let shown = CentralPanel::default().frame(frame);
        let only_differences =
            self.session.as_ref().is_some_and(|session| session.differences().is_some());
        if self.middle != View::Field || only_differences {
            let live = (self.middle == View::Glass).then(|| self.live_glass(ui.ctx())).flatten();
            let (middle, session) = (self.middle, self.session.as_ref());
            let channel = self.entry.channel;
            let unit = self
                .practice_unit
                .as_mut()
                .and_then(|unit| unit.as_mut().ok())
                .map(|unit| (unit, channel));
            self.views.follow(session);
            let views = &self.views;
            let pictured = Pictured { told: &self.camera.told, live };
            let shown = shown.show(ui, |ui| {
                view_ui(ui, palette, (middle, views, &pictured), session, unit, actions);
            });
            return shown.response.rect;
        }
        let picture = shown_picture(self.session.as_ref(), &self.empty);
        let (view, practises) = (&mut self.view, self.practice_unit.is_some());
        let shown = shown.show(ui, |ui| central_ui(ui, palette, view, picture, practises, actions));
        shown.response.rect
    }

    /// The keyboard goes to the field of the entry row that waits for it.
    fn give_focus(&mut self, ctx: &egui::Context) {
        let shows = self.session.as_ref().map_or(Shows::Direction, OpenSession::shows);
        self.entry.take_focus(ctx, shows);
    }

    fn entry_context(&self) -> EntryContext {
        let session = self.session.as_ref();
        let signed = self.closed();
        let closed = match session {
            None => {
                Some("No session is open: start one in the Session menu, or open one.".to_owned())
            }
            Some(session) if !session.is_writable() => {
                Some("Read only: nothing can be logged here.".to_owned())
            }
            Some(_) => None,
        };
        EntryContext {
            closed,
            signed,
            asks: self.confirming.asks(),
            shows: session.map_or(Shows::Direction, OpenSession::shows),
            as_found_possible: session.is_some_and(OpenSession::as_found_possible),
            has_divisions: session.is_some_and(|session| session.state().station().is_some()),
            notice: self.shell.notice.clone(),
            notice_whole: self.shell.notice_whole.clone(),
            suggestion: session.and_then(|session| session.advice().next_words()),
        }
    }
}

/// The readings of the open round.
fn readings_ui(
    ui: &mut Ui,
    palette: &Palette,
    session: &OpenSession,
    selected: Option<Seq>,
    actions: &mut Vec<Action>,
) {
    if let Some(differences) = session.differences() {
        difference_table_ui(ui, palette, &differences.rows, selected, actions);
        return;
    }
    let standing_out: Vec<_> =
        session.advice().stand_out.iter().map(|stands_out| stands_out.seq).collect();
    let table = LogTable {
        log: session.log(),
        closing: session.closing(),
        off_by: &session.confirm().off_by,
        standing_out: &standing_out,
        selected,
    };
    log_table_ui(ui, palette, table, actions);
}

pub(crate) fn framed(palette: &Palette, x: i8, y: i8) -> Frame {
    Frame::new().fill(palette.ground).inner_margin(Margin::symmetric(x, y))
}

/// Cuts what is pasted to what a frame can lay out; true when something was cut.
fn shorten_pasted(ui: &Ui) -> bool {
    let mut cut = false;
    ui.input_mut(|input| {
        for event in &mut input.events {
            if let Event::Paste(text) = event
                && let Some((end, _)) = text.char_indices().nth(LONGEST_PASTE)
            {
                text.truncate(end);
                cut = true;
            }
        }
    });
    cut
}

/// Takes a block of rows that was pasted where one number belongs.
fn pasted_block(ui: &Ui) -> Option<String> {
    ui.input_mut(|input| {
        let place = input
            .events
            .iter()
            .position(|event| matches!(event, Event::Paste(text) if paste::is_block(text)))?;
        match input.events.remove(place) {
            Event::Paste(text) => Some(text),
            _ => None,
        }
    })
}

/// The picture of what is on the bench; the empty one is made once.
fn shown_picture<'a>(
    session: Option<&'a OpenSession>,
    empty: &'a OnceCell<RoundView>,
) -> &'a RoundView {
    session.map_or_else(|| empty.get_or_init(RoundView::empty), OpenSession::picture)
}
