//! The looking test and the signature: what their sheets hold and what becomes of it.
//!
//! - `acting`: bringing them, noting, signing; `answering`: who may; [`sealing`]: with which key;
//! - `ledger`: what waits to be noted in the shop's ledger, `noting`: noting it;
//! - `looking_ui`, `sign_ui`: the sheets.

pub(crate) mod acting;
pub(crate) mod ledger;
pub(crate) mod looking_ui;
pub(crate) mod noting;
pub(crate) mod sealing;
pub(crate) mod sign_ui;

use crate::shell::refusals::Refusal;
use record::fact::{LookingResult, Verdict};
use record::practice::LooksLike;
use record::{Session, SignatureState};

use crate::shell::sealing::choice::SealChoice;

/// Said once it is signed.
pub(crate) const CLOSED: &str = "Signed: the record is closed.";

/// What was seen at a far point.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct LookingSheet {
    /// What an invented unit shows at a far point; `None` for a real one.
    pub shows: Option<LooksLike>,
    /// How far the point was, metres, as typed.
    pub distance: String,
    /// What was seen; `None` until it is said.
    pub result: Option<LookingResult>,
    /// Who looked, when it was not the hand.
    pub observer: String,
    /// In the observer's words.
    pub note: String,
    /// What was refused.
    pub refused: Option<String>,
    /// Whether the keyboard goes back to what was refused.
    pub come_back: bool,
}

/// The letter of each result, in the field of the distance: fused, double, broken off.
pub(crate) const RESULT_LETTERS: [char; 3] = ['f', 'd', 'b'];

impl LookingSheet {
    /// The distance as typed, without the one letter behind it that says what was seen.
    #[must_use]
    pub fn metres(&self) -> &str {
        let typed = self.distance.trim();
        let letter = |c: char| RESULT_LETTERS.contains(&c.to_ascii_lowercase());
        typed.strip_suffix(letter).unwrap_or(typed).trim_end()
    }
}

/// A verdict about to be signed, or just signed.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct SignSheet {
    /// What the hand declares.
    pub statement: String,
    /// Whose hand.
    pub hand: String,
    /// Who may sign today, in a sentence.
    pub who: String,
    /// With which key it is sealed, if it is.
    pub seal: SealChoice,
    /// In an examination the verdict is the trainee's own: chosen, not shown. `None`: no examination.
    pub own_verdict: Option<Option<Verdict>>,
    /// What was refused.
    pub refused: Option<String>,
    /// Whether the keyboard goes back to what was refused.
    pub come_back: bool,
    /// Whether that is the file of the key to seal with.
    pub of_key: bool,
    /// Whether it is signed: then the sheet shows what to keep.
    pub signed: bool,
}

/// What is usually declared; any other words can be typed over it.
pub(crate) const USUAL_STATEMENT: &str = "Set, locked and read as recorded here.";

/// Why nothing is logged to a session that is signed; `None` while it is open. What
/// a supervisor returned is open again.
#[must_use]
pub(crate) fn why_closed(session: &Session) -> Option<Refusal> {
    let SignatureState::Signed(signature) = session.signature() else { return None };
    if signature.outdated || signature.is_returned() {
        return None;
    }
    Some(Refusal::Signed { verdict: signature.signed.verdict.word(), hand: signature.hand.clone() })
}
