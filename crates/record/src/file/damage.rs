//! Where and how a file breaks.

use core::fmt;

use crate::fact::Seq;
use crate::file::chain::LONGEST_LINE;

/// The first place where a file does not hold.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Damage {
    /// The line, from 1: also the number of the first fact that is lost.
    pub line: Seq,
    /// Where that line begins, bytes from the start of the file.
    pub offset: u64,
    /// What is wrong with it.
    pub kind: DamageKind,
}

/// What is wrong with a line.
#[derive(Clone, Debug, PartialEq, Eq)]
#[non_exhaustive]
pub enum DamageKind {
    /// Not of the form of a line.
    NotALine,
    /// Its hash does not fit: it, or the line before, was changed.
    HashDiffers,
    /// The line's content is right but its end is not a line end.
    LineEnd,
    /// Something on the way, such as a mail program, wrote the line ends anew.
    LineEndsRewritten,
    /// Longer than a line may be.
    TooLong,
    /// The hash fits but the content is none that this format allows.
    NotAFact {
        /// What is wrong, with the field.
        what: String,
    },
    /// The fact's number is not the line's.
    OutOfSequence {
        /// The number found.
        found: Seq,
    },
}

impl fmt::Display for Damage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { line, offset, kind } = self;
        match kind {
            DamageKind::NotALine => {
                write!(f, "line {line} (byte {offset}) is damaged: it is not a line of such a file")
            }
            DamageKind::HashDiffers => write!(
                f,
                "line {line} (byte {offset}) is damaged or was edited: its hash does not fit"
            ),
            DamageKind::LineEnd => {
                write!(f, "line {line} (byte {offset}) is damaged at its very end")
            }
            DamageKind::LineEndsRewritten => write!(
                f,
                "its line ends were rewritten from line {line} (byte {offset}) on, as a mail \
                 program or an editor does; fetch the file again as an attachment or in an archive"
            ),
            DamageKind::TooLong => write!(
                f,
                "line {line} (byte {offset}) is longer than the {LONGEST_LINE} bytes that a line \
                 may have"
            ),
            DamageKind::NotAFact { what } => write!(
                f,
                "line {line} (byte {offset}) is whole but says something its format does \
                 not know: {what}"
            ),
            DamageKind::OutOfSequence { found } => write!(
                f,
                "line {line} (byte {offset}) is whole but numbered {found}: lines are missing or \
                 were put together from several files"
            ),
        }
    }
}
