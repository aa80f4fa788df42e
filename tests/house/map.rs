//! The map leads somewhere: every path that DEVELOPERS.md names is there.

use std::fs;
use std::path::Path;

use crate::tree::root;

#[test]
fn every_path_of_the_map_is_there() {
    let mut all = Vec::new();
    for top in ["crates", "tests", "assets", "demo-data", ".ci"] {
        below(&root().join(top), &format!("/{top}"), &mut all);
    }
    let map = fs::read_to_string(root().join("DEVELOPERS.md")).unwrap();
    let named: Vec<&str> = map.split('`').skip(1).step_by(2).filter(|text| is_path(text)).collect();
    assert!(named.len() > 80, "only {} paths were found", named.len());
    let lost: Vec<_> = named
        .into_iter()
        .filter(|path| {
            let ending = format!("/{}", path.trim_end_matches('/'));
            // A file of the map may go by its module's name.
            let [plain, file] = [ending.clone(), format!("{ending}.rs")];
            !all.iter().any(|one| one.ends_with(&plain) || one.ends_with(&file))
        })
        .collect();
    assert!(lost.is_empty(), "the map names what is not there: {lost:#?}");
}

/// Letters of a path, and a folder or a Rust file in it; no command, type or line of a program.
fn is_path(text: &str) -> bool {
    let letters = |c: char| c.is_ascii_alphanumeric() || "/._-".contains(c);
    let outside = ["target/", "~", "out/"].iter().any(|start| text.starts_with(start));
    !outside && text.chars().all(letters) && (text.contains('/') || text.ends_with(".rs"))
}

fn below(folder: &Path, name: &str, all: &mut Vec<String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let entry = entry.unwrap();
        let name = format!("{name}/{}", entry.file_name().to_string_lossy());
        if entry.path().is_dir() {
            below(&entry.path(), &name, all);
        }
        all.push(name);
    }
}
