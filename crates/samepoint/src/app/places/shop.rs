//! The shop: all its sessions, and what they come to.

/// What the place remembers.
#[derive(Debug, Default)]
pub struct Surveying {}

/// What a hand asks for there.
#[derive(Clone, Debug, PartialEq)]
pub enum ShopAction {}
