//! What a supervisor needs, without a screen.
//!
//! - [`timeline`]: every fact as a line, with what became of it;
//! - [`what_if`]: a session as it would be, and never a fact;
//! - [`linked`]: blind confirm readings; [`two_sessions`]: two sessions of one unit;
//! - [`any_facts`]: whatever is said in whatever order;
//! - [`visits`]: units that come several times are no independent evidence; [`over_years`]: one unit’s page;
//! - [`answers`]: what many sessions answer together; [`planted`]: what is planted in the invented year;
//! - [`parts`]: what sessions tell of tubes, bores and eyepieces by name, and what was foretold of them;
//! - [`copied`]: a folder copied; [`folders`]: several folders seen as one; [`round_robin`]: one unit on several benches;
//! - [`flow`]: why units fail, how long work takes, whether it gets better;
//! - [`risks`]: what windows and rules would do to units like those of the past.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

mod answers;
mod any_facts;
#[path = "../shared/copied.rs"]
mod copied;
mod flow;
mod folders;
#[path = "../shared/hostile_texts.rs"]
mod hostile_texts;
mod linked;
mod over_years;
mod parts;
mod planted;
mod risks;
mod round_robin;
#[path = "../faults/support.rs"]
#[allow(dead_code, reason = "shared with another test program, which uses the rest")]
mod support;
mod timeline;
mod told;
#[path = "../shared/told_numbers.rs"]
mod told_numbers;
mod two_sessions;
mod visits;
mod what_if;
