//! `samepoint salvage`: a new session of what verifies in a damaged one.

use std::fs;

use crate::run::{root, samepoint};

const WHOLE: &str = "tests/data/format1/whole-job.samepoint";

#[test]
fn a_damaged_session_is_salvaged_marked_and_reviewed() {
    let folder = tempfile::tempdir().unwrap();
    let [damaged, new] =
        ["a.samepoint", "b.samepoint"].map(|name| folder.path().join(name).display().to_string());
    let mut bytes = fs::read(root().join(WHOLE)).unwrap();
    let lines: Vec<usize> =
        bytes.iter().enumerate().filter(|(_, byte)| **byte == b'\n').map(|(at, _)| at).collect();
    bytes[lines[6] + 100] ^= 1;
    fs::write(&damaged, &bytes).unwrap();
    let said = samepoint(&["salvage", &damaged, "--to", &new]).answered(1);
    assert!(said.contains("Line 8 is lost") && said.ends_with(&format!("{new}\n")), "{said}");
    let words = samepoint(&["review", &new]).answered(1);
    for said in ["intact to the last byte", "salvaged", "a.samepoint", "sign anew what holds"] {
        assert!(words.contains(said), "{said}: {words}");
    }
    // Once is enough, and what is there is left.
    let before = fs::read(&new).unwrap();
    samepoint(&["salvage", &damaged, "--to", &new]).refused();
    assert!(fs::read(&new).unwrap() == before && fs::read(&damaged).unwrap() == bytes);
}

#[test]
fn what_cannot_be_salvaged_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let to = folder.path().join("b.samepoint").display().to_string();
    for (session, why) in [
        (WHOLE, "nothing to salvage"),
        ("demo-data/readings/good.csv", "good.csv"),
        ("no-such.samepoint", "no-such"),
    ] {
        let message = samepoint(&["salvage", session, "--to", &to]).refused();
        assert!(message.contains(why), "{message}");
    }
    let message = samepoint(&["salvage", WHOLE, "--to", "b.txt"]).refused();
    assert!(message.contains("ends in .samepoint"), "{message}");
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0);
}

/// The first line zeroed: a review says damaged, and salvage brings the rest back, said to be in part.
#[test]
fn a_session_whose_first_line_is_lost_is_damaged_and_salvaged() {
    let folder = tempfile::tempdir().unwrap();
    let [damaged, new] =
        ["a.samepoint", "b.samepoint"].map(|name| folder.path().join(name).display().to_string());
    let mut bytes = fs::read(root().join(WHOLE)).unwrap();
    let first = bytes.iter().position(|byte| *byte == b'\n').unwrap();
    bytes[..=first].fill(0);
    fs::write(&damaged, &bytes).unwrap();
    let said = samepoint(&["review", &damaged]).answered(3);
    assert!(said.contains("first line is lost") && said.contains("samepoint salvage"), "{said}");
    let json = samepoint(&["review", "--json", &damaged]).answered(3);
    assert!(json.contains("\"state\": \"damaged\""), "{json}");
    let said = samepoint(&["salvage", &damaged, "--to", &new]).answered(1);
    for words in ["first line is lost", "Nothing tells which session", "counts as of a real unit"] {
        assert!(said.contains(words), "{words}: {said}");
    }
    let words = samepoint(&["review", &new]).answered(1);
    assert!(words.contains("salvaged") && words.contains("first line is lost"), "{words}");
}

/// Where nothing that is left tells real from practice, it is asked for.
#[test]
fn real_or_practice_is_asked_for_where_nothing_tells() {
    let folder = tempfile::tempdir().unwrap();
    let [damaged, new] =
        ["a.samepoint", "b.samepoint"].map(|name| folder.path().join(name).display().to_string());
    let bytes = fs::read(root().join(WHOLE)).unwrap();
    let readings = bytes.windows(8).position(|at| at == b"reading(").unwrap();
    fs::write(&damaged, &bytes[readings..]).unwrap();
    let message = samepoint(&["salvage", &damaged, "--to", &new]).refused();
    assert!(message.contains("--real") && message.contains("practice"), "{message}");
    assert!(!std::path::Path::new(&new).exists());
    let said = samepoint(&["salvage", &damaged, "--to", &new, "--real"]).answered(1);
    assert!(said.contains("says so"), "{said}");
}
