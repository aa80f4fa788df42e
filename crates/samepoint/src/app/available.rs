//! Whether a command can do anything now, and why not: for the list of commands and for buttons.

use super::session::OpenSession;
use crate::ui_command::UiCommand;

/// Why a command can do nothing now; `None`: it can.
#[must_use]
pub fn unavailable(command: UiCommand, session: Option<&OpenSession>) -> Option<&'static str> {
    use UiCommand as C;
    let adds_facts = matches!(
        command,
        C::Log
            | C::Choose
            | C::TakeRemedy
            | C::Withdraw
            | C::LeaveOut
            | C::Paste
            | C::Import
            | C::NewRound
            | C::Reseated
            | C::DioptreMoved
            | C::EyepieceOut
            | C::StationZeroed
            | C::Look
            | C::Undo
            | C::Redo
    );
    let confirms = matches!(
        command,
        C::Confirm
            | C::NextCheck
            | C::ConfirmLock
            | C::ConfirmReseated
            | C::SwingStop
            | C::DioptresZero
            | C::Sign
    );
    let needs_session = adds_facts
        || confirms
        || matches!(
            command,
            C::KeepCopy
                | C::Report
                | C::ReadAgain
                | C::NextPlace
                | C::Remedies
                | C::NextRemedy
                | C::LastRemedy
                | C::AsFound
                | C::CopySvg
                | C::CopyPng
                | C::SavePicture
                | C::TurnByStep
                | C::Hidden
        );
    let Some(session) = session else {
        return needs_session
            .then_some("No session is open: start one (Ctrl+N) or open one (Ctrl+O).");
    };
    match command {
        _ if adds_facts && !session.is_writable() => Some("This session is read only here."),
        C::Undo if session.state().undo().is_none() => Some("There is nothing to undo."),
        C::Redo if session.state().redo().is_none() => Some("There is nothing to redo."),
        C::AsFound if !session.as_found_possible() => {
            Some("A reading was logged, so rings have been turned: as found is over.")
        }
        C::Withdraw | C::ReadAgain if session.shown().is_empty() => {
            Some("There is no reading in this round.")
        }
        C::TurnByStep | C::Hidden if !session.is_practice() => Some(
            "This is a real unit: only an invented one is turned from here and hides its truth.",
        ),
        C::LeaveOut if session.advice().stand_out.is_empty() => Some("No reading stands out."),
        C::NextPlace if session.advice().next.is_none() => {
            Some("Not known: both channels must be logged and their circles cross.")
        }
        _ => None,
    }
}
