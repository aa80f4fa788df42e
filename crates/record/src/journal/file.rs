//! Beginning such a file, and going on with one in another.

use std::path::Path;

use super::{JournalBody, JournalFile, JournalHeader, LATEST_FORMAT, Vocabulary};
use crate::error::Error;
use crate::fact::Continued;
use crate::file::{FileOptions, GoesOn, Words, new_session_name};

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
    JournalBody<V>: Words,
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
        V::check_about(&header.about)?;
        Self::create_with(path, JournalBody::Header(header), hand, options)
    }
}

impl<V: Vocabulary> GoesOn for JournalBody<V>
where
    Self: Words,
{
    fn next_header(
        &self,
        program: &str,
        continued: &dyn Fn(&str) -> Continued,
    ) -> Result<Self, Error> {
        let Self::Header(old) = self else { return Err(Error::HeaderOutOfPlace) };
        let begun = JournalHeader::begun(program.to_owned(), old.about.clone())?;
        Ok(Self::Header(JournalHeader { continues: Some(continued(&old.name)), ..begun }))
    }
}
