//! What was kept in a rescue file: offered at the next start, taken in as it was said, continued where the
//! session moved on; and the ways out of a folder that is gone.

use std::fs;
use std::path::PathBuf;

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::SaveState;
use samepoint::testing::Sheet;

use crate::bench::Bench;
use crate::layout::everything_fits;
use crate::session::start;
use crate::waiting::{facts, fourteen, in_rescue_folder, on_disk, path_of, rescue_files, waiting};

/// The program ends without a word, as when it is killed: the next start offers what was typed, and takes
/// it in as it was said.
#[test]
fn what_was_typed_is_offered_at_the_next_start() {
    let home = tempfile::tempdir().unwrap();
    let bench = fourteen(home.path());
    let (all, path) = (facts(&bench), path_of(&bench));
    drop(bench);
    assert_eq!(on_disk(&path).len(), all.len() - 14);

    let mut bench = Bench::open(home.path(), None);
    assert!(bench.says("14 facts of the session of “0171” by KT were never saved."));
    assert!(bench.says("2026-11-25"));
    assert!(bench.says("They go on exactly where"));
    everything_fits(&bench, vec2(1280.0, 800.0), "the rescue");
    // Kept for later, they come again.
    bench.press("Keep for later");
    assert_eq!(*bench.app().front(), Sheet::Clear);
    drop(bench);
    let mut bench = Bench::open(home.path(), None);
    bench.press("Take them in");
    bench.wait_saved().unwrap();
    assert_eq!(path_of(&bench), path);
    assert_eq!(facts(&bench), all, "times, hands and numbers are as they were said");
    assert_eq!(on_disk(&path), all);
    assert_eq!(in_rescue_folder(home.path()), 0);
    drop(bench);
    assert_eq!(*Bench::open(home.path(), None).app().front(), Sheet::Clear);
}

/// A session that went on otherwise meanwhile: never joined, continued in a new file.
#[test]
fn a_session_that_moved_on_is_continued() {
    let home = tempfile::tempdir().unwrap();
    let bench = fourteen(home.path());
    let (all, path) = (facts(&bench), path_of(&bench));
    drop(bench);
    let mut bench = Bench::open(home.path(), None);
    bench.press("Keep for later");
    bench.enter("7.5");
    bench.enter("7.5");
    bench.wait_saved().unwrap();
    let moved_on = facts(&bench);
    drop(bench);
    let mut bench = Bench::open(home.path(), None);
    assert!(bench.says("went on otherwise since"));
    assert!(bench.window.query_by_label("Take them in").is_none());
    bench.press("Take them into a new file…");
    bench.press("Continue there");
    assert_ne!(path_of(&bench), path, "{:?}", bench.app().front());
    assert_eq!(facts(&bench)[1..], all[1..]);
    assert_eq!(on_disk(&path), moved_on);
    assert_eq!(rescue_files(home.path()), [] as [PathBuf; 0]);
}

/// The rescue file is broken, or says nothing: told, and never removed unasked.
#[test]
fn a_broken_rescue_file_is_told() {
    let home = tempfile::tempdir().unwrap();
    let bench = fourteen(home.path());
    let all = facts(&bench);
    drop(bench);
    let [rescue] = &rescue_files(home.path())[..] else { panic!() };
    let bytes = fs::read(rescue).unwrap();
    fs::write(rescue, &bytes[..bytes.len() - 30]).unwrap();
    fs::write(rescue.with_file_name("a.samepoint-rescue"), "dear customer\n").unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.press("Keep for later");
    assert!(bench.says("its first line is damaged") ^ bench.says("is not whole"));
    bench.press("Keep for later");
    drop(bench);
    let mut bench = Bench::open(home.path(), None);
    if bench.window.query_by_label("Take them in").is_none() {
        bench.press("Keep for later");
    }
    assert!(bench.says("13 facts of the session"));
    bench.press("Take them in");
    assert_eq!(facts(&bench), all[..all.len() - 1]);
    let kept = fs::read_dir(home.path().join("state/rescue")).unwrap().flatten();
    let aside = kept.filter(|entry| entry.file_name().to_string_lossy().ends_with(".damaged"));
    assert_eq!(aside.count(), 1, "what could not be read is kept");
}

/// A folder that is deleted, for real: what was typed goes on in a new file elsewhere.
#[test]
fn a_deleted_folder_offers_a_way_out() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.wait_saved().unwrap();
    fs::remove_dir_all(path_of(&bench).parent().unwrap()).unwrap();
    bench.enter("1.5");
    bench.enter("1.5");
    while waiting(&bench) > 0
        && !matches!(bench.app().session().unwrap().file().save_state(), SaveState::Stopped { .. })
    {
        bench.rest();
    }
    bench.rest();
    let all = facts(&bench);
    bench.press("Continue in a new file…");
    bench.press("Continue there");
    bench.wait_saved().unwrap();
    assert!(path_of(&bench).starts_with(home.path()));
    assert_eq!(on_disk(&path_of(&bench))[1..], all[1..]);
    bench.enter("2.5");
    bench.enter("2.5");
    bench.wait_saved().unwrap();
}

/// A copy takes along what is only in memory, and is offered a name that nothing has.
#[test]
fn a_copy_takes_along_what_waits() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = fourteen(home.path());
    bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    let Sheet::KeepCopy(sheet) = bench.app().front() else { panic!() };
    let first = PathBuf::from(&sheet.path);
    bench.press("Keep");
    assert!(bench.says("the 14 facts that are only in memory are in the copy too"));
    assert_eq!(on_disk(&first), facts(&bench));
    bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    let Sheet::KeepCopy(sheet) = bench.app().front() else { panic!() };
    let second = PathBuf::from(&sheet.path);
    assert!(second != first && !second.exists());
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&first.display().to_string());
    assert!(bench.says("is there already and is left alone"));
    assert_eq!(waiting(&bench), 14);
}
