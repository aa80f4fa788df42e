//! Noting what was signed, once it is on disk, on a thread of its own.

use super::ledger::{AGAIN_AFTER, NotingOutcomes, ToNote, Wanted};
use crate::app::App;
use crate::jobs::Broken;
use record::FileOptions;
use record::fact::Seq;
use record::review::Beside;
use std::path::Path;
use std::time::Instant;

impl App {
    /// Facts of a session were saved: those that sign, countersign or return are to be noted.
    pub(crate) fn note_signed(&mut self, session: &Path, facts: Vec<Seq>) {
        if facts.is_empty() {
            return;
        }
        if let Some(shop) = Beside::folder_of(session) {
            let session = session.to_owned();
            self.wait_to_note(Wanted::Saved { shop, session, facts });
        }
    }

    /// A calibration in the shop was signed: that is to be noted.
    pub(crate) fn note_calibrated(&mut self, calibration: &Path, facts: Vec<Seq>) {
        let shop = self.shell.shop.offers().folder.clone();
        let calibration = calibration.to_owned();
        self.wait_to_note(Wanted::Calibrated { shop, calibration, facts });
    }

    /// What nobody noted in a shop is to be noted.
    pub(crate) fn note_missed(&mut self, shop: &Path) {
        self.wait_to_note(Wanted::Missed { shop: shop.to_owned(), read: None });
    }

    /// The same in a shop that is just being opened, once its sessions are read or nobody reads them.
    pub(crate) fn note_missed_of_opened(&mut self, shop: &Path) {
        let before = self.to_note.opened.replace(shop.to_owned());
        (self.to_note.failed, self.to_note.broken) = (None, false);
        // Nobody waits for that one any more.
        if let Some(before) = before.filter(|before| before != shop) {
            self.note_missed(&before);
        }
    }

    /// The same in a shop that was opened. Where its sessions are being read that is waited for: then only files
    /// are read again in which something may be missing.
    fn note_missed_in_opened(&mut self) {
        if self.places.shop.is_looking_at_opened() {
            return;
        }
        if let Some(shop) = self.to_note.opened.take() {
            let read = self.places.shop.survey.clone();
            self.wait_to_note(Wanted::Missed { shop, read });
        }
    }

    fn wait_to_note(&mut self, wanted: Wanted) {
        self.to_note.waiting.push(wanted);
        self.to_note.failed = None;
        self.to_note.broken = false;
    }

    /// Hears how the noting went, and starts it where something waits.
    pub(crate) fn hear_noting(&mut self, ctx: &egui::Context) {
        self.note_missed_in_opened();
        if let Some(done) = self.to_note.working.hear() {
            self.noted(done);
        }
        let to_note = &self.to_note;
        if to_note.working.is_going_on() || to_note.waiting.is_empty() || to_note.broken {
            return;
        }
        if let Some(failed) = self.to_note.failed
            && let Some(left) = AGAIN_AFTER.checked_sub(failed.elapsed())
        {
            ctx.request_repaint_after(left);
            return;
        }
        let wanted = std::mem::take(&mut self.to_note.waiting);
        let hand = self.shell.known_hand().to_owned();
        // Only the end of it is news: the window is not drawn anew for each line of a ledger.
        let options = FileOptions { wake: std::sync::Arc::new(|| ()), ..self.shell.file_options() };
        self.to_note.under_way.clone_from(&wanted);
        let workers = self.shell.workers();
        self.to_note.working.start(&workers, move || {
            let each = wanted.into_iter().map(|one| {
                let done = one.note(&hand, &options);
                (one, done)
            });
            each.collect()
        });
    }

    fn noted(&mut self, done: Result<NotingOutcomes, Broken>) {
        let under_way = std::mem::take(&mut self.to_note.under_way);
        let mut refused = None;
        match done {
            Err(broken) => {
                refused = Some(broken.to_string());
                // What panicked once may again: it waits for another occasion, not for a few seconds.
                self.to_note.broken = broken.never_began.is_none();
                self.to_note.waiting.extend(under_way);
            }
            Ok(done) => {
                for (wanted, result) in done {
                    let Err(why) = result else { continue };
                    log::warn!("the ledger: {why}");
                    // What nobody asked for is not worth a hand's word; it is tried at the next opening.
                    if wanted.is_asked() {
                        refused = Some(format!(
                            "Saved, but not noted in the shop’s ledger yet: {why}. It is tried again, and \
                             when the shop is opened next."
                        ));
                        self.to_note.waiting.push(wanted);
                    }
                }
            }
        }
        self.to_note.failed = refused.is_some().then(Instant::now);
        match refused {
            Some(why) if !self.to_note.said => {
                self.to_note.said = true;
                self.shell.warnings.push(why);
            }
            Some(_) => {}
            None => self.to_note.said = false,
        }
    }

    /// Notes what still waits, before the window closes. What cannot be noted is found the next time.
    pub(crate) fn note_before_leaving(&mut self) {
        if let Some(done) = self.to_note.working.wait(AGAIN_AFTER) {
            self.noted(done);
        }
        if self.to_note.broken {
            return;
        }
        let (hand, options) = (self.shell.known_hand().to_owned(), self.shell.file_options());
        for wanted in std::mem::take(&mut self.to_note.waiting) {
            if wanted.is_asked()
                && let Err(why) = wanted.note(&hand, &options)
            {
                log::warn!("the ledger: {why}");
            }
        }
    }

    /// Whether anything waits to be noted.
    #[must_use]
    pub fn is_noting(&self) -> bool {
        let ToNote { waiting, opened, working, .. } = &self.to_note;
        working.is_going_on() || !waiting.is_empty() || opened.is_some()
    }
}
