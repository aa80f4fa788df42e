//! Review: one session looked over from its first fact to its signature.

/// What the place remembers.
#[derive(Debug, Default)]
pub struct Reviewing {}

/// What a hand asks for there.
#[derive(Clone, Debug, PartialEq)]
pub enum ReviewAction {}
