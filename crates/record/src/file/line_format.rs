//! What the lines of one kind of append-only file say.
//!
//! A session, a station's checks and a study are kept in the same way and differ only in what
//! their lines say: that is this trait. Everything else about the file is shared.

use super::bad_field::BadField;
use crate::error::Error;
use crate::fact::{Continued, Fact, FileMark};

/// What a line of one kind of file says; the kind's own body of facts.
pub trait LineFormat: Clone + PartialEq + Send + 'static {
    /// What such a file is called in a sentence: `session`.
    const FILE: &'static str;
    /// What its header says the file is; empty for a session, the first kind there was.
    const TAG: &'static str;
    /// The latest format this program reads and writes.
    const FORMAT: u32;

    /// The format that the file of this header is written in.
    fn format(&self) -> u32 {
        Self::FORMAT
    }

    /// Whether somebody answers with it for the file: its line's hash is kept at hand, to be sealed.
    fn is_signing(&self) -> bool {
        false
    }

    /// Whether it begins a file. A header is always and only fact 1.
    fn is_header(&self) -> bool;

    /// What the program itself notes in such a file about the file; `None` where this kind has no
    /// words for it in a file of a format.
    fn noted(mark: &FileMark, format: u32) -> Option<Self>;

    /// A fact in words: the BODY of its line in a file of a format.
    ///
    /// # Errors
    /// What cannot be written, with the field.
    fn write(fact: &Fact<Self>, format: u32) -> Result<String, BadField>;

    /// The header from the BODY of the first line.
    ///
    /// # Errors
    /// What the format does not allow, with the field.
    fn read_header(body: &str) -> Result<Fact<Self>, BadField>;

    /// A fact from the BODY of any other line of a file of a format.
    ///
    /// # Errors
    /// As [`read_header`](Self::read_header).
    fn read(body: &str, format: u32) -> Result<Fact<Self>, BadField>;
}

/// A kind of file that can be gone on with in a new one.
pub trait GoesOn: LineFormat {
    /// The header of a file that goes on with the one of this header, which `continued` names by its
    /// own name among all.
    ///
    /// # Errors
    /// [`Error::HeaderOutOfPlace`] of what is no header; [`Error::Io`] when the system gives no random
    /// bytes for a name.
    fn next_header(
        &self,
        program: &str,
        continued: &dyn Fn(&str) -> Continued,
    ) -> Result<Self, Error>;
}
