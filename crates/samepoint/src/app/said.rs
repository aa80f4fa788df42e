//! What is said above everything else for as long as it holds: warnings, why nothing can be written, what
//! waits, and what can be done about it.

use egui::{Button, Ui, vec2};
use record::{Access, ReadOnlyReason, SessionFile};

use super::App;
use super::action::Action;
use crate::shell::held::Held;
use crate::shell::kept_file::Mend;
use crate::theme::TARGET;
use crate::waiting::WaitingAction;
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

    pub(crate) fn warnings_ui(&self, ui: &mut Ui, said: &Said, actions: &mut Vec<Action>) {
        let palette = self.shell.preferences.lighting.palette();
        let waiting = said.waiting.iter().map(|(_, words)| words);
        for words in
            self.shell.warnings.iter().chain(&said.access).chain(&said.to_agree).chain(waiting)
        {
            message_ui(ui, palette, Tone::Look, words, false);
        }
        ui.horizontal_wrapped(|ui| {
            let mut offer = |text: &str, tip: &str, action: Action| {
                let button = Button::new(text).min_size(vec2(0.0, TARGET));
                if ui.add(button).tell_on_hover(tip).clicked() {
                    actions.push(action);
                }
            };
            if !self.shell.warnings.is_empty() || said.to_agree.is_some() {
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
    pub(crate) fn said(&self) -> Said {
        Said {
            access: self.access_words(),
            to_agree: self.to_agree.as_ref().map(|(_, why)| format!("{why}.")),
            waiting: self.waiting_words(),
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
pub(crate) struct Said {
    /// Why facts cannot be added to the open session.
    access: Option<String>,
    /// What the hand must agree to before something is begun.
    to_agree: Option<String>,
    /// What waits to be written.
    waiting: Vec<(Held, String)>,
}

impl Said {
    pub(crate) const fn is_something(&self) -> bool {
        self.access.is_some() || self.to_agree.is_some() || !self.waiting.is_empty()
    }
}
