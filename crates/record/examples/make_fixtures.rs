//! Writes the sessions of `tests/data/format1` that are not there yet. What is there stays: these
//! files are kept as they were first written, for ever.
//!
//! `cargo run -p record --example make_fixtures`

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a maker of test data that fails by panicking"
)]

#[path = "../../../tests/faults/flips.rs"]
#[expect(dead_code, reason = "shared with the tests, which use all of it")]
mod flips;
#[path = "../../../tests/faults/formats.rs"]
mod formats;
#[path = "../../../tests/faults/support.rs"]
#[expect(dead_code, reason = "shared with the tests, which use all of it")]
mod support;

use std::fs::OpenOptions;
use std::io::Write;

fn main() {
    std::fs::create_dir_all(formats::fixture_folder()).unwrap();
    for (name, facts) in formats::fixtures() {
        let path = formats::fixture_folder().join(name);
        match OpenOptions::new().write(true).create_new(true).open(&path) {
            Ok(mut file) => {
                file.write_all(&flips::lines_of(&facts)).unwrap();
                println!("written {name}");
            }
            Err(why) => println!("left {name}: {why}"),
        }
    }
}
