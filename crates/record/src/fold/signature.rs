//! Signatures and what supervisors answered.

use crate::fact::{Countersigned, Returned, Seq, Signed};
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
    pub answer: Option<Answer>,
}

/// A supervisor's answer to a signature.
#[derive(Clone, Debug, PartialEq)]
pub struct Answer {
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
