//! Why a command cannot answer: one line for standard error, with the file it is about.

use std::fmt;
use std::path::{Path, PathBuf};

use record::file::Damage;
use record::import_csv::{self, NumberError};
use record::{Access, ReadOnlyReason};
use solver::{Channel, Solution};

use super::figures;
use super::picture::refusal::NotThrough;
use crate::pictures::refusal::NoGrey;
use crate::report_file::NotWritten;
use crate::sealing::{NoWords, NotSealed, SealNotKept};

/// What a command refuses, and of which file.
#[derive(Debug)]
pub(super) struct CommandRefusal {
    /// The file or folder; `None` where the arguments themselves are the matter.
    file: Option<PathBuf>,
    why: Box<RefusalKind>,
}

/// What is wrong, and what to do about it.
#[derive(Debug, thiserror::Error)]
pub(super) enum RefusalKind {
    /// A file or folder that is opened by nothing but its name.
    #[error("there is no such file or folder; `samepoint --help` lists the commands")]
    NotThere,
    /// The record.
    #[error(transparent)]
    Record(#[from] record::Error),
    /// The solver.
    #[error(transparent)]
    Solver(#[from] solver::Error),
    /// A file of readings.
    #[error(transparent)]
    Readings(#[from] import_csv::ImportError),
    /// Channels without a circle.
    #[error("{0}")]
    NoCircles(Lacking),
    /// What readings of differences have no use for.
    #[error("{0} with differences: these readings do not say where boresight is; leave {0} out")]
    WithDifferences(&'static str),
    /// Uncertainties that do not go together.
    #[error("--ring-sigma without --sigma: {0}")]
    RingSigma(#[source] solver::Error),
    /// A swing that nothing is held against.
    #[error("--swing without --window: the swing is held against a tolerance window")]
    SwingWithoutWindow,
    /// An audit pack of several shops.
    #[error("an audit pack is of one shop: name one folder")]
    OneShopAPack,
    /// A new session under another ending.
    #[error("a session's name ends in .samepoint")]
    NoSessionName,
    /// A new session of which nothing says whether the unit is real.
    #[error("{0}: `--real`")]
    RealOrPractice(#[source] record::Error),
    /// A paper or a table that is not written.
    #[error(transparent)]
    NotWritten(#[from] NotWritten),
    /// A picture that is not read.
    #[error(transparent)]
    Picture(#[from] NoGrey),
    /// A picture that the reader does not take.
    #[error(transparent)]
    Reader(#[from] reader::PictureError),
    /// A camera map.
    #[error(transparent)]
    Camera(#[from] reader::MapError),
    /// A station beside a camera map.
    #[error(transparent)]
    Through(#[from] NotThrough),
    /// Nothing to seal.
    #[error("nothing is signed or answered there that this hand could seal")]
    NothingToSeal,
    /// A file of the first format.
    #[error(transparent)]
    NoWords(#[from] NoWords),
    /// A session that cannot be written to.
    #[error("{0}")]
    Access(Access),
    /// A file that is not gone on with.
    #[error(
        "it is none of samepoint's files that go on line by line: a session, a ledger, checks, a study or \
         a list of units that wait"
    )]
    NotOurs,
    /// An end is set aside on somebody's word.
    #[error("whose word it is must be said: `--hand INITIALS`")]
    WhoseWord,
    /// Damage elsewhere than at the end.
    #[error("{0}; that is no missing end, and nothing is set aside")]
    NoMissingEnd(Damage),
    /// A file that cannot be written to, for another reason.
    #[error("{0}")]
    ReadOnly(ReadOnlyReason),
    /// A place where files cannot be locked or synced.
    #[error("files cannot be {missing} in this place: `--agree` writes all the same")]
    Agree {
        /// `locked` or `synced to disk`.
        missing: &'static str,
    },
    /// Another program was faster.
    #[error("the file changed just now; try again")]
    Changed,
    /// What `ssh-keygen` said itself on the terminal is not said again.
    #[error("nothing was sealed: ssh-keygen would not sign with {}", figures::path(.0))]
    WouldNotSign(PathBuf),
    /// No seal was made.
    #[error("nothing was sealed: {0}")]
    NotSealed(#[source] NotSealed),
    /// A seal was made, and is not kept.
    #[error("nothing was sealed: {0}")]
    NotKept(#[source] SealNotKept),
    /// The program that writes tables is not there.
    #[error(
        "there is no such program, and it alone writes tables: put it there (`cargo build --release -p tables` \
         makes it, the package brings it)"
    )]
    NoTables,
    /// It cannot be started.
    #[error("it cannot be started: {}", record::shown::system(.0))]
    TablesNotRun(#[source] std::io::Error),
    /// It did not come to an end of its own.
    #[error("it was ended before it was done; what it had written stands, run it again")]
    TablesEnded,
    /// Nobody knows where this program lies.
    #[error("where this program lies cannot be told: {}", record::shown::system(.0))]
    WhereThisIs(#[source] std::io::Error),
    /// An answer with what JSON has no words for.
    #[error("the answer cannot be written as JSON: {0}")]
    Json(#[from] serde_json::Error),
}

impl RefusalKind {
    /// Of a file.
    pub(super) fn of(self, file: &Path) -> CommandRefusal {
        CommandRefusal { file: Some(file.to_owned()), why: Box::new(self) }
    }
}

impl<W: Into<RefusalKind>> From<W> for CommandRefusal {
    fn from(why: W) -> Self {
        Self { file: None, why: Box::new(why.into()) }
    }
}

impl fmt::Display for CommandRefusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Self { file, why } = self;
        match (file, why.as_ref()) {
            (None, _) => write!(f, "{why}"),
            // The record's own errors name their file where it matters.
            (_, RefusalKind::Record(error)) if error.path().is_some() => write!(f, "{why}"),
            (Some(file), RefusalKind::Readings(error)) if error.line().is_some() => {
                write!(f, "{}, {why}", figures::path(file))
            }
            (Some(file), _) => write!(f, "{}: {why}", figures::path(file)),
        }
    }
}

/// What either channel lacks for a circle.
#[derive(Debug)]
pub(super) struct Lacking(Vec<solver::Error>);

impl Lacking {
    pub(super) fn of(solution: &Solution) -> Self {
        let fits = Channel::BOTH.map(|channel| solution.fits[channel].as_ref().err().cloned());
        Self(fits.into_iter().flatten().collect())
    }
}

impl fmt::Display for Lacking {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&figures::listed(&self.0, "; "))
    }
}

/// An argument that cannot be used; clap names it.
#[derive(Debug, thiserror::Error)]
pub(super) enum BadValue {
    /// Not a number.
    #[error("it {0}")]
    Number(#[from] NumberError),
    /// One of the limits of a window.
    #[error("number {place}, “{text}”, {why}")]
    Limit {
        /// From 1.
        place: usize,
        /// As typed.
        text: String,
        /// What is wrong with it.
        why: NumberError,
    },
    /// A window of too few limits or too many.
    #[error(
        "three numbers or four are needed, convergence,divergence,dipvergence[,boresight], not {0}"
    )]
    Limits(usize),
    /// A day that is none.
    #[error("“{0}” is no day, such as 2027-11-25")]
    Day(String),
    /// One end of a swing.
    #[error("“{text}” {why}")]
    End {
        /// As typed.
        text: String,
        /// What is wrong with it.
        why: NumberError,
    },
    /// A swing of too few ends or too many.
    #[error("two numbers are needed, LO,HI, not {0}")]
    Ends(usize),
    /// A number that cannot be.
    #[error(transparent)]
    Solver(#[from] solver::Error),
}
