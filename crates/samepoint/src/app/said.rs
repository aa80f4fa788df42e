//! What is said above everything else for as long as it holds: warnings, why nothing can be written, what
//! waits, and what can be done about it.

use std::path::{Path, PathBuf};

use egui::{Button, Ui, vec2};
use record::file::Disk;
use record::{Access, Error, ReadOnlyReason, SessionFile};

use super::kept_file::Mend;
use super::waiting::{Held, WaitingAction};
use super::{Action, App};
use crate::theme::TARGET;
use crate::widgets::{TellOnHover, Tone, message_ui};

impl App {
    /// Why facts cannot be added to the open session, if they cannot.
    fn access_words(&self) -> Option<String> {
        let session = self.session.as_ref()?;
        match session.file().access() {
            Access::Writing => None,
            access => Some(paper::words::capital(&access.to_string())),
        }
    }

    pub(super) fn warnings_ui(&self, ui: &mut Ui, said: &Said, actions: &mut Vec<Action>) {
        let palette = self.preferences.lighting.palette();
        let waiting = said.waiting.iter().map(|(_, words)| words);
        for words in self.warnings.iter().chain(&said.access).chain(&said.to_agree).chain(waiting) {
            message_ui(ui, palette, Tone::Look, words, false);
        }
        ui.horizontal_wrapped(|ui| {
            let mut offer = |text: &str, tip: &str, action: Action| {
                let button = Button::new(text).min_size(vec2(0.0, TARGET));
                if ui.add(button).tell_on_hover(tip).clicked() {
                    actions.push(action);
                }
            };
            if !self.warnings.is_empty() || said.to_agree.is_some() {
                offer("Understood", "Put these sentences away.", Action::Understood);
            }
            let mends =
                self.session.as_ref().map_or(&[][..], |session| session_mends(session.file()));
            let agree = said.to_agree.is_some() && !mends.contains(&Mend::Agree);
            for mend in agree.then_some(&Mend::Agree).into_iter().chain(mends) {
                let action = match mend {
                    Mend::Agree => Action::Agree,
                    Mend::Retry => Action::Retry,
                    Mend::SetEndAside => Action::SetEndAside,
                    Mend::Continue => Action::Continue,
                };
                offer(mend.text(), mend.tip(), action);
            }
            if self.session.as_ref().is_some_and(|session| {
                matches!(session.file().access(), Access::ReadOnly(ReadOnlyReason::Damaged(_)))
            }) {
                let tip = "Make a new session of all that still verifies, behind the damage too, \
                           marked as salvaged for ever. The damaged file stays as it is.";
                offer("Salvage into a new file", tip, Action::Salvage);
            }
            if let Some(unread) = &self.to_salvage {
                offer(unread.text(), unread.tip(), Action::SalvageUnread);
            }
            // Those of the session have their buttons here; a check or study says more on its own.
            for (held, _) in said.waiting.iter().filter(|(held, _)| *held != Held::Session) {
                let tip = "Try again, write them elsewhere, or discard them.";
                offer("What waits…", tip, Action::Waiting(WaitingAction::Show(*held)));
            }
        });
    }

    /// What is said above everything else for as long as it holds.
    pub(super) fn said(&self) -> Said {
        Said {
            access: self.access_words(),
            to_agree: self.to_agree.as_ref().map(|(_, why)| format!("{why}.")),
            waiting: self.waiting_words(),
        }
    }
}

/// A file whose first line is lost while lines of a session verify behind it.
#[derive(Clone, Debug)]
pub(super) struct ToSalvage {
    /// The file.
    pub(super) path: PathBuf,
    /// Whether only a hand can tell whether its unit was a real one.
    pub(super) wants_word: bool,
}

impl ToSalvage {
    /// Of a file that could not be opened for this reason, if it can be salvaged; and what verifies in it.
    pub(super) fn of(path: &Path, why: &Error, disk: &dyn Disk) -> Option<(Self, String)> {
        if !matches!(why, Error::Damaged { .. } | Error::WrongFile { .. }) {
            return None;
        }
        let found = record::file::salvage(path, disk.open_read(path).ok()?).ok()?;
        let wants_word = found.wants_word();
        let worth = !found.is_whole && !found.facts.is_empty();
        worth
            .then(|| (Self { path: path.to_owned(), wants_word }, found.words().replace('\n', " ")))
    }

    const fn text(&self) -> &'static str {
        if self.wants_word {
            "It was a real unit: salvage into a new file"
        } else {
            "Salvage the unreadable file into a new one"
        }
    }

    const fn tip(&self) -> &'static str {
        if self.wants_word {
            "Nothing that verifies tells whether its unit was a real one or of practice: pressing says that \
             it was real, and that stays noted. The new session is marked as salvaged for ever; the \
             damaged file stays as it is."
        } else {
            "Make a new session of all that still verifies, marked as salvaged for ever. The damaged file \
             stays as it is."
        }
    }
}

/// What would help the open session. One that another has open, or that is only looked at, wants nothing.
fn session_mends(file: &SessionFile) -> &'static [Mend] {
    match file.access() {
        Access::ReadOnly(ReadOnlyReason::InUse(_) | ReadOnlyReason::Asked) => &[],
        _ => Mend::of(file),
    }
}

/// What is said above everything else for as long as it holds, besides warnings.
pub(super) struct Said {
    /// Why facts cannot be added to the open session.
    access: Option<String>,
    /// What the hand must agree to before something is begun.
    to_agree: Option<String>,
    /// What waits to be written.
    waiting: Vec<(Held, String)>,
}

impl Said {
    pub(super) const fn is_something(&self) -> bool {
        self.access.is_some() || self.to_agree.is_some() || !self.waiting.is_empty()
    }
}
