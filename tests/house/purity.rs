//! What each crate must not know.

use crate::tree::{CRATES, lines_with, manifest, sources};

/// Crates that draw a window.
const SCREEN: [&str; 6] = ["egui", "eframe", "egui_plot", "egui_extras", "egui_kittest", "rfd"];

/// The solver and the reader have no outside: numbers come in as arguments and go out as values.
#[test]
fn the_solver_and_the_reader_have_no_outside() {
    let outside = [
        "std::fs",
        "std::env",
        "std::net",
        "std::time",
        "std::thread",
        "std::process",
        "std::io",
        "std::os",
        "use std::{",
        "std::path",
        "Instant::now",
        "SystemTime",
        "rand::rng(",
        "thread_rng",
        "println!",
        "static mut",
    ];
    for name in ["solver", "reader"] {
        let found = lines_with(&sources(&format!("crates/{name}/src")), &outside);
        assert!(found.is_empty(), "{found:#?}");
    }
}

/// Data that arrives from files has its own types; the solver's are not tied to any file.
#[test]
fn the_solver_knows_no_file_format() {
    for name in ["solver", "reader"] {
        let manifest = manifest(&format!("crates/{name}/Cargo.toml"));
        let dependencies = manifest.get("dependencies").and_then(toml::Value::as_table).unwrap();
        for format in ["serde", "serde_json", "ron", "csv", "jiff", "log", "image", "png"] {
            assert!(!dependencies.contains_key(format), "{name} must not use {format}");
        }
    }
}

#[test]
fn only_the_program_knows_a_screen() {
    for name in CRATES.iter().filter(|name| **name != "samepoint") {
        let manifest = manifest(&format!("crates/{name}/Cargo.toml"));
        for table in ["dependencies", "dev-dependencies"] {
            let used = manifest.get(table).and_then(toml::Value::as_table);
            for screen in SCREEN {
                let uses = used.is_some_and(|used| used.contains_key(screen));
                assert!(!uses, "{name} must not use {screen}");
            }
        }
    }
}

/// The command line works where no window can.
#[test]
fn the_command_line_knows_no_screen() {
    let found = lines_with(&sources("crates/samepoint/src/cli"), &SCREEN);
    assert!(found.is_empty(), "{found:#?}");
}
