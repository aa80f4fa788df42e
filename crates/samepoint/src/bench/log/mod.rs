//! The log of the open round.
//!
//! [`table`]: the readings; [`callout`]: what the log points at, [`callouts_ui`]: below it; [`advice`]: what stands
//! out, and what to read next.

pub(crate) mod advice;
pub(crate) mod callout;
pub(crate) mod callouts_ui;
pub(crate) mod table;
