//! A signature on a full disk: wherever it reaches a file in the end, the shop's ledger learns of it.

use std::io::ErrorKind::StorageFull;
use std::path::Path;
use std::time::{Duration, Instant};

use egui::Key;
use record::{RealDisk, SaveState, review};
use samepoint::testing::Held;

use crate::bench::Bench;
use crate::confirm::{confirm_all, confirming};
use crate::failing_disk::Fails;
use crate::waiting::{on_disk, path_of, waiting};

/// Signed on a disk that is full: the signature waits in memory and in the rescue file.
fn signed_on_a_full_disk(home: &Path) -> Bench {
    let mut bench = confirming(home);
    confirm_all(&mut bench);
    bench.wait_saved().unwrap();
    let folder = path_of(&bench).parent().unwrap().to_owned();
    bench.disk.fail(&folder, Fails::Writing(StorageFull));
    bench.key(Key::F12);
    bench.key(Key::Enter);
    let begun = Instant::now();
    while !matches!(bench.app().session().unwrap().file().save_state(), SaveState::Stopped { .. }) {
        assert!(begun.elapsed() < Duration::from_secs(10), "writing never stops");
        bench.rest();
    }
    bench.rest();
    assert_eq!(waiting(&bench), 1, "the signature waits");
    let waits = bench.app().waits(Held::Session).unwrap();
    assert!(waits.rescue.is_some(), "{waits:?}");
    bench
}

/// The ledger knows all that was signed in a session, once.
fn is_noted(bench: &mut Bench, path: &Path) {
    bench.wait_noted();
    let account = review(path, &RealDisk).unwrap();
    let says = account.ledger.clone().unwrap();
    assert!(says.findings.is_empty() && says.not_noted.is_empty(), "{}", account.words());
    assert_eq!(says.confirmed.len(), 1);
}

#[test]
fn taken_in_at_the_next_start_it_is_noted() {
    let home = tempfile::tempdir().unwrap();
    let bench = signed_on_a_full_disk(home.path());
    let path = path_of(&bench);
    drop(bench);
    assert!(!on_disk(&path).iter().any(|fact| fact.body.is_signing()));
    let mut bench = Bench::open(home.path(), None);
    bench.press("Take them in");
    assert!(on_disk(&path).last().unwrap().body.is_signing());
    is_noted(&mut bench, &path);
}

/// The session went on meanwhile, so it is continued: the signature is noted as one of the new session.
#[test]
fn taken_into_a_new_file_it_is_noted() {
    let home = tempfile::tempdir().unwrap();
    let bench = signed_on_a_full_disk(home.path());
    let path = path_of(&bench);
    drop(bench);
    let mut bench = Bench::open(home.path(), None);
    bench.press("Keep for later");
    bench.enter("-14.0");
    bench.enter("21.6");
    bench.wait_saved().unwrap();
    drop(bench);
    let mut bench = Bench::open(home.path(), None);
    bench.press("Take them into a new file…");
    bench.press("Continue there");
    let new = path_of(&bench);
    assert_ne!(new, path);
    assert!(on_disk(&new).last().unwrap().body.is_signing());
    is_noted(&mut bench, &new);
}

#[test]
fn written_at_last_or_elsewhere_it_is_noted() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = signed_on_a_full_disk(home.path());
    let path = path_of(&bench);
    bench.disk.mend(path_of(&bench).parent().unwrap());
    bench.press("Try again");
    bench.wait_saved().unwrap();
    is_noted(&mut bench, &path);

    let home = tempfile::tempdir().unwrap();
    let mut bench = signed_on_a_full_disk(home.path());
    bench.disk.mend(path_of(&bench).parent().unwrap());
    let new = path_of(&bench).with_file_name("went on.samepoint");
    bench.press("Continue in a new file…");
    bench.fill("Path of the new file", &new.display().to_string());
    bench.press("Continue there");
    bench.wait_saved().unwrap();
    assert_eq!(path_of(&bench), new);
    is_noted(&mut bench, &new);
}
