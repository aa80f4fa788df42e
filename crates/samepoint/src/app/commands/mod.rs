//! The one place that changes anything: what each action and command does.
//!
//! - [`logging`]: what is typed becomes a reading; [`rounds`]: anything but a ring was touched;
//! - [`history`]: undo, redo, withdraw; [`files`]: copies, dialogs; [`plotting`]: on the plot.

mod files;
mod history;
mod logging;
mod plotting;
mod rounds;

use record::ReadingUnit;
use record::fact::{Body, Purpose, RoundReason, Seq};
use solver::Channel;

pub use plotting::Clip;

use super::entry::Field;
use super::front::{Front, RoundSheet};
use super::{Action, App};
use crate::ui_command::UiCommand;

impl App {
    /// Does what was asked, in order.
    pub(super) fn apply(&mut self, actions: Vec<Action>) {
        for action in actions {
            self.apply_one(action);
        }
    }

    fn apply_one(&mut self, action: Action) {
        match action {
            Action::Do(command) => self.command(command),
            Action::Select(selected) => {
                self.selected = selected;
                self.redraw();
            }
            Action::AsFound => self.turn_to(Purpose::AsFound),
            Action::Logging => self.turn_to(Purpose::Log),
            Action::Meet => {
                self.front = Front::Clear;
                self.view.fit();
            }
            Action::Start => {
                let Front::New(sheet) = self.front.clone() else { return };
                if let Err(why) = self.start(&sheet)
                    && let Front::New(sheet) = &mut self.front
                {
                    sheet.refused = Some(why);
                }
            }
            Action::OpenPath(path) => {
                if let Err(why) = self.open_path(&path) {
                    match &mut self.front {
                        Front::Open(sheet) => sheet.refused = Some(why),
                        _ => self.warnings.push(why),
                    }
                }
            }
            Action::KeepCopyTo(path) => self.keep_copy(&path),
            Action::ReportTo(path) => self.write_report(&path),
            Action::AskPath => self.ask_path(),
            Action::WithdrawNow => self.withdraw_now(),
            Action::OpenRound => self.open_round(),
            Action::Try(channel, towards) => self.try_at(channel, towards),
            Action::ChooseNow => self.choose_now(),
            Action::SavePictureTo(path) => self.save_picture(&path),
            Action::Hand(hand) => hand.trim().clone_into(&mut self.preferences.hand),
            Action::Continue => self.continue_in_new_file(),
            Action::Understood => self.warnings.clear(),
            Action::Agree => {
                if let Some(session) = &mut self.session
                    && let Err(why) = session.file_mut().agree()
                {
                    self.warnings.push(why.to_string());
                }
            }
            Action::Retry => {
                if let Some(session) = &mut self.session {
                    session.file_mut().try_again();
                }
                self.warnings.clear();
            }
        }
    }

    fn command(&mut self, command: UiCommand) {
        match command {
            UiCommand::New => self.show_new_sheet(),
            UiCommand::Open => self.show_open_sheet(),
            UiCommand::KeepCopy => self.show_copy_sheet(),
            UiCommand::Report => self.show_report_sheet(),
            UiCommand::Log => self.log_reading(),
            UiCommand::Undo => self.undo(),
            UiCommand::Redo => self.redo(),
            UiCommand::Withdraw => self.show_withdraw_sheet(),
            UiCommand::Left => self.entry.turn_to(Channel::Left),
            UiCommand::Right => self.entry.turn_to(Channel::Right),
            UiCommand::Purpose => self.turn_to(match self.entry.purpose {
                Purpose::AsFound => Purpose::Log,
                Purpose::Log | Purpose::Confirm => Purpose::AsFound,
            }),
            UiCommand::Unit => {
                self.entry.unit = match self.entry.unit {
                    ReadingUnit::Divisions => ReadingUnit::Arcmin,
                    _ => ReadingUnit::Divisions,
                };
                self.redraw();
            }
            UiCommand::NewRound => {
                if self.session.is_some() {
                    let sheet = RoundSheet { why: RoundReason::Reseated, note: String::new() };
                    self.front = Front::Round(sheet);
                }
            }
            UiCommand::Fit => self.view.fit(),
            UiCommand::Closer => self.view.zoom(1.25),
            UiCommand::Farther => self.view.zoom(0.8),
            UiCommand::TryOn => self.try_step(1.0),
            UiCommand::TryBack => self.try_step(-1.0),
            UiCommand::TryOnTen => self.try_step(10.0),
            UiCommand::TryBackTen => self.try_step(-10.0),
            UiCommand::EndTrial => {
                self.end_trial();
            }
            UiCommand::Choose => self.choose_setting(),
            UiCommand::Measure => self.view.turn_measuring(),
            UiCommand::ToPlot => self.view.take_keyboard(),
            UiCommand::CopySvg => self.copy_svg(),
            UiCommand::CopyPng => self.copy_png(),
            UiCommand::SavePicture => self.show_picture_sheet(),
            UiCommand::Keys => self.front = Front::Keys,
            UiCommand::Cautions => {
                self.front = Front::Cautions;
                self.preferences.cautions_read = true;
                self.save_preferences();
            }
            UiCommand::Back => self.back(),
        }
    }

    fn back(&mut self) {
        if self.front == Front::Clear {
            // One thing at a time: what was begun last ends first.
            if self.view.end_measuring() || self.end_trial() {
                self.entry.focus = Some(Field::X);
                return;
            }
            self.selected = None;
            self.notice = None;
            self.redraw();
        }
        self.front = Front::Clear;
        self.entry.focus = Some(Field::X);
    }

    pub(super) fn redraw(&mut self) {
        if let Some(session) = &mut self.session {
            session.redraw(self.entry.unit, self.selected);
        }
    }

    /// Adds a fact; what refuses it is said.
    pub(super) fn append(&mut self, body: Body) -> Result<Seq, String> {
        let now = self.services.clock.now();
        let hand = self.hand();
        let unit = self.entry.unit;
        let Some(session) = &mut self.session else {
            return Err("No session is open: start or open one first.".to_owned());
        };
        let added = session.append(body, now, &hand, unit).map_err(|why| why.to_string());
        if let Err(why) = &added {
            self.say(why.clone());
        }
        self.selected = None;
        added
    }

    pub(super) fn hand(&self) -> String {
        if self.preferences.hand.is_empty() {
            "not named".to_owned()
        } else {
            self.preferences.hand.clone()
        }
    }
}
