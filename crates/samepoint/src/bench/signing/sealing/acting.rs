//! Having a seal made, and keeping it.

use super::SealSheet;
use crate::app::App;
use crate::places::Place;
use crate::sealing::ToSeal;
use crate::sheets::Sheet;
use crate::shell::refusals::NO_SESSION;
use crate::shell::sealing::SealRefused;
use crate::shell::sealing::SealWanted;
use crate::shell::sealing::choice::SealChoice;
use crate::shell::sealing::running::{RunningSeal, SealProgress, start};
use paper::words::capital;
use record::review::{Beside, review};
use record::{Access, Body, RealDisk, SaveState, Seq, SessionFile, SessionKind};
use std::path::Path;

/// What a seal that was made is over is not in the file any more.
/// Why a seal that was made is not added.
#[derive(Debug, thiserror::Error)]
enum SealNotAdded {
    /// The file is only read.
    #[error("{0}")]
    OnlyRead(Access),
    /// Not the line that was sealed.
    #[error("the file was written anew while the key was waited for")]
    OtherLine,
    /// The record.
    #[error(transparent)]
    Record(#[from] record::Error),
}

/// Why there is nothing to seal.
#[derive(Debug, thiserror::Error)]
enum NothingToSeal {
    /// Nobody answers for practice.
    #[error("practice is not sealed")]
    Practice,
    /// No signature.
    #[error("nothing in force is signed there, so there is nothing to seal")]
    NothingSigned,
    /// None without its seal.
    #[error("all that is signed there is sealed")]
    AllSealed,
    /// The record.
    #[error(transparent)]
    Record(#[from] record::Error),
}

impl App {
    /// The seal that is being made, or was made last.
    #[must_use]
    pub const fn sealing(&self) -> Option<&RunningSeal> {
        self.shell.sealing.as_ref()
    }

    /// What may be chosen for a session: its shop as it stands now.
    pub(crate) fn seal_choice(&self, path: &Path, format: u32, practice: bool) -> SealChoice {
        let path = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
        self.shell.seal_choice_beside(Beside::of(&path).as_ref(), format, practice)
    }

    /// Seals what was just signed or answered, once it is on disk.
    pub(crate) fn seal_soon(&mut self, wanted: SealWanted) {
        let SealWanted { path, seq, word, hand, line_hash, with } = wanted;
        let day = self.shell.services.clock.now().date();
        let is_saved = line_hash.is_some();
        let what = ToSeal { seq, word, hand, day, line_hash: line_hash.unwrap_or_default() };
        let mut running = RunningSeal { path, what, with, progress: SealProgress::Saving };
        if is_saved {
            running.progress = start(&self.shell.services.openssh, &running, &self.shell.workers());
        }
        self.shell.sealing = Some(running);
        self.hear_sealing();
    }

    /// Hears how the seal goes, and does what comes next.
    pub(crate) fn hear_sealing(&mut self) {
        let Some(mut running) = self.shell.sealing.take() else { return };
        let before = running.is_going_on();
        running.progress = match std::mem::take(&mut running.progress) {
            SealProgress::Saving => self.sealed_when_saved(&mut running),
            SealProgress::Waiting(mut waiting) => match waiting.hear() {
                None => SealProgress::Waiting(waiting),
                Some(Ok(sshsig)) => self.keep_seal(&running, sshsig),
                Some(Err(why)) => SealProgress::Not(why.to_string()),
            },
            SealProgress::Keeping { seq, said } => self.kept(&running, seq, said),
            done => done,
        };
        let told = (before && !running.is_going_on()).then(|| running.told());
        let path = running.path.clone();
        self.shell.sealing = Some(running);
        if let Some((_, said)) = told {
            self.say(said);
            self.look_again_at(&path);
        }
    }

