//! Format 2: the words of format 1, and seals, camera maps and the pictures of readings.
//!
//! Frozen as [`v1`](super::v1) is: what this module wrote must be read by it for ever. Whatever says the
//! same in both formats is format 1's own struct.
//!
//! - [`words`]: the words it adds.

pub(crate) mod words;

use self::words::What;
use super::v1::bodies;
use super::v1::wire::Wire;
use super::v1::{FactLine, checked};
use crate::fact::{Body, Fact};
use crate::file::bad_field::BadField;

/// Its number.
pub(crate) const FORMAT: u32 = 2;

/// A fact in words: the BODY of its line.
pub(crate) fn write(fact: &Fact) -> Result<String, BadField> {
    let what =
        what(&fact.body).ok_or_else(|| BadField::new("a file begins once, with its header"))?;
    FactLine::write(fact, what)
}

/// A fact from the BODY of any line but the first.
pub(crate) fn read(body: &str) -> Result<Fact, BadField> {
    FactLine::parse(body)?.read(body_of)
}

bodies!(
    Setup, Precondition, RoundOpened, Reading, Withdrawn, SettingChosen, RemedyTaken, LookingTest,
    Note, Picture, Signed, Returned;
    checked Station, Window, Housing, Unit, Countersigned, Sealed, Camera, Frame
);
