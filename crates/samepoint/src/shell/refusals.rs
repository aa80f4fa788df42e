//! What several sheets and places refuse in the same words.

/// A unit without a name.
pub const NO_UNIT_NAME: &str = "Name the unit: what is written on it.";
/// Nobody is named.
pub const NO_HAND: &str = "Give your initials: every entry names its hand.";

/// There is nowhere to put it.
pub const NO_SHOP: &str = "No shop is open: open a shop folder first.";
/// Where a file dialog was asked for.
pub const NO_DIALOG: &str = "No file dialog answers on this desktop. Type the path instead.";
/// Where no session is open.
pub const NO_SESSION: &str = "No session is open: start one (Ctrl+N) or open one (Ctrl+O).";
/// Where a view needs a station.
pub const NO_STATION: &str = "No station is chosen: choose one under Set up (Ctrl+1).";
/// Where what follows needs both circles.
pub const BOTH_CIRCLES: &str = "Both circles have to be known first: log both channels.";
/// Where readings contradict the stated scatter.
pub const DO_NOT_FIT: &str = "The readings do not fit what the station says they scatter by: nothing \
                                     is judged. Look for one misread.";
/// Why nothing is read as found any more.
pub const RINGS_TURNED: &str = "A reading was logged, so rings have been turned: as found is over.";
