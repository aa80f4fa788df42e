//! Answers from review on their way to disk: into the bench's own session, or into one that lies in the shop.

use crate::shell::refusals::Refusal;
use std::path::{Path, PathBuf};

use record::fact::{Body, Seq};
use record::{Access, SaveState, SessionFile};

use super::App;
use super::action::Action;
use crate::places::Place;
use crate::places::review::ReviewAction;
use crate::places::review::apply::ShopRead;
use crate::shell::effect::ReviewAnswer;
use crate::shell::sealing::SealWanted;

/// How long the window waits for an answer to reach the disk.
const LONGEST: std::time::Duration = std::time::Duration::from_secs(2);

impl App {
    pub(super) fn review_action(&mut self, action: ReviewAction) {
        let again = Action::Review(action.clone());
        let effects = self.places.review.apply(action, &mut self.shell);
        if let Err(why) = self.follow(effects, &again) {
            self.places.review.refused = Some(why.to_string());
        }
        self.tell_risk();
    }

    pub(crate) fn come_to_review(&mut self) {
        let at_bench = self.session.as_ref().map(|session| session.file().path().to_owned());
        self.places.review.come(at_bench, &self.shell);
    }

    /// Looks a session over, wherever the hand was.
    pub(super) fn review_session(&mut self, path: PathBuf) {
        if self.place != Place::Review {
            self.came_from = Some(self.place);
        }
        self.place = Place::Review;
        self.places.review.look_over(path, &self.shell);
    }

    /// Tells what is supposed would do in this shop, which takes its sessions.
    pub(super) fn tell_risk(&mut self) {
        let shop = &self.places.shop;
        let read = ShopRead { survey: shop.survey.as_deref(), refused: shop.refused.as_deref() };
        let wanted = self.places.review.tell_risk(read, &self.shell);
        if wanted && !self.places.shop.reading.is_going_on() {
            self.places.shop.read_sessions(&self.shell);
        }
    }

    /// Adds an answer; then it is noted in the ledger, and sealed where a key was chosen.
    ///
    /// # Errors
    /// Why it is not on disk.
    pub(super) fn answer(&mut self, answer: ReviewAnswer) -> Result<(), Refusal> {
        let ReviewAnswer { path, body, hand, agreed, with } = answer;
        self.named_on_sheet(&hand);
        let (seq, line_hash) = self.append_to(&path, body, &hand)?;
        self.places.shop.look_for_returns(&self.shell);
        self.places.review.look_over(path.clone(), &self.shell);
        self.shell.sealing = None;
        self.places.review.was_answered(agreed);
        if let Some(with) = with {
            let word = if agreed { "countersigned" } else { "returned" };
            self.seal_soon(SealWanted { path, seq, word, hand, line_hash, with });
        }
        Ok(())
    }

    /// Adds an answer to a session, whether it is the bench's own or lies in the shop. Its `seq`, and what a
    /// seal over it is made of.
    pub(super) fn append_to(
        &mut self,
        path: &Path,
        body: Body,
        hand: &str,
    ) -> Result<(Seq, Option<String>), Refusal> {
        let now = self.shell.services.clock.now();
        let unit = self.entry.unit;
        if let Some(session) = self.session.as_mut().filter(|open| open.file().path() == path) {
            let seq = session.append(body, now, hand, unit)?;
            // An answer is shown as given only when it is on disk; a slow disk is not waited for long.
            let begun = std::time::Instant::now();
            while matches!(session.file().save_state(), SaveState::Saving { .. })
                && begun.elapsed() < LONGEST
            {
                std::thread::sleep(std::time::Duration::from_millis(2));
                self.shell.warnings.extend(session.hear(now));
            }
            return match session.file().save_state() {
                SaveState::Saved | SaveState::Written => {
                    Ok((seq, session.file().signing_hash(seq).map(str::to_owned)))
                }
                _ => Err(Refusal::Waits(session.saved().words().to_owned())),
            };
        }
        let mut file = SessionFile::open(path, self.shell.file_options())?;
        if !matches!(file.access(), Access::Writing) {
            return Err(Refusal::OnlyRead(file.access().clone()));
        }
        record::fold(file.facts()).admits_from(hand, &body)?;
        let seq = file.append(body, now, hand)?;
        file.finish()?;
        let line_hash = file.signing_hash(seq).map(str::to_owned);
        self.note_signed(path, vec![seq]);
        Ok((seq, line_hash))
    }
}
