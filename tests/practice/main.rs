//! Practice: invented units, hidden truth, the score, and scripted hands that show it is fair.
//!
//! - `units`: units by number, against the optics and against brute force;
//! - `noise`: what a look adds, against known bounds;
//! - `scores`: the first formula part by part; `second`: the second; `selfcheck`: scripted hands;
//! - `opening`: a unit on the bench: its first facts, its rings as found and as read;
//! - `ranks`: trainees of known fault; `progress`: scores over time, from a shop's files; `explore`: each preset's claim;
//! - `presets_by_hand`: each preset's numbers by closed forms that share no code with the model.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "tests fail by panicking"
)]

#[path = "../../crates/record/examples/practice_hands/hands.rs"]
mod hands;
#[path = "../../crates/record/examples/practice_hands/trainees.rs"]
mod trainees;

mod explore;
mod noise;
mod opening;
mod presets_by_hand;
mod progress;
mod ranks;
mod scores;
mod second;
mod selfcheck;
mod units;
