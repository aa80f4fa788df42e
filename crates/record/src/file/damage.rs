//! Where and how a file breaks, or ends too early.

use core::fmt;
use std::path::{Path, PathBuf};

use crate::fact::Seq;
use crate::figures::{counted, counted_s};
use crate::file::bad_field::BadField;
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

/// What follows the last good line is no whole line.
///
/// It may never have been finished, as after a power cut; it may as well have been whole, and
/// acknowledged, and been cut, zeroed or overwritten since. The file alone cannot tell.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct MissingEnd {
    /// The first line that is not there: one more than the last good fact.
    pub line: Seq,
    /// Where it would begin: the bytes up to the end of the last good line.
    pub offset: u64,
    /// The bytes that stand there instead.
    pub bytes: u64,
}

impl MissingEnd {
    /// The last fact that is there.
    #[must_use]
    pub const fn last_good(&self) -> Seq {
        self.line.saturating_sub(1)
    }
}

impl fmt::Display for MissingEnd {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { line, offset, bytes } = self;
        let stand = counted(*bytes, "byte stands", "bytes stand");
        write!(
            f,
            "the end is missing; it may have been saved: {stand} where line {line} should begin \
             (byte {offset}), and no whole line"
        )
    }
}

/// What stood where the end is missing, kept beside the file.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SetAside {
    /// Where the end is missing.
    pub end: MissingEnd,
    /// The SHA-256 of the bytes kept, 64 hex digits.
    pub sha256: String,
    /// The file they are kept in.
    pub kept_in: PathBuf,
}

impl fmt::Display for SetAside {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let MissingEnd { line, bytes, .. } = self.end;
        let count = counted_s(bytes, "byte");
        let name = self.kept_in.file_name().map(Path::new).unwrap_or(&self.kept_in);
        write!(
            f,
            "the end was missing from line {line} on and may have been saved; the {count} that stood \
             there (SHA-256 {}) are kept in {}",
            self.sha256,
            crate::shown::path(name)
        )
    }
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
        what: BadField,
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
