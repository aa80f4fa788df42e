//! Answers to several sessions, and going from one that waits to the next.

use std::path::PathBuf;

use super::App;
use crate::places::review::ReviewPart;
use crate::shell::effect::SeveralAnswers;
use crate::shell::open_shop::words_of;
use crate::shell::sealing::SealWanted;
use crate::shell::sealing::running::{RunningSeal, SealProgress};

impl App {
    /// Adds each answer by itself; what could not be added is told beside its session.
    pub(super) fn answer_several(&mut self, several: SeveralAnswers) {
        let SeveralAnswers { answers, mut refused } = several;
        let mut done: Vec<PathBuf> = Vec::new();
        for answer in answers {
            self.named_on_sheet(&answer.hand);
            match self.append_to(&answer.path, answer.body, &answer.hand) {
                Ok((seq, line_hash)) => {
                    done.push(answer.path.clone());
                    if let Some(with) = answer.with {
                        let (path, hand) = (answer.path, answer.hand);
                        let word = "countersigned";
                        let wanted = SealWanted { path, seq, word, hand, line_hash, with };
                        self.seals_waiting.push_back(wanted);
                    }
                }
                Err(why) => refused.push((answer.path, why.to_string())),
            }
        }
        self.places.review.were_answered(&done, refused);
        if let Some(open) = self.places.review.open.as_ref().map(|open| open.path.clone()) {
            self.places.review.look_over(open, &self.shell);
        }
        self.places.shop.read_sessions(&self.shell);
        self.sealing_several = false;
        self.seal_next_waiting();
    }

    /// Begins the next seal of several, once none is being made; none where the one before was not made.
    pub(crate) fn seal_next_waiting(&mut self) {
        if self.seals_waiting.is_empty() {
            return;
        }
        let not_made = |running: &RunningSeal| matches!(running.progress, SealProgress::Not(_));
        let stops = self.shell.sealing.as_ref().is_some_and(not_made);
        if stops && self.sealing_several {
            let left = std::mem::take(&mut self.seals_waiting);
            let names = left.iter().map(|one| words_of(&one.path)).collect::<Vec<_>>().join(", ");
            self.sealing_several = false;
            self.shell.warnings.push(format!(
                "Countersigned and not sealed, since the seal before was not made: {names}."
            ));
            return;
        }
        if self.shell.may_seal().is_ok()
            && let Some(next) = self.seals_waiting.pop_front()
        {
            self.shell.sealing = None;
            self.sealing_several = true;
            self.seal_soon(next);
        }
    }

    /// Looks over the session that waits for a countersignature next, oldest first, and is not marked.
    pub(super) fn review_next_waiting(&mut self) {
        if self.places.shop.survey.is_none() {
            if !self.places.shop.reading.is_going_on() {
                self.places.shop.read_sessions(&self.shell);
            }
            self.say("The shop’s sessions are being read; ask for the next one when they are.");
            return;
        }
        let here = self.places.review.open.as_ref().map(|open| open.path.clone());
        let waiting = self.places.shop.waiting_files(&self.shell);
        let marked = |path: &PathBuf| self.places.review.is_marked(path);
        let after = waiting.iter().position(|path| Some(path) == here.as_ref());
        let from = after.map_or(0, |place| place + 1);
        let next = waiting.iter().cycle().skip(from).take(waiting.len());
        let next = next.filter(|path| Some(*path) != here.as_ref()).find(|path| !marked(path));
        match next.cloned() {
            Some(path) => {
                self.review_session(path);
                self.places.review.part = ReviewPart::Account;
            }
            None => self.say("No other session waits for a countersignature."),
        }
    }
}
