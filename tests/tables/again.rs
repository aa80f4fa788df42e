//! A run more writes what changed, and nothing else; the same shops give the same bytes.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};
use std::time::SystemTime;

use tables::Table;
use tables::manifest::{MANIFEST, Manifest};

use crate::read_back::{bytes, copy_of_demo, files, made, parts, rows, text, whole_job};

/// When each file was put in place: a file that is replaced is another.
fn identities(to: &Path) -> BTreeMap<PathBuf, (SystemTime, u64)> {
    let identity = |path: &PathBuf| {
        let metadata = fs::metadata(path).unwrap();
        #[cfg(unix)]
        let number = std::os::unix::fs::MetadataExt::ino(&metadata);
        #[cfg(not(unix))]
        let number = 0;
        (metadata.modified().unwrap(), number)
    };
    files(to).iter().map(|path| (path.clone(), identity(path))).collect()
}

fn changed(before: &BTreeMap<PathBuf, (SystemTime, u64)>, to: &Path) -> Vec<String> {
    let now = identities(to);
    let other = now.iter().filter(|(path, identity)| before.get(*path) != Some(identity));
    let gone = before.keys().filter(|path| !now.contains_key(*path));
    let mut names: Vec<String> = other
        .map(|(path, _)| path)
        .chain(gone)
        .map(|path| path.strip_prefix(to).unwrap().display().to_string())
        .filter(|name| name != MANIFEST && !name.ends_with(".lock"))
        .collect();
    names.sort();
    names
}

#[test]
fn only_what_changed_is_written() {
    let folder = tempfile::tempdir().unwrap();
    let shop = copy_of_demo(&folder.path().join("shop"));
    let to = folder.path().join("to");
    assert!(made(&[&shop], &to).out.contains(": 81 written, 0 taken away"));
    let before = identities(&to);
    let run = made(&[&shop], &to);
    assert!(run.code == 1 && run.out.contains("Nothing changed"), "{run:?}");
    assert!(run.err.contains("0412"), "what was passed over is said again: {run:?}");
    assert_eq!(identities(&to), before, "not even the manifest");

    // A file that changes no row: all is looked at, and nothing worked out or written.
    fs::write(shop.join("pictures/new.txt"), "x").unwrap();
    let run = made(&[&shop], &to);
    assert!(run.out.contains(": 0 written, 0 taken away; 0 of "), "{run:?}");
    assert!(
        run.code == 1 && run.err.contains("0412"),
        "what was passed over is said again: {run:?}"
    );
    assert!(changed(&before, &to).is_empty());

    // A session more, in a month of its own: that month's files alone.
    fs::copy(whole_job(), shop.join("sessions/2030 more.samepoint")).unwrap();
    let run = made(&[&shop], &to);
    assert!(run.out.contains("; 1 of "), "one month alone is worked out: {run:?}");
    let names = changed(&before, &to);
    let months = parts(&to, Table::Sessions).len();
    assert!(names.len() >= 4 && names.len() < 8 && months > 12, "{names:?}");
    let day = rows(&to, Table::Sessions)
        .iter()
        .find(|row| text(row, "file").unwrap().starts_with("2030"))
        .and_then(|row| text(row, "month"))
        .unwrap();
    assert!(names.iter().all(|name| name.contains(&day)), "{names:?} {day}");

    // It leaves again: the files are as they were, byte for byte.
    let with = bytes(&to);
    fs::remove_file(shop.join("sessions/2030 more.samepoint")).unwrap();
    made(&[&shop], &to);
    let fresh = folder.path().join("fresh");
    made(&[&shop], &fresh);
    assert!(bytes(&to) == bytes(&fresh) && bytes(&to) != with);
}