    /// Starts the program once the line to be sealed is on disk.
    fn sealed_when_saved(&mut self, running: &mut RunningSeal) -> SealProgress {
        let Some(open) = self.session.as_ref().filter(|open| open.file().path() == running.path)
        else {
            return SealProgress::Not("the session was closed before it was on disk".to_owned());
        };
        let seq = running.what.seq;
        if open.file().unsaved().iter().any(|fact| fact.seq == seq) {
            return match open.file().save_state() {
                SaveState::Saving { .. } => SealProgress::Saving,
                _ => SealProgress::Not(format!("it waits to be written: {}", open.saved().words())),
            };
        }
        let fact = usize::try_from(seq.saturating_sub(1)).ok();
        let Some((hash, fact)) =
            open.file().signing_hash(seq).zip(fact.and_then(|at| open.file().facts().get(at)))
        else {
            return SealProgress::Not("its line is not in the file".to_owned());
        };
        running.what.line_hash = hash.to_owned();
        running.what.day = fact.time.date();
        start(&self.shell.services.openssh, running, &self.shell.workers())
    }

    /// Adds a seal that was made, if it may be kept.
    fn keep_seal(&mut self, running: &RunningSeal, sshsig: String) -> SealProgress {
        let path = &running.path;
        let whole = std::fs::canonicalize(path).unwrap_or_else(|_| path.clone());
        let hands = Beside::of(&whole).map(|beside| beside.hands).unwrap_or_default();
        let (said, body) = match running.what.take(sshsig, &hands) {
            Ok(taken) => taken,
            Err(why) => return SealProgress::Not(why.to_string()),
        };
        let (now, unit, what) = (self.shell.services.clock.now(), self.entry.unit, &running.what);
        let open = self.session.as_mut().filter(|open| open.file().path() == path);
        let added = match open {
            // The file was exchanged for another of its name meanwhile.
            Some(open) if open.file().signing_hash(what.seq) != Some(&what.line_hash) => {
                Err(SealNotAdded::OtherLine)
            }
            Some(open) => open.append(body, now, &what.hand, unit).map_err(SealNotAdded::from),
            None => self.sealed_elsewhere(running, body).map(|()| 0),
        };
        let with = &running.with;
        match added {
            Ok(seq) => {
                let files = &mut self.shell.preferences.key_files;
                files.insert(with.key.fingerprint.clone(), with.file.clone());
                if seq == 0 {
                    SealProgress::Sealed(said)
                } else {
                    SealProgress::Keeping { seq, said }
                }
            }
            Err(why) => SealProgress::Not(why.to_string()),
        }
    }

    /// Adds a seal to a session that is not on the bench.
    fn sealed_elsewhere(&self, running: &RunningSeal, body: Body) -> Result<(), SealNotAdded> {
        let what = &running.what;
        let opened = SessionFile::open(&running.path, self.shell.file_options());
        let mut file = opened?;
        if !matches!(file.access(), Access::Writing) {
            return Err(SealNotAdded::OnlyRead(file.access().clone()));
        }
        if file.signing_hash(what.seq) != Some(&what.line_hash) {
            return Err(SealNotAdded::OtherLine);
        }
        record::fold(file.facts()).admits(&body)?;
        file.append(body, self.shell.services.clock.now(), &what.hand)?;
        Ok(file.finish()?)
    }

    /// A seal is made only when it is on disk.
    fn kept(&self, running: &RunningSeal, seq: Seq, said: String) -> SealProgress {
        let Some(open) = self.session.as_ref().filter(|open| open.file().path() == running.path)
        else {
            return SealProgress::Not(
                "the session was closed before the seal was on disk".to_owned(),
            );
        };
        if !open.file().unsaved().iter().any(|fact| fact.seq == seq) {
            return SealProgress::Sealed(said);
        }
        match open.file().save_state() {
            SaveState::Saving { .. } => SealProgress::Keeping { seq, said },
            _ => {
                SealProgress::Not(format!("the seal waits to be written: {}", open.saved().words()))
            }
        }
    }

    /// What is looked over has a seal more.
    fn look_again_at(&mut self, path: &Path) {
        let looked_over = self.places.review.open.as_ref().is_some_and(|open| open.path == path);
        if self.place == Place::Review && looked_over {
            self.come_to_review();
        }
    }

