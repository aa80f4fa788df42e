//! The optics opened up: what each millimetre does to the circles.

/// What the place remembers.
#[derive(Debug, Default)]
pub struct Exploring {}

/// What a hand asks for there.
#[derive(Clone, Debug, PartialEq)]
pub enum ExploreAction {}
