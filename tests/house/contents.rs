//! `lib.rs` and `mod.rs` are tables of contents: every file below them is named there, so that whoever looks for a
//! room's files reads one page.

use crate::tree::{Source, sources};

#[test]
fn every_file_stands_in_its_folders_contents() {
    let mut missing = Vec::new();
    for name in ["solver", "reader", "record", "tables", "paper", "samepoint"] {
        let folders = sources(&format!("crates/{name}/src")).into_iter().filter(is_contents);
        for source in folders {
            let named: String =
                source.text.lines().filter(|line| line.starts_with("//!")).collect();
            let files = source.text.lines().filter_map(declared);
            missing.extend(
                files
                    .filter(|file| !stands_in(&named, file))
                    .map(|file| format!("{}: {file}", source.path)),
            );
        }
    }
    assert!(missing.is_empty(), "say in the folder's contents what these are for: {missing:#?}");
}

fn is_contents(source: &Source) -> bool {
    source.path.ends_with("/mod.rs") || source.path.ends_with("/lib.rs")
}

/// The file that a line declares; files of tests tell nothing about the room.
fn declared(line: &str) -> Option<&str> {
    let rest =
        line.strip_prefix("pub(crate) ").or_else(|| line.strip_prefix("pub ")).unwrap_or(line);
    let file = rest.strip_prefix("mod ")?.strip_suffix(';')?;
    (file != "tests").then_some(file)
}

/// By its name, or by that of the file it draws.
fn stands_in(contents: &str, file: &str) -> bool {
    let names = |file: &str| {
        ["`", "mod@", "::"].iter().any(|before| contents.contains(&format!("{before}{file}`")))
    };
    names(file) || file.strip_suffix("_ui").is_some_and(names)
}

#[test]
fn what_is_not_named_is_found() {
    assert_eq!(declared("pub(crate) mod glass_ui;"), Some("glass_ui"));
    assert_eq!(declared("mod tests;"), None);
    assert_eq!(declared("use super::glass;"), None);
    assert!(stands_in("//! - [`glass`]: through it", "glass_ui"));
    assert!(!stands_in("//! through the glass", "glass"));
}