    /// Stops waiting for a key, where that is what is in sight; whether anything was stopped.
    pub(crate) fn stop_sealing(&mut self) -> bool {
        let Some(RunningSeal { progress: SealProgress::Waiting(waiting), .. }) =
            &self.shell.sealing
        else {
            return false;
        };
        let in_sight = match &self.front {
            Sheet::Sign(_) | Sheet::Seal(_) => true,
            Sheet::Clear => self.place == Place::Review,
            _ => false,
        };
        if in_sight {
            waiting.stop();
        }
        in_sight
    }

    /// Ends what was started for a seal, before the window is gone.
    pub(crate) fn stop_sealing_before_leaving(&mut self) {
        if let Some(RunningSeal { progress: SealProgress::Waiting(waiting), .. }) =
            self.shell.sealing.take()
        {
            waiting.stop_now();
        }
    }

    /// Brings the sheet that seals what is not sealed: of what is looked over, or of the open session.
    pub(crate) fn show_seal_sheet(&mut self) {
        if let Some(running) = self.shell.sealing.as_ref().filter(|running| running.is_going_on()) {
            let (path, what) = (running.path.clone(), running.what.clone());
            self.bring(Sheet::Seal(SealSheet::of(path, what, SealChoice::default())));
            return;
        }
        let looked_over = self.places.review.open.as_ref().map(|open| open.path.clone());
        let on_bench = self.session.as_ref().map(|open| open.file().path().to_owned());
        let at_review = if self.place == Place::Review { looked_over } else { None };
        let Some(path) = at_review.or(on_bench) else {
            self.say_in_sight(NO_SESSION);
            return;
        };
        match self.to_seal(&path) {
            Ok(sheet) => {
                self.shell.sealing = None;
                self.bring(Sheet::Seal(sheet));
            }
            Err(why) => self.say_in_sight(&capital(&format!("{why}."))),
        }
    }

    /// Says something where the hand is: review has words of its own, other places go back to the bench.
    fn say_in_sight(&mut self, words: &str) {
        if self.place == Place::Review && self.places.review.open.is_some() {
            words.clone_into(&mut self.places.review.notice);
        } else if self.place != Place::Bench {
            self.go(Place::Bench);
        }
        self.say(words);
    }

    fn to_seal(&self, path: &Path) -> Result<SealSheet, NothingToSeal> {
        let account = review(path, &RealDisk)?;
        let session = &account.session;
        let practice = matches!(
            session.header.as_ref().map(|header| &header.kind),
            Some(SessionKind::Practice(_))
        );
        if practice {
            return Err(NothingToSeal::Practice);
        }
        if account.answerable.acts.is_empty() {
            return Err(NothingToSeal::NothingSigned);
        }
        let what = ToSeal::last_of(&account, None).ok_or(NothingToSeal::AllSealed)?;
        let beside = account.beside.as_ref();
        let seal = self.shell.seal_choice_beside(beside, session.format(), practice).only_to_seal();
        Ok(SealSheet::of(path.to_owned(), what, seal))
    }

    /// Seals what is on the sheet.
    pub(crate) fn seal_now(&mut self) {
        let Sheet::Seal(sheet) = self.front.clone() else { return };
        let may = self.shell.may_seal();
        let with = may
            .and_then(|()| Ok(sheet.seal.with(&sheet.what.hand)?))
            .and_then(|with| with.ok_or(SealRefused::NoKey));
        match with {
            Ok(with) => {
                if let Sheet::Seal(sheet) = &mut self.front {
                    sheet.refused = None;
                }
                let SealSheet { path, what, .. } = sheet;
                let mut running = RunningSeal { path, what, with, progress: SealProgress::Saving };
                running.progress =
                    start(&self.shell.services.openssh, &running, &self.shell.workers());
                self.shell.sealing = Some(running);
            }
            Err(why) => {
                if let Sheet::Seal(sheet) = &mut self.front {
                    sheet.refused = Some(why.to_string());
                    sheet.come_back = true;
                }
            }
        }
    }
}
