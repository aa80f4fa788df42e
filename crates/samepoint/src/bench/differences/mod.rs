//! A station that shows only the difference of the channels, on screen.
//!
//! [`table`]: the readings; `plane`: the plane of differences.

pub(crate) mod plane;
pub mod table;
