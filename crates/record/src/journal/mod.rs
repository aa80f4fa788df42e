//! Files kept beside the sessions, in the way a session is kept: a station's checks, a study, the ledger, the units that wait.
//! What they share stands here once. Each of them gives its [`Vocabulary`], the form of its words on a
//! line, and its [`Meaning`].
//!
//! - what can be said is here; [`fold`](mod@fold): what the facts come to; [`reading`]: readings, and
//!   leaving them out; `file`: beginning one and going on in another; `wire`: their lines, format by
//!   format.

mod file;
pub mod fold;
pub mod reading;
pub(crate) mod wire;

use crate::error::Error;
use crate::fact::texts::{Texts, texts};
use crate::fact::{Continued, Fact, Note, Seq};
use crate::file::FactFile;

pub use fold::fold;
pub use reading::Logged;

/// The first format of such a file, which has no words for [`JournalBody::Noted`] in most kinds.
pub const FIRST_FORMAT: u32 = 1;

/// The format of new ones.
pub const LATEST_FORMAT: u32 = 2;

/// What hands say in one kind of file.
pub trait Vocabulary: Clone + PartialEq + Send + Texts + 'static {
    /// What such a file is called in a sentence: `check file`.
    const FILE: &'static str;
    /// What its header says the file is.
    const TAG: &'static str;
    /// What its header says besides what every header says.
    type About: Clone + PartialEq + core::fmt::Debug + Send + Texts + 'static;
    /// What its facts come to.
    type Means: Meaning<Says = Self>;
    /// The format of new files of this kind.
    const NEWEST_FORMAT: u32 = LATEST_FORMAT;
    /// The first format that has words for [`JournalBody::Noted`].
    const NOTES_FROM_FORMAT: u32 = LATEST_FORMAT;

    /// What is wrong with the beginning of a file.
    ///
    /// # Errors
    /// The field.
    fn check_about(about: &Self::About) -> Result<(), Error>;

    /// What is wrong with what is said, whatever was said before.
    ///
    /// # Errors
    /// The field.
    fn check(&self) -> Result<(), Error> {
        Ok(())
    }
}

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

/// A file of one kind.
pub type JournalFile<V> = FactFile<JournalBody<V>>;

/// A fact of a file of one kind.
pub type JournalFact<V> = Fact<JournalBody<V>>;

/// What a fact of such a file says.
#[derive(Clone, Debug, PartialEq)]
pub enum JournalBody<V: Vocabulary> {
    /// The file begins; always and only fact 1.
    Header(JournalHeader<V::About>),
    /// What the program itself notes about the file: that its end was missing and set aside, or that it
    /// goes on from one that held more. From [`Vocabulary::NOTES_FROM_FORMAT`] on.
    Noted(Note),
    /// A hand says something, in the words of this kind.
    Said(V),
}

impl<V: Vocabulary> From<V> for JournalBody<V> {
    fn from(says: V) -> Self {
        Self::Said(says)
    }
}

/// How such a file begins.
#[derive(Clone, Debug, PartialEq)]
pub struct JournalHeader<About> {
    /// The format of the file, which it keeps: [`Vocabulary::NEWEST_FORMAT`] in a new one.
    pub format: u32,
    /// The program that began it, with version.
    pub program: String,
    /// The file's own name among all files: 32 hex digits, drawn at random.
    pub name: String,
    /// The file this one goes on from, as it ended then.
    pub continues: Option<Continued>,
    /// What it is about.
    pub about: About,
}

impl<V: Vocabulary> Texts for JournalBody<V> {
    fn texts<'a>(&'a self, each: &mut dyn FnMut(&'a str)) {
        match self {
            Self::Header(header) => header.texts(each),
            Self::Noted(note) => note.texts(each),
            Self::Said(says) => says.texts(each),
        }
    }
    fn texts_mut(&mut self, each: &mut dyn FnMut(&mut String)) {
        match self {
            Self::Header(header) => header.texts_mut(each),
            Self::Noted(note) => note.texts_mut(each),
            Self::Said(says) => says.texts_mut(each),
        }
    }
}

texts!(JournalHeader<About> { program, name, continues, about; format });
