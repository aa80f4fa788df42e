//! What lies where, and in what state.

use std::fs;

use crate::tree::{Source, root, sources};

/// No file of code is longer.
const LONGEST_LINES: usize = 600;

fn everything() -> Vec<Source> {
    ["crates", "tests"].iter().flat_map(|folder| sources(folder)).collect()
}

/// The folders a reader sees first, and the files a tool or a licence asks for.
#[test]
fn nothing_extra_lies_at_the_top() {
    let welcome = [
        "Cargo.toml",
        "Cargo.lock",
        "README.md",
        "DEVELOPERS.md",
        "LICENSE-APACHE",
        "LICENSE-MIT",
        "clippy.toml",
        "deny.toml",
        "rustfmt.toml",
        "assets",
        "crates",
        "demo-data",
        "tests",
    ];
    for entry in fs::read_dir(root()).unwrap() {
        let entry = entry.unwrap();
        let name = entry.file_name().into_string().unwrap();
        // A build folder is not part of the tree, and tools keep their own behind a dot.
        let known = welcome.contains(&name.as_str()) || name.starts_with('.') || name == "target";
        assert!(known, "{name} does not belong at the top");
    }
}

#[test]
fn no_file_is_too_long_to_read() {
    for source in everything() {
        let lines = source.text.lines().count();
        assert!(lines <= LONGEST_LINES, "{} has {lines} lines; part it by subject", source.path);
    }
}

/// The words are put together here so that this file does not hold them.
#[test]
fn nothing_is_left_unfinished_or_switched_off() {
    let unfinished = ["todo", "unimplemented"].map(|word| format!("{word}!"));
    let switched_off = [format!("#[{}", "ignore"), format!("{}_attr(ignore", "cfg")];
    for source in everything() {
        for (number, line) in source.code() {
            for word in unfinished.iter().chain(&switched_off) {
                assert!(!line.contains(word), "{}:{number}: {word}", source.path);
            }
        }
    }
}

/// What is public is named somewhere else, or it is nobody's.
#[test]
fn nothing_public_is_used_by_nobody() {
    let mut times = std::collections::BTreeMap::<String, usize>::new();
    let sources = everything();
    let letter = |c: char| !(c.is_alphanumeric() || c == '_');
    for (_, line) in sources.iter().flat_map(Source::code) {
        for word in line.split(letter).filter(|word| !word.is_empty()) {
            *times.entry(word.to_owned()).or_default() += 1;
        }
    }
    let kinds = ["fn", "struct", "enum", "trait", "type", "static"];
    for source in sources.iter().filter(|source| source.path.contains("/src/")) {
        for (number, line) in source.code().filter(|(_, line)| line.trim().starts_with("pub")) {
            let mut words = line.split(letter).filter(|word| !word.is_empty());
            let named = words.by_ref().find(|word| kinds.contains(word)).and_then(|_| words.next());
            let used = named.is_none_or(|name| times.get(name).is_some_and(|times| *times > 1));
            assert!(used, "{}:{number}: nobody uses it: {}", source.path, line.trim());
        }
    }
}

/// `mod.rs` or `name.rs`, but every folder of modules says what is in it.
#[test]
fn every_module_begins_with_what_it_is_for() {
    for source in sources("crates") {
        let is_test = source.path.ends_with("tests.rs") || source.path.contains("/tests/");
        let says = source.text.starts_with("//!");
        assert!(is_test || says, "{} does not begin with //!", source.path);
    }
}
