//! The sources and manifests of the whole workspace, read from disk.

use std::fs;
use std::path::{Path, PathBuf};

/// The crates, each allowed to use those before it, but record, tables and paper not reader, and nobody tables.
pub(crate) const CRATES: [&str; 6] = ["solver", "reader", "record", "tables", "paper", "samepoint"];

pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// A manifest, parsed.
pub(crate) fn manifest(path: &str) -> toml::Table {
    let text = fs::read_to_string(root().join(path)).unwrap();
    text.parse().unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// One Rust file.
pub(crate) struct Source {
    /// Path from the root.
    pub(crate) path: String,
    pub(crate) text: String,
}

impl Source {
    /// Its lines without comments, from 1. Good enough for words: no source holds `//` in a string
    /// together with what these tests look for.
    pub(crate) fn code(&self) -> impl Iterator<Item = (usize, &str)> {
        (1..).zip(self.text.lines().map(|line| line.split("//").next().unwrap_or_default()))
    }
}

/// Every Rust file under a folder, in a fixed order. There must be some.
pub(crate) fn sources(folder: &str) -> Vec<Source> {
    let mut found = Vec::new();
    let mut folders = vec![root().join(folder)];
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).unwrap() {
            let path = entry.unwrap().path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|extension| extension == "rs") {
                let text = fs::read_to_string(&path).unwrap();
                let path = path.strip_prefix(root()).unwrap().to_str().unwrap().to_owned();
                found.push(Source { path, text });
            }
        }
    }
    assert!(!found.is_empty(), "no Rust files under {folder}");
    found.sort_by(|a, b| a.path.cmp(&b.path));
    found
}

/// Lines of code that hold any of the words, as `path:line: line`.
pub(crate) fn lines_with(sources: &[Source], words: &[&str]) -> Vec<String> {
    let mut found = Vec::new();
    for source in sources {
        for (number, line) in source.code() {
            if words.iter().any(|word| line.contains(word)) {
                found.push(format!("{}:{number}: {}", source.path, line.trim()));
            }
        }
    }
    found
}