/// What lies beside the sessions changes what is told of them: a window, a check, the ledger. The tables are those of
/// a first run.
#[test]
fn what_lies_beside_the_sessions_counts() {
    let folder = tempfile::tempdir().unwrap();
    let shop = copy_of_demo(&folder.path().join("shop"));
    let to = folder.path().join("to");
    made(&[&shop], &to);
    let mut before = bytes(&to);
    let any = |kind: &str| files(&shop.join(kind))[0].clone();
    let changes: [(&str, &dyn Fn()); 4] = [
        ("windows", &|| {
            let path = shop.join("windows/Shop window.ron");
            let text = fs::read_to_string(&path).unwrap();
            fs::write(path, text.replace("convergence_arcmin: 45.0", "convergence_arcmin: 46.0"))
                .unwrap();
        }),
        ("checks", &|| fs::remove_file(any("checks")).unwrap()),
        ("studies", &|| fs::remove_file(any("studies")).unwrap()),
        ("letterhead", &|| {
            let text = "(format: 1, letterhead: (name: \"Another name\", address: \"\"))";
            fs::write(shop.join("letterhead.ron"), text).unwrap();
        }),
    ];
    for (number, (what, change)) in changes.into_iter().enumerate() {
        change();
        made(&[&shop], &to);
        let fresh = folder.path().join(format!("fresh {number}"));
        made(&[&shop], &fresh);
        let now = bytes(&to);
        assert!(now == bytes(&fresh), "{what}");
        assert!(now != before, "{what} changed nothing");
        before = now;
    }
}

/// A month that has no session any more leaves with its folder, unless somebody else put something there.
#[test]
fn what_became_empty_leaves() {
    let folder = tempfile::tempdir().unwrap();
    let shop = copy_of_demo(&folder.path().join("shop"));
    let to = folder.path().join("to");
    made(&[&shop], &to);
    let month = |table: Table| {
        let shop = files(&to.join(table.name()))[0].ancestors().nth(2).unwrap().to_owned();
        shop.join("month=2026-01")
    };
    fs::write(month(Table::Readings).join("notes of somebody.txt"), "mine").unwrap();
    for path in files(&shop.join("sessions")) {
        if path.file_name().unwrap().to_str().unwrap().starts_with("2026-01") {
            fs::remove_file(path).unwrap();
        }
    }
    let run = made(&[&shop], &to);
    assert!(run.out.contains("taken away"), "{run:?}");
    assert!(!month(Table::Sessions).exists() && !month(Table::Rounds).exists());
    let left: Vec<String> = files(&month(Table::Readings))
        .iter()
        .map(|path| path.file_name().unwrap().to_str().unwrap().to_owned())
        .collect();
    assert_eq!(left, ["notes of somebody.txt"]);
}

/// Without its manifest, or with a file that was spoiled, the next run puts all right.
#[test]
fn what_was_spoiled_is_made_again() {
    let folder = tempfile::tempdir().unwrap();
    let shop = copy_of_demo(&folder.path().join("shop"));
    let to = folder.path().join("to");
    made(&[&shop], &to);
    let whole = bytes(&to);
    fs::remove_file(to.join(MANIFEST)).unwrap();
    assert!(made(&[&shop], &to).out.contains(": 0 written"));
    // A byte of a page, which the frame does not show.
    let part = &parts(&to, Table::Readings)[0];
    let mut spoiled = fs::read(part).unwrap();
    spoiled[100] ^= 1;
    fs::write(part, spoiled).unwrap();
    assert!(made(&[&shop], &to).out.contains(": 1 written"));
    fs::remove_file(part).unwrap();
    assert!(made(&[&shop], &to).out.contains(": 1 written"));
    assert!(bytes(&to) == whole);
    let manifest = Manifest::read(&fs::read(to.join(MANIFEST)).unwrap()).unwrap();
    assert!(manifest.whole && manifest.files.len() == whole.len());
    // A manifest that was torn is ours all the same.
    let torn = fs::read(to.join(MANIFEST)).unwrap();
    fs::write(to.join(MANIFEST), &torn[..torn.len() / 2]).unwrap();
    assert_eq!(made(&[&shop], &to).code, 1);
    assert!(bytes(&to) == whole);
}

/// The folder holds the shops named; one that is not named any more leaves, and that is said.
#[test]
fn a_shop_that_is_not_named_leaves() {
    let folder = tempfile::tempdir().unwrap();
    let [one, two] = ["one", "two"].map(|name| {
        let shop = folder.path().join(name);
        fs::create_dir_all(shop.join("sessions")).unwrap();
        shop
    });
    fs::copy(whole_job(), one.join("sessions/a.samepoint")).unwrap();
    let to = folder.path().join("to");
    made(&[&one, &two], &to);
    assert_eq!(rows(&to, Table::Sessions).len(), 1);
    let run = made(&[&two], &to);
    assert!(run.out.contains("not named this time") && run.out.contains("one"), "{run:?}");
    assert!(rows(&to, Table::Sessions).is_empty());
    assert_eq!(made(&[&one, &two], &to).code, 0);
    assert_eq!(rows(&to, Table::Sessions).len(), 1);
}
