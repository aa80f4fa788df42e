//! The record under every fault we could think of, and what it must be without any.
//!
//! - `support`: an invented session; `fold`: what facts mean;
//! - `flips`: any bit; `disk`: a disk that fails on demand; `power`: cuts, failing calls, torn tails;
//! - `formats`: every word of format 1, and the files kept for ever in `tests/data`;

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod disk;
mod flips;
mod fold;
mod formats;
mod power;
mod support;
