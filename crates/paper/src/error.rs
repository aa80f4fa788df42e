//! What can keep a report from being made, in the user's words.

use thiserror::Error;

/// Why there is no report.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
#[non_exhaustive]
pub enum Error {
    /// A character that no face of the program has.
    #[error(
        "the report cannot show the character {character:?} (U+{code:04X}) in “{text}”: no face of \
         the program has it; write it another way in the session and try again",
        code = u32::from(*character)
    )]
    NoLetter {
        /// The character.
        character: char,
        /// The line it stands in.
        text: String,
    },
    /// The PDF could not be put together.
    #[error("the report could not be put together: {what}")]
    NotWritten {
        /// What is wrong.
        what: String,
    },
}
