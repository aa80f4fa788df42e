//! Taking back: undo, redo, and leaving a reading out with a reason.

use record::fact::{Body, Seq, Withdrawn};

use crate::app::App;
use crate::app::entry::Field;
use crate::app::front::{Front, WithdrawSheet};
use crate::app::session::row_words;

impl App {
    pub(super) fn undo(&mut self) {
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

    pub(super) fn redo(&mut self) {
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

    pub(super) fn fact_word(&self, seq: Seq) -> &'static str {
        self.session
            .as_ref()
            .and_then(|session| session.file().facts().iter().find(|fact| fact.seq == seq))
            .map_or("fact", |fact| fact.body.word())
    }

    pub(super) fn show_withdraw_sheet(&mut self) {
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

    pub(super) fn withdraw_now(&mut self) {
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
}
