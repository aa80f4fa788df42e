//! Who answers for the session.

pub use solver::decision::Verdict;

use crate::fact::Seq;
use crate::window::Rule;

/// The technician answers for a verdict.
#[derive(Clone, Debug, PartialEq)]
pub struct Signed {
    /// The round the verdict is about.
    pub round: Seq,
    /// The verdict.
    pub verdict: Verdict,
    /// The rule that gave it.
    pub rule: Rule,
    /// The program that worked it out, with version.
    pub program: String,
    /// The window it was judged by: the `seq` of its fact.
    pub window: Option<Seq>,
    /// The station in force: the `seq` of its fact.
    pub station: Option<Seq>,
    /// The readings it rests on, by `seq`.
    pub rests_on: Vec<Seq>,
    /// The numbers it rests on, which a review works out again.
    pub numbers: Vec<Number>,
    /// What the hand declares.
    pub statement: String,
}

/// A stored number under a lasting name, such as `misalignment_x_arcmin`.
#[derive(Clone, Debug, PartialEq)]
pub struct Number {
    /// Its name, with unit.
    pub name: String,
    /// Its value, finite.
    pub value: f64,
}

/// The supervisor agrees with a signature.
#[derive(Clone, Debug, PartialEq)]
pub struct Countersigned {
    /// The `seq` of the signature.
    pub signature: Seq,
    /// The 64 hex digits of the session's last line when it was looked at.
    pub last_hash: String,
    /// In the supervisor's words.
    pub comment: String,
}

/// The supervisor sends it back.
#[derive(Clone, Debug, PartialEq)]
pub struct Returned {
    /// The `seq` of the signature.
    pub signature: Seq,
    /// What is to be done.
    pub comment: String,
}
