//! Whether a hand had met a unit before it sat it as an examination: by the shop's own files, which know
//! initials and no faces.

use core::fmt;
use jiff::civil::Date;

use super::grade::Grade;

/// An earlier meeting of somebody with a unit.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct EarlierMeeting {
    /// Its file in `practice/`.
    pub file: String,
    /// Whose.
    pub hand: String,
    /// The day it was signed; begun and not signed, the day it was begun.
    pub day: Date,
    /// Whether it was signed, so that the truth was told.
    pub signed: bool,
    /// Whether it was sat as an examination.
    pub exam: bool,
}

/// Which unit is asked about, whose file, and before when.
#[derive(Clone, Copy, Debug)]
pub struct UnitAsked<'a> {
    /// The unit's grade.
    pub grade: Grade,
    /// Its number.
    pub number: u64,
    /// The file that is no earlier one: itself.
    pub except: &'a str,
    /// Milliseconds since 1970-01-01T00:00Z.
    pub before: i64,
}

impl fmt::Display for EarlierMeeting {
    /// `KT in practice, signed on 2026-11-25`.
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let how = if self.exam { "as an examination" } else { "in practice" };
        let then = if self.signed { "signed on" } else { "not signed, begun on" };
        write!(f, "{} {how}, {then} {}", self.hand, self.day)
    }
}
