//! Taking back: undo, redo, and leaving a reading out with a reason.

use paper::words::capital;
use record::fact::{Body, Purpose, Reading, Seen, Seq, Withdrawn};
use solver::{Channel, PerChannel};

use super::EntryField;
use crate::app::App;
use crate::sheets::Sheet;
use crate::sheets::withdraw::WithdrawSheet;

/// A reading that something is to be done about.
struct Pointed {
    seq: Seq,
    words: String,
    /// Whose; `None`: both at one look.
    channel: Option<Channel>,
    /// Ring angles as typed.
    rings: PerChannel<Option<String>>,
    purpose: Purpose,
    /// Why it was withdrawn, if it was.
    withdrawn: Option<String>,
}

impl App {
    pub(crate) fn undo(&mut self) {
        self.end_sweep("");
        let Some(mut seq) = self.session.as_ref().and_then(|session| session.state().undo()) else {
            self.say("Nothing to undo.");
            return;
        };
        if let Some(swept) = self.swept_with(seq) {
            self.undo_sweep(swept);
            self.entry.focus = Some(EntryField::X);
            return;
        }
        // A reading and its picture were one Enter: they are taken back together.
        if let Some(reading) = self.frame_names(seq)
            && self.append(Body::Undo(seq)).is_ok()
        {
            let next = self.session.as_ref().and_then(|session| session.state().undo());
            if next != Some(reading) {
                self.say("Undone: picture of a reading.");
                return;
            }
            seq = reading;
        }
        let word = self.fact_word(seq);
        if self.append(Body::Undo(seq)).is_ok() {
            if let Some(reading) = self.reading_of(seq) {
                self.row_as_read(&reading);
            }
            self.say(format!("Undone: {word}. It stays in the file; redo brings it back."));
        }
        self.entry.focus = Some(EntryField::X);
    }

    pub(crate) fn redo(&mut self) {
        let Some(seq) = self.session.as_ref().and_then(|session| session.state().redo()) else {
            self.say("Nothing to redo.");
            return;
        };
        if let Some(swept) = self.swept_with(seq) {
            self.redo_sweep(swept);
            self.entry.focus = Some(EntryField::X);
            return;
        }
        let word = self.fact_word(seq);
        if self.append(Body::Redo(seq)).is_ok() {
            if let Some(reading) = self.reading_of(seq) {
                self.row_as_read(&reading);
                self.go_on_from(&reading);
            }
            let next = self.session.as_ref().and_then(|session| session.state().redo());
            if let Some(frame) = next.filter(|&frame| self.frame_names(frame) == Some(seq)) {
                let _ = self.append(Body::Redo(frame));
            }
            self.say(format!("Brought back: {word}."));
        }
        self.entry.focus = Some(EntryField::X);
    }

    /// The reading whose picture a fact names.
    pub(crate) fn frame_names(&self, seq: Seq) -> Option<Seq> {
        let facts = self.session.as_ref()?.file().facts();
        facts.iter().rev().find(|fact| fact.seq == seq).and_then(|fact| match &fact.body {
            Body::Frame(frame) => Some(frame.reading),
            _ => None,
        })
    }

    fn reading_of(&self, seq: Seq) -> Option<Reading> {
        let facts = self.session.as_ref()?.file().facts();
        facts.iter().rev().find(|fact| fact.seq == seq).and_then(|fact| match &fact.body {
            Body::Reading(reading) => Some(reading.clone()),
            _ => None,
        })
    }

    /// The entry row as it stood when a reading was about to be logged, so that what is typed next is
    /// that reading again and not the one that would have followed it.
    fn row_as_read(&mut self, reading: &Reading) {
        let entry = &mut self.entry;
        entry.clear();
        entry.purpose = reading.purpose;
        if let Some(channel) = reading.channel() {
            entry.turn_to(channel);
            entry.ring[channel] = shown_ring(reading, channel);
        } else {
            let rings = PerChannel::from_fn(|channel| shown_ring(reading, channel));
            // Rings step on by turns: the one that went on since is the one whose turn it was.
            let mut went_on = Channel::BOTH.into_iter().filter(|&of| entry.ring[of] != rings[of]);
            if let (Some(channel), None) = (went_on.next(), went_on.next()) {
                entry.channel = channel;
            }
            entry.ring = rings;
        }
        match &reading.seen {
            Seen::Direction(read) => (entry.unit, entry.approach) = (read.unit, read.approach),
            Seen::Relative(read) => {
                (entry.unit, entry.approach) = (read.unit, read.approach.left);
            }
            Seen::Box(read) => entry.approach = read.approach.left,
        }
        if reading.purpose == Purpose::Confirm {
            self.confirming.stand_as(reading);
            self.refresh_checklist();
        }
    }

