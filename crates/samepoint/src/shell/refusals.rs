//! What several sheets and places refuse in the same words.

/// Nobody is named.
pub const NO_HAND: &str = "Give your initials: every entry names its hand.";

/// There is nowhere to put it.
pub const NO_SHOP: &str = "No shop is open: open a shop folder first.";
/// Where a file dialog was asked for.
pub const NO_DIALOG: &str = "No file dialog answers on this desktop. Type the path instead.";
