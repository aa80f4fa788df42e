//! Facts that could not be written where they belong, kept in a file of their own until they can:
//! what was typed outlives a full disk, a closed window and the end of the program.
//!
//! A rescue file says of which file its facts are, by path, name and the last line on disk, and holds
//! their lines as that file would: they go on from that line, so they can be verified and joined.
//! Where there was room it holds the facts before them too, so that all is there even when the file
//! itself is gone. It is taken away only when its facts are safe elsewhere or a hand discards them.
//!
//! - [`form`]: the file and its reading, nothing trusted; [`keeper`]: writing it, fact by fact;
//! - [`offer`]: what a rescue file has to offer, and taking it.

pub mod form;
pub mod keeper;
pub mod offer;

pub use form::{About, Rescue, read};
pub use keeper::{Keeper, KeptWhere};
pub use offer::{FileStands, Offer, discard, look, rescue_files, take_into, take_into_new};

/// How rescue files end.
pub const RESCUE_EXTENSION: &str = "samepoint-rescue";
