//! Why an answer to a session is not given.

use super::NotAnswered;
use crate::shell::refusals::Refusal;
use crate::shell::sealing::SealRefused;

/// Why an answer is not given, in a sentence.
#[derive(Debug, thiserror::Error)]
pub(crate) enum NotGiven {
    /// Nobody said whose answer it is.
    #[error("Type the initials of whoever answers, under Supervisor.")]
    NoInitials,
    /// There is nothing to answer.
    #[error("No session is looked over.")]
    NothingOpen,
    /// What is signed takes no answer.
    #[error(transparent)]
    NotAnswered(#[from] NotAnswered),
    /// It cannot be countersigned.
    #[error("{0}")]
    Countersignature(String),
    /// A return without words.
    #[error("Say what is to be done: a return needs a comment.")]
    NoComment,
    /// The hand may not; a new session cannot be begun.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// It cannot be sealed as chosen.
    #[error(transparent)]
    Seal(#[from] SealRefused),
    /// Nothing can be laid beside it blind.
    #[error("{}", paper::words::capital(&format!("{}.", .0)))]
    NoLink(record::NoLink),
    /// It cannot be read any more.
    #[error(transparent)]
    Unread(#[from] record::Error),
    /// Its file has other lines than when it was looked at.
    #[error("It was written to since you looked at it: look at it again.")]
    WrittenSince,
    /// Its shop says something else of it.
    #[error("What its shop says of it changed since you looked at it: look at it again.")]
    SaidOtherwiseSince,
}
