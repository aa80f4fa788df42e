//! `demo-data` is what its maker makes, byte for byte, and nothing else lies there.
//! Make it anew with `cargo run -p record --example make_demo_data`.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "tests fail by panicking"
)]

#[path = "../../crates/record/examples/make_demo_data/bench.rs"]
mod bench;
#[path = "../../crates/record/examples/make_demo_data/readings.rs"]
mod readings;
#[path = "../../crates/record/examples/make_demo_data/readme.rs"]
mod readme;
#[path = "../../crates/record/examples/make_demo_data/workshop.rs"]
mod workshop;

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

fn demo_data() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data")
}

#[test]
fn every_file_is_as_made() {
    for (name, made) in workshop::files() {
        let kept =
            fs::read(demo_data().join(&name)).unwrap_or_else(|error| panic!("{name}: {error}"));
        assert!(kept == made, "{name} differs from what make_demo_data makes");
    }
}

#[test]
fn nothing_else_lies_there() {
    let mut found = BTreeSet::new();
    let mut folders = vec![demo_data()];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else {
                let name = path.strip_prefix(demo_data()).unwrap().to_str().unwrap().to_owned();
                found.insert(name);
            }
        }
    }
    let made: BTreeSet<String> = workshop::files().into_keys().collect();
    assert_eq!(found, made);
}
