//! Reports read back by a general-purpose PDF reader.
//!
//! - `pages`: sizes, text, faces, bytes; `marked`: what every page warns of; `long`: what is too long
//!   for its place
//! - `reading`: reads a PDF back; `session`: sessions to report on
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod long;
mod marked;
mod pages;
mod reading;
mod session;
