//! Who may sign and answer, by the hands of the shop that a session lies in.

use std::path::Path;

use super::refusals::Refusal;
use record::review::Beside;
use record::{Act, Authority, Hands, Session, SessionKind, Stamp};

/// The hands of the shop that a session lies in, as they stand now; nobody where it lies in none, or is
/// practice, which nobody answers for.
pub(crate) fn hands_for(session: &Session, path: &Path) -> Hands {
    let kind = session.header.as_ref().map(|header| &header.kind);
    if matches!(kind, Some(SessionKind::Practice(_))) {
        return Hands::default();
    }
    let path = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    Beside::of(&path).map(|beside| beside.hands).unwrap_or_default()
}

/// Whether a hand may do this now.
///
/// # Errors
/// Why not, and who may.
pub(crate) fn may(hands: &Hands, hand: &str, act: Act<'_>, now: Stamp) -> Result<(), Refusal> {
    match hands.authority(hand, act, now.date()) {
        Authority::NotChecked | Authority::Held(_) => Ok(()),
        Authority::Without(why) => Err(Refusal::NoAuthority { why, who: who(hands, act, now) }),
    }
}

/// Who may do this now, in a sentence.
pub(crate) fn who(hands: &Hands, act: Act<'_>, now: Stamp) -> String {
    if !hands.lists_anybody() {
        return "The shop lists no hands, so nobody’s authority is checked.".to_owned();
    }
    let verb = match act {
        Act::Sign => "sign",
        Act::Countersign { .. } => "countersign",
        Act::Return => "return it",
    };
    match hands.who_may(act, now.date()).as_slice() {
        [] => format!("Nobody whom the shop lists may {verb} today."),
        all => format!("May {verb} today: {}.", all.join(", ")),
    }
}
