//! A worker that ends without an answer, whatever it was busy with: it is told of in the same words
//! where the answer would have stood, nothing stays “being read” for ever, and it is tried again.

use std::time::{Duration, Instant};

use egui::{Key, Modifiers};
use samepoint::testing::Work;

use crate::bench::Bench;
use crate::remedy::{apart, wait_for_list};
use crate::review::signed;

fn told(bench: &Bench, work: Work) -> bool {
    bench.says(&format!("{} stopped unexpectedly. {}", work.name(), work.again()))
}

/// Lets the window run until this holds.
fn until(bench: &mut Bench, holds: impl Fn(&Bench) -> bool) {
    let begun = Instant::now();
    while !holds(bench) {
        assert!(begun.elapsed() < Duration::from_secs(60), "it never holds");
        std::thread::sleep(Duration::from_millis(5));
        bench.rest();
    }
}

#[test]
fn reading_the_sessions_dies_and_is_tried_again() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.threads.only_kill(&[Work::Survey]);
    bench.keys(Modifiers::ALT, Key::H);
    assert!(told(&bench, Work::Survey));
    assert!(!bench.says("Reading the sessions…"));
    bench.threads.only_kill(&[]);
    bench.press("Read the sessions again");
    assert!(!told(&bench, Work::Survey));
    until(&mut bench, |bench| bench.says("64 of 64 sessions"));
}

/// What was sent back is looked for when a shop is opened, and told by its sessions whenever those are read.
#[test]
fn looking_for_what_was_sent_back_dies_and_is_tried_again() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    let open_again = |bench: &mut Bench| {
        let shop = bench.app().offers().folder.clone();
        bench.keys(Modifiers::COMMAND, Key::O);
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.enter(&shop.display().to_string());
    };
    bench.threads.only_kill(&[Work::Returns]);
    open_again(&mut bench);
    until(&mut bench, |bench| told(bench, Work::Returns));
    assert!(bench.app().places().shop.returned.is_empty());
    bench.threads.only_kill(&[]);
    let looks = bench.threads.times_begun(Work::Returns);
    bench.keys(Modifiers::ALT, Key::H);
    until(&mut bench, |bench| bench.app().places().shop.returned.len() == 1);
    // Now its sessions were read, and tell it by themselves, before anybody asks for the shop.
    let reads = bench.threads.times_begun(Work::Survey);
    open_again(&mut bench);
    until(&mut bench, |bench| bench.app().places().shop.returned.len() == 1);
    assert_eq!(bench.threads.times_begun(Work::Survey), reads + 1);
    assert_eq!(bench.threads.times_begun(Work::Returns), looks);
    bench.keys(Modifiers::ALT, Key::H);
    assert!(bench.says("64 of 64 sessions"), "the table is there at once");
}

#[test]
fn reading_earlier_attempts_dies_and_is_tried_again() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.threads.only_kill(&[Work::Practice]);
    bench.keys(Modifiers::ALT, Key::P);
    assert!(told(&bench, Work::Practice));
    bench.threads.only_kill(&[]);
    bench.press_anywhere("Read them again");
    until(&mut bench, |bench| !bench.app().places().practice.is_reading());
    assert!(!told(&bench, Work::Practice) && !bench.says("Reading earlier attempts…"));
}

#[test]
fn the_search_for_remedies_dies_and_is_tried_again() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = apart(home.path());
    bench.threads.only_kill(&[Work::Remedies]);
    bench.keys(Modifiers::COMMAND, Key::Num5);
    assert!(told(&bench, Work::Remedies) && !bench.says("Working out what would help"));
    // It is not tried again by itself: whatever killed it may well do so again.
    bench.keys(Modifiers::ALT, Key::ArrowDown);
    assert_eq!(bench.threads.times_begun(Work::Remedies), 1);
    bench.threads.only_kill(&[]);
    bench.press("Search again");
    wait_for_list(&mut bench);
    assert!(!bench.says("Search again"));
}

#[test]
fn looking_at_what_locks_did_dies_and_is_tried_again() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = apart(home.path());
    bench.threads.only_kill(&[Work::AimOff]);
    bench.keys(Modifiers::COMMAND, Key::Num6);
    assert!(told(&bench, Work::AimOff));
    bench.threads.only_kill(&[]);
    bench.keys(Modifiers::COMMAND, Key::Num4);
    bench.keys(Modifiers::COMMAND, Key::Num6);
    assert_eq!(bench.threads.times_begun(Work::AimOff), 2);
    // Found, it is not looked for again in the same session.
    bench.keys(Modifiers::COMMAND, Key::Num4);
    bench.keys(Modifiers::COMMAND, Key::Num6);
    assert_eq!(bench.threads.times_begun(Work::AimOff), 2);
}

#[test]
fn a_dead_dialog_leaves_the_typed_path() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.threads.only_kill(&[Work::FileDialog]);
    bench.keys(Modifiers::COMMAND, Key::O);
    bench.press("Choose with a file dialog…");
    assert!(told(&bench, Work::FileDialog));
    bench.threads.only_kill(&[]);
    bench.press("Choose with a file dialog…");
    assert!(bench.says("No file dialog answers on this desktop"));
}

/// A report and a label whose writers die are told of on their sheets, and written by the next press.
#[test]
fn a_dead_writer_is_told_on_its_sheet() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = crate::session::start(home.path());
    bench.wait_saved().unwrap();
    for (modifiers, work) in
        [(Modifiers::COMMAND, Work::Report), (Modifiers::ALT | Modifiers::SHIFT, Work::Label)]
    {
        bench.threads.only_kill(&[work]);
        bench.keys(modifiers, Key::P);
        bench.press("Write");
        assert!(told(&bench, work) && !bench.says("is being written"));
        bench.threads.only_kill(&[]);
        bench.press("Write");
        bench.wait_written();
        assert_eq!(bench.app().front(), &samepoint::testing::Sheet::Clear);
    }
    assert!(bench.says("Label written to"));
}

/// What a dead worker was to note still waits, and is noted with the next answer.
#[test]
fn what_a_dead_worker_was_to_note_is_noted_later() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = signed(home.path());
    until(&mut bench, |bench| !bench.app().is_noting());
    let path = bench.app().places().review.open.as_ref().unwrap().path.clone();
    let lines = || {
        let account = record::review(&path, &record::RealDisk).unwrap();
        account.ledger.map_or(0, |says| says.confirmed.len())
    };
    assert_eq!(lines(), 1);
    bench.threads.only_kill(&[Work::Ledger]);
    bench.press("Answer");
    bench.fill("Supervisor", "MB");
    bench.press("Countersign");
    assert!(told(&bench, Work::Ledger), "{:?}", bench.app().warnings());
    assert!(bench.app().is_noting());
    assert_eq!(lines(), 1);
    bench.threads.only_kill(&[]);
    // Another shop's sessions are opened, and this one's again: it is tried then.
    let shop = path.parent().unwrap().parent().unwrap().to_owned();
    bench.keys(Modifiers::COMMAND, Key::O);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&shop.display().to_string());
    until(&mut bench, |bench| !bench.app().is_noting());
    assert_eq!(lines(), 2);
}
