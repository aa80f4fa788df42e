//! `samepoint set-aside`: going on in a file whose end is missing, on a hand's word alone.

use std::fs;
use std::path::Path;

use crate::run::{root, samepoint};

const TORN: &[u8] = b"(\"0123";

/// A copy of a kept file with torn bytes behind it, in a folder of its own, and what was whole.
fn torn(name: &str, extension: &str) -> (tempfile::TempDir, String, Vec<u8>) {
    let folder = tempfile::tempdir().unwrap();
    let whole = fs::read(root().join("tests/data").join(name)).unwrap();
    let path = folder.path().join(format!("a.{extension}"));
    fs::write(&path, [&whole[..], TORN].concat()).unwrap();
    (folder, path.display().to_string(), whole)
}

fn kept_beside(folder: &Path) -> Vec<Vec<u8>> {
    let entries = fs::read_dir(folder).unwrap().flatten();
    let torn = entries.filter(|entry| entry.file_name().to_string_lossy().contains(".torn-"));
    torn.map(|entry| fs::read(entry.path()).unwrap()).collect()
}

/// Every kind of file: told first and left alone, cut on a hand's word, kept and noted for ever.
#[test]
fn an_end_is_set_aside_on_a_hands_word_alone() {
    for (name, extension) in [
        ("format1/whole-job.samepoint", "samepoint"),
        ("format2/every-fact.samepoint", "samepoint"),
        ("ledger2/every-fact.samepoint-ledger", "samepoint-ledger"),
        ("checks2/every-fact.samepoint-check", "samepoint-check"),
        ("studies2/every-fact.samepoint-study", "samepoint-study"),
        ("waiting1/every-fact.samepoint-waiting", "samepoint-waiting"),
    ] {
        let (folder, path, whole) = torn(name, extension);
        let before = fs::read(&path).unwrap();
        let told = samepoint(&["set-aside", &path]).answered(1);
        for said in ["the end is missing", "6 bytes stand", "Nothing was touched"] {
            assert!(told.contains(said), "{name}: {said}: {told}");
        }
        assert!(fs::read(&path).unwrap() == before, "{name}");
        assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 1, "{name}: nothing beside it");

        let done = samepoint(&["set-aside", &path, "--hand", "RV"]).answered(0);
        assert!(
            done.contains("the end was missing from line") && done.contains(".torn-"),
            "{done}"
        );
        assert_eq!(kept_beside(folder.path()), [TORN], "{name}");
        let after = fs::read_to_string(&path).unwrap();
        let (first, noted) = after.split_at(whole.len());
        assert!(first.as_bytes() == whole && noted.contains("samepoint notes, end set aside: "));
        assert!(noted.contains("\"RV\"") && noted.lines().count() == 1, "{noted}");
        // Once is enough.
        let again = samepoint(&["set-aside", &path, "--hand", "RV"]).refused();
        assert!(again.contains("has no missing end"), "{again}");
        assert_eq!(kept_beside(folder.path()).len(), 1);
    }
}

/// The session is reviewed as one whose end was set aside.
#[test]
fn a_session_whose_end_was_set_aside_is_marked() {
    let (_folder, path, _) = torn("format1/whole-job.samepoint", "samepoint");
    samepoint(&["review", &path]).answered(3);
    samepoint(&["set-aside", &path, "--hand", "RV"]).answered(0);
    let words = samepoint(&["review", &path]).answered(1);
    assert!(words.contains("end was missing") && words.contains("SHA-256"), "{words}");
}

#[test]
fn what_cannot_be_set_aside_is_refused_and_left_alone() {
    let same = |path: &str, arguments: &[&str], why: &str| {
        let before = fs::read(path).ok();
        let mut all = vec!["set-aside", path];
        all.extend(arguments);
        let message = samepoint(&all).refused();
        assert!(message.contains(why), "{why}: {message}");
        assert!(fs::read(path).ok() == before, "{path}");
    };
    let (folder, path, whole) = torn("format1/whole-job.samepoint", "samepoint");
    same(&path, &["--hand", " "], "--hand INITIALS");
    same(&path, &["--real"], "set-aside --help");
    // Whole, damaged before its end, another kind, nothing there.
    fs::write(&path, &whole).unwrap();
    same(&path, &[], "has no missing end");
    same(&path, &["--hand", "RV"], "has no missing end");
    let mut damaged = [&whole[..], TORN].concat();
    damaged[whole.len() / 2] ^= 1;
    fs::write(&path, &damaged).unwrap();
    same(&path, &[], "is damaged");
    same(&path, &["--hand", "RV"], "is damaged");
    let other = folder.path().join("a.samepoint-check").display().to_string();
    fs::write(&other, [&whole[..], TORN].concat()).unwrap();
    same(&other, &["--hand", "RV"], "is not a samepoint check file");
    let text = folder.path().join("a.txt").display().to_string();
    fs::write(&text, TORN).unwrap();
    same(&text, &["--hand", "RV"], "none of samepoint's files");
    let nothing = folder.path().join("b.samepoint").display().to_string();
    same(&nothing, &["--hand", "RV"], "b.samepoint");
    // Format 1 of checks and studies has no words for it.
    for (name, extension) in [
        ("checks1/every-fact.samepoint-check", "samepoint-check"),
        ("studies1/every-fact.samepoint-study", "samepoint-study"),
    ] {
        let (folder, path, _) = torn(name, extension);
        same(&path, &[], "format 1 has no words");
        same(&path, &["--hand", "RV"], "format 1 has no words");
        assert!(kept_beside(folder.path()).is_empty());
    }
}

/// Another has it open: nothing is cut under its hands.
#[test]
fn a_file_that_is_open_elsewhere_is_left_alone() {
    let (_folder, path, _) = torn("format1/whole-job.samepoint", "samepoint");
    let options = record::FileOptions::real(record::Opener::here("KT"));
    let held = record::SessionFile::open(Path::new(&path), options).unwrap();
    let message = samepoint(&["set-aside", &path, "--hand", "RV"]).refused();
    assert!(message.contains("has it open"), "{message}");
    drop(held);
    samepoint(&["set-aside", &path, "--hand", "RV"]).answered(0);
}
