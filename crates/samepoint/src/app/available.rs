//! Whether a command can do anything now, and why not: for the list of commands and for buttons.

use super::session::OpenSession;
use crate::ui_command::{Need, UiCommand};

/// Where no session is open.
pub const NO_SESSION: &str = "No session is open: start one (Ctrl+N) or open one (Ctrl+O).";
/// Where a view needs a station.
pub(super) const NO_STATION: &str = "No station is chosen: choose one under Set up (Ctrl+1).";
/// Where what follows needs both circles.
pub(super) const BOTH_CIRCLES: &str = "Both circles have to be known first: log both channels.";
/// Where readings contradict the stated scatter.
pub(super) const DO_NOT_FIT: &str = "The readings do not fit what the station says they scatter by: nothing \
                                     is judged. Look for one misread.";
/// Why nothing is read as found any more.
pub(super) const RINGS_TURNED: &str =
    "A reading was logged, so rings have been turned: as found is over.";

/// Why a command can do nothing now; `None`: it can.
#[must_use]
pub fn unavailable(command: UiCommand, session: Option<&OpenSession>) -> Option<&'static str> {
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
