//! What a fact is called for ever.

/// A fact's place in its session, counted from 1: also the number of its line in the file, and
/// the lasting name of a reading or round.
pub type Seq = u64;
