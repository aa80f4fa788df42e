//! Signatures and what supervisors answered.

use crate::fact::{Countersigned, Returned, Seq, Signed, same_hand};
use crate::stamp::Stamp;

/// A signature and what became of it.
#[derive(Clone, Debug, PartialEq)]
pub struct Signature {
    /// The `seq` of its fact.
    pub seq: Seq,
    /// When.
    pub time: Stamp,
    /// Whose.
    pub hand: String,
    /// What was signed.
    pub signed: Signed,
    /// Whether facts added since mean that it no longer speaks for the session as it stands.
    pub outdated: bool,
    /// The last answer to it.
    pub answer: Option<SupervisorAnswer>,
}

impl Signature {
    /// Whether a hand's countersignature would count: what was returned is countersigned by nobody but
    /// the hand that returned it, who may think better of it.
    #[must_use]
    pub fn may_be_countersigned_by(&self, hand: &str) -> bool {
        self.answer.as_ref().is_none_or(|answer| {
            matches!(answer.kind, AnswerKind::Countersigned(_)) || same_hand(&answer.hand, hand)
        })
    }

    /// Whether a supervisor sent it back. That stands until it is signed anew, or until the same hand
    /// thinks better of it.
    #[must_use]
    pub fn is_returned(&self) -> bool {
        self.answer.as_ref().is_some_and(|answer| matches!(answer.kind, AnswerKind::Returned(_)))
    }
}

/// A supervisor's answer to a signature.
#[derive(Clone, Debug, PartialEq)]
pub struct SupervisorAnswer {
    /// The `seq` of its fact.
    pub seq: Seq,
    /// When.
    pub time: Stamp,
    /// Whose.
    pub hand: String,
    /// Which way.
    pub kind: AnswerKind,
}

/// Which way a supervisor answered.
#[derive(Clone, Debug, PartialEq)]
pub enum AnswerKind {
    /// Agreed.
    Countersigned(Countersigned),
    /// Sent back.
    Returned(Returned),
}

/// How a session stands.
#[derive(Clone, Copy, Debug, PartialEq)]
pub enum SignatureState<'a> {
    /// Nobody signed.
    Unsigned,
    /// Signed; the signature tells whether it still holds and what was answered.
    Signed(&'a Signature),
}
