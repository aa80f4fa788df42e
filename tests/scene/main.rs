//! The field plot as a display list: that what is drawn is where the numbers say.
//!
//! - `units`: small units whose answers are worked by hand;
//! - `uncertainty`: widths of bands, axes of ellipses, guard band;
//! - `swing`: where a swing takes both channels;
//! - `settings`: crossings, compromises, settings by hand;
//! - `words`: every item tells what it is; the telling holds them.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod settings;
mod swing;
mod uncertainty;
mod units;
mod words;
