//! Whether a command can do anything now, and why not: for the list of commands and for buttons.

use crate::bench::session::OpenSession;
use crate::shell::refusals::{NO_SESSION, RINGS_TURNED};
use crate::ui_command::{Need, UiCommand};

/// Why a command can do nothing now; `None`: it can.
#[must_use]
pub(crate) fn unavailable(
    command: UiCommand,
    session: Option<&OpenSession>,
) -> Option<&'static str> {
    let needs = command.needs();
    match session {
        None if needs.iter().all(|need| *need == Need::Told) => None,
        None => Some(NO_SESSION),
        Some(session) => needs.iter().find_map(|need| lacking(*need, session)),
    }
}

/// Why a session does not have what is needed.
fn lacking(need: Need, session: &OpenSession) -> Option<&'static str> {
    let (there, why) = match need {
        Need::Session => return None,
        Need::Told => return session.told().err(),
        Need::Writing => (session.is_writable(), "This session is read only here."),
        Need::SomethingToUndo => (session.state().undo().is_some(), "There is nothing to undo."),
        Need::SomethingToRedo => (session.state().redo().is_some(), "There is nothing to redo."),
        Need::RingsUntouched => (session.as_found_possible(), RINGS_TURNED),
        Need::Reading => (!session.shown().is_empty(), "There is no reading in this round."),
        Need::InventedUnit => (
            session.is_practice(),
            "This is a real unit: only an invented one is turned from here and hides its truth.",
        ),
        Need::StandOut => (!session.advice().stand_out.is_empty(), "No reading stands out."),
        Need::NextReading => (
            session.advice().next.is_some(),
            "Not known: both channels must be logged and their circles cross.",
        ),
    };
    (!there).then_some(why)
}
