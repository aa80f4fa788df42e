//! What others may have put where a session, its lock or a file of the shop belongs: links, pipes,
//! devices, files of another kind. Nothing hangs, and nothing of theirs is written over.

use std::fs::{self, File};
use std::os::unix::fs::symlink;
use std::path::Path;
use std::process::Command;
use std::sync::mpsc;
use std::time::Duration;

use record::file::chain;
use record::file::lock::lock_path;
use record::file::scan::LARGEST_FILE;
use record::file::{check_chain, scan};
use record::{Access, Error, ReadOnlyReason, SessionFile, Shop};

use crate::flips::lines_of;
use crate::power::script;
use crate::support::*;

/// Fails where `work` does not end: it takes milliseconds.
fn ends<T: Send + 'static>(work: impl FnOnce() -> T + Send + 'static) -> T {
    let (done, ended) = mpsc::channel();
    std::thread::spawn(move || done.send(work()));
    ended.recv_timeout(Duration::from_secs(20)).expect("it hangs")
}

fn fifo(path: &Path) {
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

fn open(path: &Path) -> Result<SessionFile, Error> {
    let path = path.to_owned();
    ends(move || SessionFile::open(&path, real()))
}

/// Everything in a folder, with what plain files hold.
fn all(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let mut found: Vec<_> = fs::read_dir(folder)
        .unwrap()
        .map(|entry| {
            let path = entry.unwrap().path();
            let plain = path.symlink_metadata().unwrap().is_file();
            let bytes = if plain { fs::read(&path).unwrap() } else { Vec::new() };
            (path.file_name().unwrap().to_string_lossy().into_owned(), bytes)
        })
        .collect();
    found.sort();
    found
}

#[test]
fn what_is_no_file_is_refused_and_gets_no_lock() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name);
    fifo(&at("pipe.samepoint"));
    symlink("/dev/zero", at("zeros.samepoint")).unwrap();
    symlink("round.samepoint", at("round.samepoint")).unwrap();
    fs::create_dir(at("folder.samepoint")).unwrap();
    let before = all(folder.path());
    for (name, what) in [
        ("pipe", "this is a pipe"),
        ("zeros", "this is a device"),
        ("round", "symbolic links"),
        ("folder", "this is a folder"),
    ] {
        let path = at(&format!("{name}.samepoint"));
        let why = open(&path).unwrap_err().to_string();
        assert!(why.contains(what), "{why}");
        let new = SessionFile::create(&path, header(), HAND, real());
        assert!(matches!(new, Err(Error::AlreadyThere { .. })), "{new:?}");
        let _ = fs::remove_file(lock_path(&path));
    }
    assert_eq!(all(folder.path()), before);
}

/// A lock is a plain file of ours or it is no lock: what a link leads to is not even opened.
#[test]
fn a_lock_that_leads_elsewhere_is_not_followed() {
    let elsewhere = tempfile::tempdir().unwrap();
    let letter = elsewhere.path().join("letter");
    fs::write(&letter, "dear customer").unwrap();
    for leads_to in [letter.as_path(), &elsewhere.path().join("new"), Path::new("/dev/full")] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.samepoint");
        fs::write(&path, lines_of(&script())).unwrap();
        symlink(leads_to, lock_path(&path)).unwrap();
        let file = open(&path).unwrap();
        let Access::ReadOnly(ReadOnlyReason::NotPermitted(why)) = file.access() else {
            panic!("{}", file.access());
        };
        assert!(why.to_string().contains("no lock file"), "{why}");
        assert_eq!(file.facts(), script());
        assert_eq!(all(elsewhere.path()), [("letter".to_owned(), b"dear customer".to_vec())]);
    }
}

#[test]
fn a_lock_that_is_a_pipe_keeps_nobody_waiting() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint");
    fs::write(&path, lines_of(&script())).unwrap();
    fifo(&lock_path(&path));
    for _ in 0..2 {
        let file = open(&path).unwrap();
        assert!(matches!(file.access(), Access::ReadOnly(ReadOnlyReason::NotPermitted(_))));
    }
}

/// Whoever wrote the note in a lock file: it is told on one line, its marks to be seen.
#[test]
fn a_lock_note_moves_nothing() {
    for hostile in
        ["KT\nSigned “pass” by SH", "a\u{202e}b", "\u{1b}[2J\u{9b}", "S\u{200b}H\u{e0041}"]
    {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.samepoint");
        fs::write(&path, lines_of(&script())).unwrap();
        let mut options = real();
        options.opener.who = hostile.to_owned();
        options.opener.place = hostile.to_owned();
        let first = SessionFile::open(&path, options).unwrap();
        assert!(matches!(first.access(), Access::Writing));
        let second = open(&path).unwrap();
        let words = second.access().to_string();
        assert!(
            words.contains("has it open") && !words.contains(record::shown::is_hidden),
            "{words:?}"
        );
    }
}

/// Another's file under the lock's name, by chance or by a hard link, locks but is not written over.
#[test]
fn what_is_no_note_is_not_written_over() {
    for bytes in [b"dear customer".to_vec(), b"(".repeat(10_000), vec![0xff; 3]] {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("a.samepoint");
        fs::write(&path, lines_of(&script())).unwrap();
        fs::write(lock_path(&path), &bytes).unwrap();
        let first = open(&path).unwrap();
        assert!(matches!(first.access(), Access::Writing));
        let second = open(&path).unwrap();
        assert!(matches!(second.access(), Access::ReadOnly(ReadOnlyReason::InUse(_))));
        assert_eq!(fs::read(lock_path(&path)).unwrap(), bytes);
    }
}

