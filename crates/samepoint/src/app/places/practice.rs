//! Practice: invented units to solve, and how it went.

/// What the place remembers.
#[derive(Debug, Default)]
pub struct Practising {}

/// What a hand asks for there.
#[derive(Clone, Debug, PartialEq)]
pub enum PracticeAction {}
