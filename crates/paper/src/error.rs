//! What can keep a report from being made, in the user's words.

use thiserror::Error;

/// Why there is no report.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum Error {
    /// The PDF could not be put together.
    #[error("the report could not be put together: {what}")]
    NotWritten {
        /// What is wrong.
        what: String,
    },
}
