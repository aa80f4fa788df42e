//! Whether a fact still holds.

use crate::fact::Seq;

/// Whether a fact still holds.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum FactState {
    /// It does.
    Live,
    /// It was taken back.
    Undone {
        /// By which fact.
        by: Seq,
    },
    /// A reading that was real and is left out.
    Withdrawn {
        /// By which fact.
        by: Seq,
    },
    /// It could not be taken at its word; a remark says why.
    Ignored,
}
