//! Writes the sessions of `tests/data/format1` and `format2` that are not there yet. What is there stays: these
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
use std::path::Path;

fn main() {
    for format in [1, 2] {
        let folder = formats::fixture_folder(format);
        std::fs::create_dir_all(&folder).unwrap();
        make(&folder, formats::fixtures(format));
    }
}

fn make(folder: &Path, fixtures: Vec<(&str, Vec<record::Fact>)>) {
    for (name, facts) in fixtures {
        let path = folder.join(name);
        match OpenOptions::new().write(true).create_new(true).open(&path) {
            Ok(mut file) => {
                file.write_all(&flips::lines_of(&facts)).unwrap();
                println!("written {}", path.display());
            }
            Err(why) => println!("left {}: {why}", path.display()),
        }
    }
}
