//! Tables of shops, read back with the library that wrote them.
//!
//! - [`read_back`]: rows of a table from disk; [`schema`]: no column without unit and meaning, in the file too;
//! - [`values`]: what stands in them is the record's own account; the three questions answered from them alone;
//! - [`again`]: a run more writes what changed; [`broken_off`]: and goes on where one ended;
//! - [`twice`]: a session in two folders counts once; [`refusals`]: what is refused, and nothing written then;
//! - [`hostile`]: texts, names and lengths that somebody might send.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod again;
mod broken_off;
mod hostile;
#[path = "../shared/hostile_texts.rs"]
#[allow(dead_code, reason = "shared with other test programs, which use the rest")]
mod hostile_texts;
#[path = "../shared/many_readings.rs"]
mod many_readings;
mod read_back;
mod refusals;
mod schema;
mod twice;
mod values;
