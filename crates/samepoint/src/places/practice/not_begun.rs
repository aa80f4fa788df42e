//! Why an invented unit is not begun.

use crate::shell::refusals::Refusal;

/// Why not.
#[derive(Debug, thiserror::Error)]
pub enum NotBegun {
    /// A time limit that is no whole number of minutes.
    #[error(
        "Time limit: “{typed}” is not a whole number of minutes from 1 to {most}; leave it empty for none."
    )]
    TimeLimit {
        /// As typed.
        typed: String,
        /// The most there may be.
        most: u32,
    },
    /// Whether the unit was met is not known yet.
    #[error("Earlier attempts are still being read: try again in a moment.")]
    StillReading,
    /// This examination was begun; when.
    #[error("Begun already: {0}. Open it from the list and go on.")]
    BegunAlready(String),
    /// The hand has met the unit; when.
    #[error("An examination wants a unit that you have not met: {0}. Choose another number.")]
    Met(String),
    /// Somebody sits the unit.
    #[error("This unit is being sat: {0}. It can be practised once that is signed.")]
    BeingSat(String),
    /// What is assigned as an examination is not practised meanwhile.
    #[error("This unit is assigned to you as an examination: practise another.")]
    Assigned,
    /// As everywhere.
    #[error(transparent)]
    Refused(#[from] Refusal),
    /// The record.
    #[error(transparent)]
    Record(#[from] record::Error),
}
