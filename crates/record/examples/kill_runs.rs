//! Kills a scripted session at random moments and demands every time that nothing saved is gone.
//!
//! `cargo run --release -p record --example kill_runs -- 500`

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a check that fails by panicking and reports on the terminal"
)]

#[path = "../../../tests/faults/kill.rs"]
mod kill;
#[path = "../../../tests/faults/support.rs"]
#[expect(dead_code, reason = "shared with the tests, which use all of it")]
mod support;

use std::process::Command;

fn main() {
    if let Some(path) = std::env::var_os(kill::CHILD) {
        kill::child(std::path::Path::new(&path));
        return;
    }
    let count = std::env::args().nth(1).map_or(500, |count| count.parse().unwrap());
    let (facts, tails) = kill::kills(count, || Command::new(std::env::current_exe().unwrap()));
    println!(
        "{count} kills: nothing saved was lost; {facts} facts read back, {tails} torn tails set aside"
    );
}
