//! Beginning such a file, and going on with one in another.

use std::path::Path;

use super::{JournalBody, JournalFile, JournalHeader, LATEST_FORMAT, Vocabulary};
use crate::error::Error;
use crate::fact::{Continued, Fact, FileMark};
use crate::file::{FileOptions, GoesOn, LineFormat, new_session_name};

impl<About> JournalHeader<About> {
    /// The header of a new file, with a name of its own.
    ///
    /// # Errors
    /// [`Error::Io`] when the system gives no random bytes.
    pub fn begun(program: String, about: About) -> Result<Self, Error> {
        let name = new_session_name()?;
        Ok(Self { format: LATEST_FORMAT, program, name, continues: None, about })
    }
}

impl<V: Vocabulary> JournalFile<V>
where
    JournalBody<V>: LineFormat,
{
    /// Begins a file.
    ///
    /// # Errors
    /// As [`SessionFile::create`](crate::SessionFile), and what is wrong with the header.
    pub fn create(
        path: &Path,
        header: JournalHeader<V::About>,
        hand: &str,
        options: FileOptions,
    ) -> Result<Self, Error> {
        Self::create_beside(path, header, &[], hand, options)
    }

    /// Begins a file beside others that are not whole: what is noted of them stands in it from the first.
    ///
    /// # Errors
    /// As [`create`](Self::create).
    pub fn create_beside(
        path: &Path,
        header: JournalHeader<V::About>,
        beside: &[FileMark],
        hand: &str,
        options: FileOptions,
    ) -> Result<Self, Error> {
        V::check_about(&header.about)?;
        let (time, format) = (options.opener.now, header.format);
        let noted = beside.iter().filter_map(|mark| JournalBody::noted(mark, format));
        let bodies = std::iter::once(JournalBody::Header(header)).chain(noted);
        let fact = |(body, seq)| Fact { seq, time, hand: hand.to_owned(), body };
        Self::begin(path, bodies.zip(1..).map(fact).collect(), options)
    }
}

impl<V: Vocabulary> GoesOn for JournalBody<V>
where
    Self: LineFormat,
{
    fn next_header(
        &self,
        program: &str,
        continued: &dyn Fn(&str) -> Continued,
    ) -> Result<Self, Error> {
        let Self::Header(old) = self else { return Err(Error::HeaderOutOfPlace) };
        let begun = JournalHeader::begun(program.to_owned(), old.about.clone())?;
        let continues = Some(continued(&old.name));
        Ok(Self::Header(JournalHeader { format: V::NEWEST_FORMAT, continues, ..begun }))
    }
}
