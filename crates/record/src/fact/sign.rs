//! Who answers for the session.

pub use solver::decision::Verdict;

use crate::error::Error;
use crate::fact::Seq;
use crate::fact::camera::is_sha256;
use crate::validate::{Checked, named};
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
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Countersigned {
    /// The `seq` of the signature.
    pub signature: Seq,
    /// The 64 hex digits of the session's last line when it was looked at.
    pub last_hash: String,
    /// In the supervisor's words.
    pub comment: String,
    /// The SHA-256 of the shop's list of hands when it was given, 64 hex digits: a seal over this line
    /// covers it, so a list that is exchanged later no longer fits. `None` in format 1 and where the shop
    /// lists no hands.
    pub hands_sha256: Option<String>,
}

/// The supervisor sends it back.
#[derive(Clone, Debug, PartialEq)]
pub struct Returned {
    /// The `seq` of the signature.
    pub signature: Seq,
    /// What is to be done.
    pub comment: String,
}

/// The most bytes of a seal's text: no key's signature comes near.
pub const LONGEST_SEAL: usize = 16 << 10;

/// A signature, countersignature or return sealed with its hand's key (format 2).
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Sealed {
    /// The `seq` of the line sealed. What is sealed are the 64 hex characters of that line's hash.
    pub seq: Seq,
    /// The seal: an SSH signature in its armour (OpenSSH's PROTOCOL.sshsig), namespace `samepoint`.
    pub sshsig: String,
}

impl Checked for Sealed {
    fn check(&self) -> Result<(), Error> {
        let bytes = self.sshsig.len();
        if bytes > LONGEST_SEAL {
            return Err(Error::FieldValue {
                field: "sshsig".to_owned(),
                value: bytes as f64,
                must_be: "at most 16384 bytes",
            });
        }
        named("sshsig", &self.sshsig)
    }
}

impl Checked for Countersigned {
    fn check(&self) -> Result<(), Error> {
        match &self.hands_sha256 {
            Some(hash) if !is_sha256(hash) => {
                Err(Error::NotASha256 { field: "hands_sha256".to_owned() })
            }
            _ => Ok(()),
        }
    }
}
