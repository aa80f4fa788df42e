//! What the facts of a journal come to, as far as it is the same for all.

use super::{JournalBody, JournalFact, JournalHeader, Vocabulary};
use crate::error::Error;
use crate::fact::texts::plain;
use crate::fact::{Fact, Seq};

/// What the facts of one kind of file come to.
pub trait Meaning: Default {
    /// What hands say there.
    type Says: Vocabulary<Means = Self>;

    /// What every such file comes to.
    fn journal(&self) -> &JournalState<<Self::Says as Vocabulary>::About>;

    /// The same, for the fold.
    fn journal_mut(&mut self) -> &mut JournalState<<Self::Says as Vocabulary>::About>;

    /// Whether this may be said now.
    ///
    /// # Errors
    /// Why not, and what to do.
    fn admits(&self, says: &Self::Says) -> Result<(), Error>;

    /// Takes in what is said; it was [admitted](Self::admits).
    ///
    /// # Errors
    /// Why it cannot be taken at its word.
    fn take(&mut self, fact: Fact<Self::Says>) -> Result<(), Error>;

    /// What the file is about; `None` without a header.
    fn about(&self) -> Option<&<Self::Says as Vocabulary>::About> {
        self.journal().header.as_ref().map(|header| &header.about)
    }
}

/// What every such file comes to.
#[derive(Clone, Debug, PartialEq)]
pub struct JournalState<About> {
    /// How it begins.
    pub header: Option<JournalHeader<About>>,
    /// What the program itself noted about the file, in its words; whose hand went on.
    pub marks: Vec<Fact<String>>,
    /// Facts that could not be taken at their word, and why.
    pub ignored: Vec<(Seq, String)>,
}

impl<About> Default for JournalState<About> {
    fn default() -> Self {
        Self { header: None, marks: Vec::new(), ignored: Vec::new() }
    }
}

/// What the facts come to. Total: a fact that cannot be taken at its word is left aside.
#[must_use]
pub fn fold<V: Vocabulary>(facts: &[JournalFact<V>]) -> V::Means {
    let mut means = V::Means::default();
    for fact in facts {
        let Fact { seq, time, hand, body } = plain(fact).into_owned();
        let taken = match body {
            JournalBody::Header(header) if seq == 1 => {
                means.journal_mut().header = Some(header);
                Ok(())
            }
            JournalBody::Header(_) => Err(Error::HeaderOutOfPlace),
            JournalBody::Noted(note) => {
                means.journal_mut().marks.push(Fact { seq, time, hand, body: note.text });
                Ok(())
            }
            JournalBody::Said(body) => {
                means.admits(&body).and_then(|()| means.take(Fact { seq, time, hand, body }))
            }
        };
        if let Err(why) = taken {
            means.journal_mut().ignored.push((seq, why.to_string()));
        }
    }
    means
}
