//! Reports read back by a general-purpose PDF reader.
//!
//! - `certificate`: the page of a practice session; `day`: receiving, handovers; `pages`: sizes, text, faces, bytes; `plots`: pictures alone; `marked`: what every page warns of; `long`: what is too long
//!   for its place; `judged`: what does not fit, and where a shim lies; `hostile`: texts that are no words; `recall`: the recall list; `month`: a month
//! - `kept`: what goes with a report, and how it is told aloud; `label`: of a unit's case, its QR code read back;
//!   `small`: pictures of confirm readings; `head`: whose papers they are
//! - `reading`: reads a PDF back; `session`: sessions to report on
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod certificate;
mod day;
#[allow(dead_code, reason = "a certificate needs one of them")]
#[path = "../../crates/record/examples/practice_hands/hands.rs"]
mod hands;
mod head;
mod hostile;
#[path = "../shared/hostile_texts.rs"]
mod hostile_texts;
mod judged;
mod kept;
mod label;
mod long;
mod marked;
mod month;
mod pages;
mod plots;
mod reading;
mod recall;
mod session;
mod small;
#[path = "../shared/told_numbers.rs"]
mod told_numbers;
#[allow(dead_code, reason = "a certificate needs one of them")]
#[path = "../../crates/record/examples/practice_hands/trainees.rs"]
mod trainees;