    pub(crate) fn fact_word(&self, seq: Seq) -> &'static str {
        self.session
            .as_ref()
            .and_then(|session| session.file().facts().iter().find(|fact| fact.seq == seq))
            .map_or("fact", |fact| fact.body.word())
    }

    /// The reading that withdrawing and reading again are about: the selected one, else the last.
    fn pointed_at(&self) -> Option<Pointed> {
        let session = self.session.as_ref()?;
        let there = |seq: Seq| self.is_shown(seq).then_some(seq);
        let stands_out = session.advice().stand_out.first().and_then(|first| there(first.seq));
        let last = || session.state().round()?.in_use().next_back().map(|entry| entry.seq);
        let seq = self.selected.and_then(there).or(stands_out).or_else(last)?;
        let differences = session.differences().map(|differences| &differences.rows);
        if let Some(row) = differences.and_then(|rows| rows.iter().find(|row| row.seq == seq)) {
            let (rings, purpose) = (row.rings.clone(), row.purpose);
            let withdrawn = row.withdrawn.clone();
            let words = row.words();
            return Some(Pointed { seq, words, channel: None, rings, purpose, withdrawn });
        }
        let (channel, row) = session.log().find(seq)?;
        let (words, purpose) = (capital(&row.words(channel)), row.purpose);
        let mut rings = PerChannel::default();
        rings[channel] = row.ring;
        let withdrawn = row.withdrawn;
        Some(Pointed { seq, words, channel: Some(channel), rings, purpose, withdrawn })
    }

    /// Whether the log shows a reading.
    fn is_shown(&self, seq: Seq) -> bool {
        self.session.as_ref().is_some_and(|session| match session.differences() {
            Some(differences) => differences.rows.iter().any(|row| row.seq == seq),
            None => session.log().log.find(seq).is_some(),
        })
    }

    /// Turns the entry row to the place of the reading pointed at.
    pub(crate) fn read_again(&mut self) {
        let Some(Pointed { words, channel, rings, purpose, withdrawn, .. }) = self.pointed_at()
        else {
            return;
        };
        self.lay_by();
        self.entry.turn_to(channel.unwrap_or(self.entry.channel));
        if purpose == Purpose::Log {
            self.entry.turn_to_purpose(Purpose::Log);
            for (of, ring) in rings.iter() {
                if channel.is_none_or(|channel| channel == of) {
                    self.entry.ring[of] = ring.clone().unwrap_or_default();
                }
            }
        }
        let both = if withdrawn.is_some() { "" } else { " Both count until one is withdrawn." };
        self.say(format!("Read again: {words}.{both}"));
    }

    /// Why a reading stands out, if it does.
    fn likely_cause(&self, seq: Seq) -> Option<String> {
        let stand_out = &self.session.as_ref()?.advice().stand_out;
        let stands_out = stand_out.iter().find(|stands_out| stands_out.seq == seq)?;
        Some(format!("stands out: {}", stands_out.cause))
    }

    /// Withdraws the first reading that stands out, its likely cause being the reason.
    pub(crate) fn leave_out(&mut self) {
        let first = self.session.as_ref().and_then(|session| {
            let first = session.advice().stand_out.first()?;
            Some(Withdrawn { reading: first.seq, reason: format!("stands out: {}", first.cause) })
        });
        let Some(withdrawn) = first else { return };
        let reason = withdrawn.reason.clone();
        if self.append(Body::Withdrawn(withdrawn)).is_ok() {
            self.say(format!("Withdrawn, {reason}. Undo brings it back."));
        }
    }

    /// Turns the entry row to the reading most worth taking.
    pub(crate) fn take_next_place(&mut self) {
        let next = self.session.as_ref().and_then(|session| session.advice().next);
        let Some(next) = next else { return };
        self.lay_by();
        self.entry.turn_to_purpose(Purpose::Log);
        self.entry.turn_to(next.channel);
        self.entry.ring[next.channel] = next
            .ring_deg
            .map_or_else(String::new, |deg| paper::words::number(deg.round() % 360.0, 0));
    }

    pub(crate) fn show_withdraw_sheet(&mut self) {
        let pointed = self.pointed_at();
        if let Some(Pointed { words, withdrawn: Some(reason), .. }) = &pointed {
            let (words, reason) = (words.clone(), reason.trim_end_matches('.').to_owned());
            self.say(format!("{words} is withdrawn already: {reason}."));
            return;
        }
        let chosen = pointed.map(|pointed| WithdrawSheet {
            reason: self.likely_cause(pointed.seq).unwrap_or_default(),
            seq: pointed.seq,
            words: pointed.words,
            refused: None,
        });
        match chosen {
            None => self.say("There is no reading to withdraw in this round."),
            Some(sheet) => {
                self.selected = Some(sheet.seq);
                self.bring(Sheet::Withdraw(sheet));
                self.redraw();
            }
        }
    }

    pub(crate) fn withdraw_now(&mut self) {
        let Sheet::Withdraw(sheet) = &mut self.front else { return };
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
                if let Sheet::Withdraw(sheet) = &mut self.front {
                    sheet.refused = Some(why.to_string());
                }
            }
        }
    }
}

fn shown_ring(reading: &Reading, channel: Channel) -> String {
    reading.ring_deg(channel).map_or_else(String::new, |typed| typed.text().to_owned())
}
