//! The window as its user meets it: the real application, driven by keys and by the names of its
//! controls, without a display.
//!
//! - `bench`: the application under test and the gestures of a hand;
//! - `session`: as found, eight readings by keyboard, guidance; withdraw, undo, redo; reopen;
//! - `field`: the plot under the hand: trying, measuring, arrows, pictures;
//! - `files`: a second window is read-only; open, copy and dialogs; broken files;
//! - `entry`: what is refused, units, typing faster than frames;
//! - `layout`: nothing clips, nothing moves, every control has a name and a size;
//! - `pictures` (feature `snapshots`): one picture per screen and size.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod bench;
mod entry;
mod field;
mod files;
mod layout;
#[cfg(feature = "snapshots")]
mod pictures;
mod session;
