//! Countersigning several sessions: each was looked at by itself and marked, and is held to what it was then.

use std::path::{Path, PathBuf};

use paper::words::capital;

use super::marked::{MarkedSession, SessionSeen};
use super::not_given::NotGiven;
use super::{Reviewed, Reviewing};
use crate::shell::Shell;
use crate::shell::effect::{ReviewAnswer, SeveralAnswers};

impl Reviewing {
    /// Whether a session is marked.
    #[must_use]
    pub fn is_marked(&self, path: &Path) -> bool {
        self.marked.iter().any(|marked| marked.path == path)
    }

    /// Marks the session looked over, or takes its mark away.
    ///
    /// # Errors
    /// Why it cannot be countersigned.
    pub(super) fn turn_mark(&mut self) -> Result<(), NotGiven> {
        let Some(open) = &self.open else { return Ok(()) };
        let path = open.path.clone();
        if self.is_marked(&path) {
            self.take_mark(&path);
            return Ok(());
        }
        if let Some(why) = open.not_to_countersign() {
            return Err(NotGiven::Countersignature(why));
        }
        self.notice.clear();
        self.marked.push(MarkedSession::of(&open.account));
        Ok(())
    }

    /// Takes a mark away.
    pub(super) fn take_mark(&mut self, path: &Path) {
        self.marked.retain(|marked| marked.path != path);
    }

    /// An answer for each session marked, or why there is none: each file is read again, and asked for what one
    /// alone is asked for.
    ///
    /// # Errors
    /// Why nothing is answered at all.
    pub(super) fn several(&self, shell: &Shell) -> Result<SeveralAnswers, NotGiven> {
        let hand = self.answering_hand()?;
        let mut several = SeveralAnswers::default();
        for marked in &self.marked {
            match self.one_of_several(marked, &hand, shell) {
                Ok(answer) => several.answers.push(answer),
                Err(why) => several.refused.push((marked.path.clone(), why.to_string())),
            }
        }
        Ok(several)
    }

    fn one_of_several(
        &self,
        marked: &MarkedSession,
        hand: &str,
        shell: &Shell,
    ) -> Result<ReviewAnswer, NotGiven> {
        let mut open = Reviewed::open(marked.path.clone())?;
        if !marked.seen.has_lines_of(&open.account) {
            return Err(NotGiven::WrittenSince);
        }
        // The same lines name the same pictures: what they gave when it was looked at stands.
        open.account.take_read_again(marked.frames.clone());
        if marked.seen != SessionSeen::of(&open.account) {
            return Err(NotGiven::SaidOtherwiseSince);
        }
        let account = &open.account;
        let practice = account.answerable.practice;
        let format = account.session.format();
        let beside = account.beside.as_ref();
        let seal = shell.seal_choice_beside(beside, format, practice).chosen_as(&self.seal);
        self.answer_of(&open, (hand, &seal), true, shell)
    }

    /// Tells what became of the sessions marked: of each that was countersigned its file, of each that was
    /// not why.
    pub(crate) fn were_answered(&mut self, done: &[PathBuf], refused: Vec<(PathBuf, String)>) {
        let named: Vec<String> = done.iter().map(|path| super::marked::name_of(path)).collect();
        self.marked.retain(|marked| !done.contains(&marked.path));
        let not_done = refused.len();
        for (path, why) in refused {
            if let Some(marked) = self.marked.iter_mut().find(|marked| marked.path == path) {
                marked.refused = Some(capital(&why));
            }
        }
        let said = match (named.len(), not_done) {
            (0, _) => "None was countersigned.".to_owned(),
            (count, 0) => format!("All {count} countersigned: {}.", named.join(", ")),
            (count, not) => {
                format!("{count} countersigned: {}. {not} not; each says why.", named.join(", "))
            }
        };
        if not_done == 0 {
            self.comment.clear();
            self.hand.clear();
        }
        self.notice = said;
    }
}
