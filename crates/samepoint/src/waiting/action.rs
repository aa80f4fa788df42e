//! What a hand asks for about facts that are not on disk.

use crate::shell::held::Held;
use std::path::PathBuf;

/// What a hand asks about facts that are not on disk.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum WaitingAction {
    /// Show what waits for a file.
    Show(Held),
    /// Try to write them again.
    Retry,
    /// Write them although files cannot be locked or synced there.
    Agree,
    /// Go on with them in a new file.
    Elsewhere,
    /// Leave them in the rescue file.
    Leave,
    /// Ask once more before they are discarded, or no longer.
    Discarding(bool),
    /// Discard them.
    Discard,
    /// Go on in this new file, agreed to or not.
    ContinueTo(PathBuf, bool),
    /// Take the facts of the rescue file shown into the file they belong to, agreed to or not.
    TakeInto(bool),
    /// Take them into a new file.
    TakeIntoNew,
    /// Keep the rescue file for later.
    Later,
}
