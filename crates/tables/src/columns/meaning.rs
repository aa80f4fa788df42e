//! Meanings that columns of several tables have in common.

/// Of a fact's number in a file that goes on line by line.
pub(super) const SEQ_IN_FILE: &str = "the number of its fact in the file";

/// Of a fact's number in a session.
pub(super) const SEQ_IN_SESSION: &str = "the number of its fact in the session";

/// Of a unit.
pub(super) const UNIT_NAME: &str = "the unit’s serial number or name";

/// Of a reading that was real.
pub(super) const LEFT_OUT: &str = "whether it was left out, with a reason";

/// Of a channel.
pub(super) const WHOSE_CROSSHAIR: &str = "whose crosshair: left or right";
