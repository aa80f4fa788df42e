//! What was signed of a session, and who answered, as it was given.

use jiff::civil::Date;
use smol_str::SmolStr;

use crate::fact::Verdict;
use crate::fold::{AnswerKind, Session, SignatureState};

/// The last signature of a session, as it was given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SignedAs {
    /// What was signed.
    pub verdict: Verdict,
    /// Whose hand.
    pub hand: SmolStr,
    /// The day it claims.
    pub day: Date,
    /// The last answer to it.
    pub answered: Option<AnsweredAs>,
}

/// A supervisor's answer, as it was given.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AnsweredAs {
    /// Whether it countersigned; else it sent back.
    pub agreed: bool,
    /// Whose hand.
    pub hand: SmolStr,
    /// The day it claims.
    pub day: Date,
}

impl SignedAs {
    /// What a folded session's last signature says; `None` where nobody signed.
    pub(super) fn of(session: &Session) -> Option<Self> {
        let SignatureState::Signed(signature) = session.signature() else { return None };
        let answered = signature.answer.as_ref().map(|answer| AnsweredAs {
            agreed: matches!(answer.kind, AnswerKind::Countersigned(_)),
            hand: SmolStr::from(&answer.hand),
            day: answer.time.date(),
        });
        Some(Self {
            verdict: signature.signed.verdict,
            hand: SmolStr::from(&signature.hand),
            day: signature.time.date(),
            answered,
        })
    }
}