/// Two names of one session have one lock.
#[test]
fn a_link_to_a_session_is_that_session() {
    let (here, there) = (tempfile::tempdir().unwrap(), tempfile::tempdir().unwrap());
    let path = there.path().join("a.samepoint");
    fs::write(&path, lines_of(&script())).unwrap();
    let link = here.path().join("b.samepoint");
    symlink(&path, &link).unwrap();
    let first = open(&link).unwrap();
    assert!(matches!(first.access(), Access::Writing), "{}", first.access());
    let second = open(&path).unwrap();
    assert!(matches!(second.access(), Access::ReadOnly(ReadOnlyReason::InUse(_))));
    assert!(!lock_path(&link).exists());
}

/// A good session with a terabyte of nothing behind it is damaged; it is continued, not copied.
#[test]
fn a_terabyte_behind_a_session_is_not_copied() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint");
    fs::write(&path, lines_of(&script())).unwrap();
    File::options().append(true).open(&path).unwrap().set_len(1 << 40).unwrap();
    let file = open(&path).unwrap();
    assert!(matches!(file.access(), Access::ReadOnly(ReadOnlyReason::Damaged(_))));
    assert_eq!(file.facts(), script());
    let why = file.keep_copy(&folder.path().join("copy.samepoint")).unwrap_err().to_string();
    assert!(why.contains("256 MiB"), "{why}");
    let next = folder.path().join("next.samepoint");
    let next = file.continue_in(&next, "samepoint 0.1.0", HAND, real()).unwrap();
    let (mark, said) = next.facts().split_last().unwrap();
    assert_eq!(said[1..], script()[1..]);
    assert!(mark.body.mark().is_some());
    assert!(!folder.path().join("copy.samepoint").exists());
}

/// A chain that holds, but goes on for longer than any session: refused, so that memory has a bound.
#[test]
fn a_chain_without_end_is_refused() {
    let bytes = endless(LARGEST_FILE + (1 << 20));
    let refused = check_chain(Path::new("a"), &bytes[..]);
    assert!(refused.unwrap_err().to_string().contains("256 MiB"));
}

/// As many good lines as make `bytes`, each of 512 kB, behind a session.
fn endless(bytes: u64) -> Vec<u8> {
    let mut whole = lines_of(&script());
    let mut last = scan(Path::new("a"), &whole[..]).unwrap().last_hash;
    let body = "x".repeat(512 << 10);
    while (whole.len() as u64) < bytes {
        let (line, next) = chain::line(&last, &body);
        whole.extend_from_slice(&line);
        last = next;
    }
    whole
}

/// Traps among the files of a shop are named, and the rest of the shop works.
#[test]
fn a_shop_names_its_traps() {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let mut shop = Shop::load(folder.path()).unwrap();
    shop.keep_station(station()).unwrap();
    for place in ["stations", "windows", "housings", "units"] {
        let at = |name: &str| folder.path().join(place).join(name);
        fifo(&at("pipe.ron"));
        symlink("/dev/zero", at("zeros.ron")).unwrap();
        symlink("round.ron", at("round.ron")).unwrap();
        fs::create_dir(at("folder.ron")).unwrap();
        fs::write(at("deep.ron"), "(".repeat(100_000)).unwrap();
        fs::write(at("huge.ron"), "").unwrap();
        File::options().append(true).open(at("huge.ron")).unwrap().set_len(1 << 40).unwrap();
    }
    let path = folder.path().to_owned();
    let shop = ends(move || Shop::load(&path)).unwrap();
    assert_eq!(shop.stations.len(), 1);
    assert_eq!(shop.skipped.len(), 4 * 5, "{:?}", shop.skipped);
    for name in ["pipe", "zeros", "round", "deep", "huge"] {
        let named = |why: &&Error| why.to_string().contains(&format!("{name}.ron"));
        assert_eq!(shop.skipped.iter().filter(named).count(), 4, "{name}");
    }
}

/// Whatever a unit or station is called, its file lies in the folder it belongs to, under a name that
/// a disk takes and that does not mislead.
#[test]
fn no_name_leads_out_of_its_folder() {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let mut shop = Shop::load(folder.path()).unwrap();
    let outside = folder.path().join("nowhere");
    let names: Vec<String> = [
        "../../escape",
        "/etc/passwd",
        "..",
        ".",
        "...",
        ".hidden",
        "a\nb",
        "a\u{202e}b",
        "a\0b",
        "C:\\x",
        "-rf",
        " ",
        "\u{1b}[2J",
    ]
    .iter()
    .map(ToString::to_string)
    .chain(["é".repeat(400), "𝕏".repeat(400), "x".repeat(10_000)])
    .collect();
    for name in &names {
        let day = "2026-11-25".parse().unwrap();
        let path = shop.new_session_path(day, name).unwrap();
        let checks = shop.new_check_path(name).unwrap();
        for (path, place) in [(&path, "sessions"), (&checks, "checks")] {
            assert_eq!(path.parent().unwrap(), folder.path().join(place), "{name:?}");
            let file = path.file_name().unwrap().to_str().unwrap();
            assert!(!file.starts_with('.') && !file.contains(record::shown::is_hidden), "{file:?}");
            fs::write(path, "").unwrap();
            fs::write(lock_path(path), "").unwrap();
        }
        let mut named = station();
        named.name.clone_from(name);
        if let Ok(path) = shop.keep_station(named) {
            assert_eq!(path.parent().unwrap(), folder.path().join("stations"), "{name:?}");
        }
        // A link of the name, to nowhere, is a name that is taken.
        let next = shop.new_session_path(day, name).unwrap();
        symlink(&outside, &next).unwrap();
        assert_ne!(shop.new_session_path(day, name).unwrap(), next);
    }
    assert!(!outside.exists());
}
