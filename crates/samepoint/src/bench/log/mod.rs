//! The log of the open round.
//!
//! [`table`]: the readings; [`callout`]: what the log points at, [`callouts_ui`]: below it; [`advice`]: what stands
//! out, and what to read next.

pub mod advice;
pub mod callout;
pub mod callouts_ui;
pub mod table;
