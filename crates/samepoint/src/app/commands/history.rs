//! Taking back: undo, redo, and leaving a reading out with a reason.

use record::fact::{Body, Purpose, Seq, Withdrawn};
use solver::Channel;

use crate::app::App;
use crate::app::entry::Field;
use crate::app::front::{Front, WithdrawSheet};
use crate::app::picture::Row;
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

    /// The reading that withdrawing and reading again are about: the selected one, else the last.
    fn pointed_at(&self) -> Option<(Channel, &Row)> {
        let picture = self.session.as_ref()?.picture();
        let all = || {
            let rows = picture.rows.iter();
            rows.flat_map(|(channel, rows)| rows.iter().map(move |row| (channel, row)))
        };
        let of = |seq: Seq| all().find(|(_, row)| row.seq == seq);
        self.selected.and_then(of).or_else(|| all().max_by_key(|(_, row)| row.seq))
    }

    /// Turns the entry row to the place of the reading pointed at.
    pub(super) fn read_again(&mut self) {
        let Some((channel, row)) = self.pointed_at() else { return };
        let (ring, purpose) = (row.ring.clone().unwrap_or_default(), row.purpose);
        let words = row_words(channel, row);
        self.clear_front();
        self.entry.turn_to(channel);
        if purpose == Purpose::Log {
            self.entry.turn_to_purpose(Purpose::Log);
            self.entry.ring[channel] = ring;
        }
        self.say(format!("Read again: {words}. Both count until one is withdrawn."));
    }

    pub(super) fn show_withdraw_sheet(&mut self) {
        let chosen = self.pointed_at().map(|(channel, row)| WithdrawSheet {
            seq: row.seq,
            words: row_words(channel, row),
            reason: String::new(),
            refused: None,
        });
        match chosen {
            None => self.say("There is no reading to withdraw in this round."),
            Some(sheet) => {
                self.selected = Some(sheet.seq);
                self.bring(Front::Withdraw(sheet));
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
                self.clear_front();
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
