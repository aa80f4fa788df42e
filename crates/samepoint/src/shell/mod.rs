//! What every room of the window stands on, and what names none of them.
//!
//! - [`open_shop`]: the shop that is open, [`offers`]: what it offers to choose from;
//! - [`kept_file`]: whether the facts of an open file are safe; [`to_salvage`]: one that could not be opened;
//! - [`open_journal`]: an open file beside the sessions; [`path_sheet`]: a path, typed or chosen;
//! - [`refusals`]: what several refuse in the same words.

pub mod kept_file;
pub mod offers;
pub mod open_journal;
pub(crate) mod open_shop;
pub(crate) mod path_sheet;
pub mod refusals;
pub(crate) mod to_salvage;
