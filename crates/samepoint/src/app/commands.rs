//! The one place that changes anything.

use paper::words;
use record::ReadingUnit;
use record::Typed;
use record::fact::{
    Body, DirectionReading, Purpose, Reading, RoundOpened, RoundReason, Seq, Withdrawn,
};
use solver::Channel;

use super::entry::Field;
use super::front::{Front, PathSheet, RoundSheet, WithdrawSheet};
use super::opening::{program, words_of};
use super::session::row_words;
use super::{Action, App};
use crate::services::Ask;
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
            Action::AskPath => self.ask_path(),
            Action::WithdrawNow => self.withdraw_now(),
            Action::OpenRound => self.open_round(),
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

    fn turn_to(&mut self, purpose: Purpose) {
        let possible =
            self.session.as_ref().is_some_and(super::session::OpenSession::as_found_possible);
        if purpose == Purpose::AsFound && !possible {
            self.say("A reading was logged, so rings have been turned: as found is over.");
            return;
        }
        self.entry.turn_to_purpose(purpose);
        self.entry.focus = Some(Field::X);
    }

    /// Adds a fact; what refuses it is said.
    fn append(&mut self, body: Body) -> Result<Seq, String> {
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

    fn hand(&self) -> String {
        if self.preferences.hand.is_empty() {
            "not named".to_owned()
        } else {
            self.preferences.hand.clone()
        }
    }

    fn log_reading(&mut self) {
        let channel = self.entry.channel;
        let reading = match self.typed_reading() {
            Ok(reading) => reading,
            Err((field, why)) => {
                self.entry.refused = Some((field, why));
                self.entry.focus = Some(field);
                return;
            }
        };
        let ring_deg = reading.ring_deg(channel).map(Typed::value);
        let purpose = reading.purpose;
        match self.append(Body::Reading(reading)) {
            Err(why) => self.entry.refused = Some((Field::X, why)),
            Ok(_) => {
                self.entry.clear();
                if self.front == Front::Cautions {
                    self.front = Front::Clear;
                }
                self.after_logging(channel, purpose, ring_deg);
            }
        }
    }

    fn after_logging(&mut self, channel: Channel, purpose: Purpose, ring_deg: Option<f64>) {
        if purpose == Purpose::AsFound {
            let done =
                self.session.as_ref().is_some_and(super::session::OpenSession::as_found_done);
            if done {
                self.entry.turn_to_purpose(Purpose::Log);
                self.entry.turn_to(Channel::Left);
                self.say("Both channels read as found. From here on readings are logged.");
            } else {
                self.entry.turn_to(channel.other());
                self.say(format!("{} read as found.", super::picture::capital(channel.word())));
            }
        } else {
            self.entry.step_on_from(channel, ring_deg);
            let at = ring_deg.map_or_else(
                || "without ring angle".to_owned(),
                |deg| format!("at ring {}", words::degrees(deg, deg)),
            );
            self.say(format!("{} logged {at}.", super::picture::capital(channel.word())));
        }
    }

    /// What is typed, or which field is wrong and why.
    fn typed_reading(&self) -> Result<Reading, (Field, String)> {
        let entry = &self.entry;
        let Some(round) = self.session.as_ref().and_then(|session| session.state().round()) else {
            return Err((Field::X, "No round is open: open one first (F9).".to_owned()));
        };
        let number = |field: Field, text: &str| {
            Typed::parse(text)
                .map_err(|why| (field, format!("{}: {why}", super::picture::capital(field.word()))))
        };
        let ring_text = &entry.ring[entry.channel];
        let ring_deg =
            if ring_text.trim().is_empty() { None } else { Some(number(Field::Ring, ring_text)?) };
        let direction = DirectionReading {
            channel: entry.channel,
            ring_deg,
            x: number(Field::X, &entry.x)?,
            y: number(Field::Y, &entry.y)?,
            unit: entry.unit,
            approach: entry.approach,
        };
        Ok(Reading::direction(round.id, entry.purpose, direction))
    }

    fn undo(&mut self) {
        let Some(seq) = self.session.as_ref().and_then(|session| session.state().undo()) else {
            self.say("Nothing to undo.");
            return;
        };
        let word = self.fact_word(seq);
        if self.append(Body::Undo(seq)).is_ok() {
            self.say(format!("Undone: {word}. It stays in the file; redo brings it back."));
        }
        self.entry.focus = Some(Field::X);
    }

    fn redo(&mut self) {
        let Some(seq) = self.session.as_ref().and_then(|session| session.state().redo()) else {
            self.say("Nothing to redo.");
            return;
        };
        let word = self.fact_word(seq);
        if self.append(Body::Redo(seq)).is_ok() {
            self.say(format!("Brought back: {word}."));
        }
        self.entry.focus = Some(Field::X);
    }

    fn fact_word(&self, seq: Seq) -> &'static str {
        self.session
            .as_ref()
            .and_then(|session| session.file().facts().iter().find(|fact| fact.seq == seq))
            .map_or("fact", |fact| fact.body.word())
    }

    fn show_withdraw_sheet(&mut self) {
        let Some(session) = &self.session else { return };
        let rows = &session.picture().rows;
        let all =
            || rows.iter().flat_map(|(channel, rows)| rows.iter().map(move |row| (channel, row)));
        let chosen = self
            .selected
            .and_then(|seq| all().find(|(_, row)| row.seq == seq))
            .or_else(|| all().max_by_key(|(_, row)| row.seq));
        match chosen {
            None => self.say("There is no reading to withdraw in this round."),
            Some((channel, row)) => {
                let sheet = WithdrawSheet {
                    seq: row.seq,
                    words: row_words(channel, row),
                    reason: String::new(),
                    refused: None,
                };
                self.selected = Some(sheet.seq);
                self.front = Front::Withdraw(sheet);
                self.redraw();
            }
        }
    }

    fn withdraw_now(&mut self) {
        let Front::Withdraw(sheet) = &mut self.front else { return };
        let reason = sheet.reason.trim().to_owned();
        if reason.is_empty() {
            sheet.refused = Some("Say why: a reading is not left out without a reason.".to_owned());
            return;
        }
        let (reading, words) = (sheet.seq, sheet.words.clone());
        match self.append(Body::Withdrawn(Withdrawn { reading, reason })) {
            Ok(_) => {
                self.front = Front::Clear;
                self.entry.focus = Some(Field::X);
                self.say(format!("Withdrawn: {words}."));
            }
            Err(why) => {
                if let Front::Withdraw(sheet) = &mut self.front {
                    sheet.refused = Some(why);
                }
            }
        }
    }

    fn open_round(&mut self) {
        let Front::Round(sheet) = self.front.clone() else { return };
        let opened = RoundOpened { why: sheet.why, note: sheet.note.trim().to_owned() };
        if self.append(Body::RoundOpened(opened)).is_ok() {
            self.front = Front::Clear;
            self.view.fit();
            self.entry.turn_to_purpose(Purpose::Log);
            for channel in Channel::BOTH {
                "0".clone_into(&mut self.entry.ring[channel]);
            }
            self.entry.focus = Some(Field::X);
            self.say("A new round is open: earlier readings are kept apart.");
        }
    }

    fn show_copy_sheet(&mut self) {
        let Some(session) = &self.session else { return };
        let path = session.file().path();
        let name = format!("{} copy.samepoint", words_of(path));
        self.front = Front::KeepCopy(PathSheet::at(&path.with_file_name(name)));
    }

    fn keep_copy(&mut self, path: &std::path::Path) {
        let Some(session) = &mut self.session else { return };
        match session.file_mut().keep_copy(path) {
            Ok(copied) => {
                self.front = Front::Clear;
                self.entry.focus = Some(Field::X);
                let left_out = match copied.left_out {
                    0 => String::new(),
                    1 => "; 1 fact is not on disk yet and not in it".to_owned(),
                    n => format!("; {n} facts are not on disk yet and not in it"),
                };
                self.say(format!("Copied to {}{left_out}", path.display()));
            }
            Err(why) => {
                if let Front::KeepCopy(sheet) = &mut self.front {
                    sheet.refused = Some(why.to_string());
                }
            }
        }
    }

    fn ask_path(&mut self) {
        let folder = |path: &std::path::Path| {
            path.parent().map(std::path::Path::to_owned).unwrap_or_default()
        };
        let ask = match (&mut self.front, &self.session) {
            (Front::Open(sheet), session) => {
                sheet.asking = true;
                let start = session.as_ref().map(|session| folder(session.file().path()));
                Ask::OpenSession { start: start.unwrap_or_default() }
            }
            (Front::KeepCopy(sheet), Some(session)) => {
                sheet.asking = true;
                let path = session.file().path();
                Ask::KeepCopy {
                    start: folder(path),
                    name: format!("{} copy.samepoint", words_of(path)),
                }
            }
            _ => return,
        };
        self.asking = Some(self.services.dialogs.ask(ask, self.wake.clone()));
    }

    fn continue_in_new_file(&mut self) {
        let hand = self.hand();
        let options = self.file_options();
        let Some(session) = &self.session else { return };
        let old = session.file().path().to_owned();
        let name = format!("{} continued.samepoint", words_of(&old));
        let new = old.with_file_name(name);
        match session.file().continue_in(&new, &program(), &hand, options) {
            Ok(file) => {
                self.warnings.clear();
                self.take_up(file);
                self.say(format!(
                    "Goes on in {}; the damaged file is left as it is.",
                    new.display()
                ));
            }
            Err(why) => self.warnings.push(why.to_string()),
        }
    }
}
