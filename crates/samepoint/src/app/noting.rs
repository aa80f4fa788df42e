//! Noting in the shop's ledger what was signed, countersigned and returned: once it is on disk, on a thread
//! of its own, and again after a while where it cannot be done. What nobody noted is looked for when a
//! shop is opened.

use std::path::{Path, PathBuf};
use std::sync::mpsc::{Receiver, TryRecvError, channel};
use std::time::{Duration, Instant};

use record::fact::Seq;
use record::ledger::{Noting, note_all, note_session};
use record::review::Beside;
use record::{Error, FileOptions};

use super::App;
use super::opening::program;

/// How long after a try that failed the next one comes.
const AGAIN_AFTER: Duration = Duration::from_secs(5);

/// What waits to be noted.
#[derive(Default)]
pub(super) struct ToNote {
    waiting: Vec<Wanted>,
    working: Option<Receiver<Done>>,
    /// When the last try failed.
    failed: Option<Instant>,
    /// Whether that was said.
    said: bool,
}

/// How each of some went.
type Done = Vec<(Wanted, Result<usize, Error>)>;

/// Something to note.
#[derive(Clone, Debug)]
enum Wanted {
    /// What was saved in a session just now.
    Saved { shop: PathBuf, session: PathBuf, facts: Vec<Seq> },
    /// Whatever nobody noted in a shop.
    Missed { shop: PathBuf },
}

impl Wanted {
    fn note(&self, hand: &str, options: &FileOptions) -> Result<usize, Error> {
        let noting = |agreed| Noting {
            program: program(),
            hand: hand.to_owned(),
            agreed,
            options: options.clone(),
        };
        match self {
            // Where the session could be written, a hand agreed to whatever the disk lacks.
            Self::Saved { shop, session, facts } => {
                note_session(shop, session, facts, &noting(true))
            }
            Self::Missed { shop } => note_all(shop, &noting(false)),
        }
    }
}

impl App {
    /// Facts of a session were saved: those that sign, countersign or return are to be noted.
    pub(super) fn note_signed(&mut self, session: &Path, facts: Vec<Seq>) {
        if facts.is_empty() {
            return;
        }
        if let Some(shop) = Beside::folder_of(session) {
            let session = session.to_owned();
            self.to_note.waiting.push(Wanted::Saved { shop, session, facts });
            self.to_note.failed = None;
        }
    }

    /// A shop was opened: what nobody noted there is to be.
    pub(super) fn note_missed(&mut self, shop: &Path) {
        self.to_note.waiting.push(Wanted::Missed { shop: shop.to_owned() });
        self.to_note.failed = None;
    }

    /// Hears how the noting went, and starts it where something waits.
    pub(super) fn hear_noting(&mut self, ctx: &egui::Context) {
        if let Some(working) = &self.to_note.working {
            match working.try_recv() {
                Ok(done) => self.noted(done),
                Err(TryRecvError::Empty) => return,
                Err(TryRecvError::Disconnected) => self.to_note.working = None,
            }
        }
        if self.to_note.waiting.is_empty() {
            return;
        }
        if let Some(failed) = self.to_note.failed
            && let Some(left) = AGAIN_AFTER.checked_sub(failed.elapsed())
        {
            ctx.request_repaint_after(left);
            return;
        }
        let wanted = std::mem::take(&mut self.to_note.waiting);
        let (sender, receiver) = channel();
        let (hand, wake) = (self.preferences.hand.clone(), self.wake.clone());
        // Only the end of it is news: the window is not drawn anew for each line of a ledger.
        let options = FileOptions { wake: std::sync::Arc::new(|| ()), ..self.file_options() };
        let kept = wanted.clone();
        let note = move || {
            let each = wanted.into_iter().map(|one| {
                let done = one.note(&hand, &options);
                (one, done)
            });
            let done: Done = each.collect();
            // The window may be gone; what it did not hear is found the next time.
            if sender.send(done).is_ok() {
                wake();
            }
        };
        match std::thread::Builder::new().name("ledger".to_owned()).spawn(note) {
            Ok(_) => self.to_note.working = Some(receiver),
            Err(error) => {
                log::warn!("no thread for the ledger: {error}");
                self.to_note.waiting = kept;
                self.to_note.failed = Some(Instant::now());
            }
        }
    }

    fn noted(&mut self, done: Done) {
        let mut refused = None;
        for (wanted, result) in done {
            let Err(why) = result else { continue };
            log::warn!("the ledger: {why}");
            // What nobody asked for is not worth a hand's word; it is tried at the next opening.
            if let Wanted::Saved { .. } = wanted {
                refused = Some(why);
                self.to_note.waiting.push(wanted);
            }
        }
        self.to_note.working = None;
        self.to_note.failed = refused.is_some().then(Instant::now);
        match refused {
            Some(why) if !self.to_note.said => {
                self.to_note.said = true;
                self.warnings.push(format!(
                    "Saved, but not noted in the shop’s ledger yet: {why}. It is tried again, and when the \
                     shop is opened next."
                ));
            }
            Some(_) => {}
            None => self.to_note.said = false,
        }
    }

    /// Notes what still waits, before the window closes. What cannot be noted is found the next time.
    pub(super) fn note_before_leaving(&mut self) {
        if let Some(working) = self.to_note.working.take()
            && let Ok(done) = working.recv_timeout(AGAIN_AFTER)
        {
            self.noted(done);
        }
        let (hand, options) = (self.preferences.hand.clone(), self.file_options());
        for wanted in std::mem::take(&mut self.to_note.waiting) {
            if let Wanted::Saved { .. } = wanted
                && let Err(why) = wanted.note(&hand, &options)
            {
                log::warn!("the ledger: {why}");
            }
        }
    }

    /// Whether anything waits to be noted.
    #[must_use]
    pub fn is_noting(&self) -> bool {
        self.to_note.working.is_some() || !self.to_note.waiting.is_empty()
    }
}
