//! A station that shows only the difference of the channels, on screen.
//!
//! [`table`]: the readings; the plane of differences is drawn by [`crate::widgets::differences_ui`].

pub(crate) mod table;
