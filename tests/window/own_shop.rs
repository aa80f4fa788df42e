//! A shop of one's own: the question of the first start, beginning one by keyboard, what an empty one says, and what
//! is never written over.

use std::fs;
use std::path::Path;

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use samepoint::testing::{Answer, Ask, Sheet};

use crate::bench::Bench;

/// A window as it opens on a computer where it never ran.
pub(crate) fn first_start(home: &Path) -> Bench {
    Bench::open_first(home, vec2(1280.0, 800.0))
}

/// From the question of the first start to an empty shop, by keyboard alone.
pub(crate) fn begin_shop(bench: &mut Bench) {
    bench.key(Key::Enter);
    for text in ["Sandpiper Optics", "1 Quay, Harbour"] {
        bench.type_text(text);
        bench.key(Key::Tab);
    }
    // The folder offered and the file dialog's button.
    bench.key(Key::Tab);
    bench.key(Key::Tab);
    bench.enter("KT");
}

#[test]
fn the_first_start_asks_one_question_and_asks_it_once() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    assert_eq!(*bench.app().front(), Sheet::FirstStart);
    assert!(bench.says("Everything in it is invented"));
    bench.press("Look round the demo shop");
    assert_eq!(*bench.app().front(), Sheet::Clear);
    assert!(bench.app().session().is_some(), "the demo shop's newest session is open");
    drop(bench);
    let bench = Bench::open_asking(home.path(), None, vec2(1280.0, 800.0));
    assert_eq!(*bench.app().front(), Sheet::Clear, "it was answered");
}

/// Esc is an answer too; left without any it is asked again.
#[test]
fn the_first_start_asks_until_it_is_answered() {
    let home = tempfile::tempdir().unwrap();
    drop(first_start(home.path()));
    let mut bench = first_start(home.path());
    assert_eq!(*bench.app().front(), Sheet::FirstStart);
    bench.key(Key::Escape);
    assert_eq!(*bench.app().front(), Sheet::Clear);
    drop(bench);
    assert_eq!(*first_start(home.path()).app().front(), Sheet::Clear);
}

#[test]
fn a_shop_is_begun_by_keyboard() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    assert_eq!(*bench.app().front(), Sheet::Keeps, "{:?}", bench.app().front());
    let folder = home.path().join("shop");
    assert_eq!(bench.app().offers().folder, folder);
    assert_eq!(bench.app().offers().shop, "Sandpiper Optics");
    let shop = record::Shop::load(&folder).unwrap();
    assert!(shop.skipped.is_empty(), "{:?}", shop.skipped);
    assert_eq!(shop.letterhead.unwrap().address, "1 Quay, Harbour");
    assert_eq!(shop.hands.known[0].value.initials, "KT");
    for open in ["No station is kept", "No tolerance window is kept", "takes a second hand"] {
        assert!(bench.says(open), "{open}");
    }
    // Nothing of the demo shop is in sight any more, and the next start opens this one.
    assert!(bench.app().session().is_none());
    drop(bench);
    let mut bench = Bench::open_asking(home.path(), None, vec2(1280.0, 800.0));
    assert_eq!(bench.app().offers().shop, "Sandpiper Optics");
    bench.keys(Modifiers::ALT, Key::A);
    assert_eq!(*bench.app().front(), Sheet::Keeps);
}

/// What cannot be is said on the sheet, what was typed stays, and nothing that stands there is touched.
#[test]
fn what_stands_there_is_never_written_over() {
    let home = tempfile::tempdir().unwrap();
    let theirs = home.path().join("theirs");
    fs::create_dir(&theirs).unwrap();
    fs::write(theirs.join("letters.txt"), "mine").unwrap();
    let mut bench = first_start(home.path());
    bench.key(Key::Enter);
    bench.press("Begin");
    assert!(bench.says("fill it in"), "a shop has a name");
    bench.focus("Name of the shop");
    bench.type_text("Sandpiper Optics");
    *bench.dialogs.next.lock().unwrap() = Some(Answer::Chosen(theirs.clone()));
    bench.press("Choose with a file dialog…");
    assert!(matches!(bench.dialogs.asked.lock().unwrap()[..], [Ask::ShopFolder { .. }]));
    bench.press("Begin");
    assert!(bench.says("holds something already"));
    assert_eq!(fs::read_dir(&theirs).unwrap().count(), 1);
    // A hand whose initials cannot be: nothing is made.
    let new = home.path().join("new");
    *bench.dialogs.next.lock().unwrap() = Some(Answer::Chosen(new.clone()));
    bench.press("Choose with a file dialog…");
    bench.focus("Your initials");
    bench.type_text("K*");
    bench.key(Key::Enter);
    assert!(bench.says("initials may not hold") && !new.exists());
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("KT");
    assert_eq!(bench.app().offers().folder, new);
}

/// Esc drops what was typed only when pressed twice.
#[test]
fn escape_asks_before_it_drops_what_was_typed() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    bench.key(Key::Enter);
    bench.type_text("Sandpiper Optics");
    bench.key(Key::Escape);
    assert!(bench.says("Esc again drops"));
    bench.focus("Name of the shop");
    bench.type_text(" Ltd");
    assert!(!bench.says("Esc again drops"), "who goes on typing keeps it");
    bench.key(Key::Escape);
    bench.key(Key::Escape);
    assert_eq!(*bench.app().front(), Sheet::Clear);
    assert!(!home.path().join("shop").exists());
}

/// Every part of an empty shop's page says what would stand there and how to get it.
#[test]
fn an_empty_shop_says_what_would_stand_where() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = first_start(home.path());
    begin_shop(&mut bench);
    bench.keys(Modifiers::ALT, Key::H);
    for (part, says) in [
        ("Sessions", "Begin one at the bench with Ctrl+N"),
        ("To look at", "Nothing to look at yet"),
        ("Circle centres", "Log a round at the bench"),
        ("Boresight", "confirmed at the bench"),
        ("First pass", "signed at the bench"),
        ("Shims", "once a remedy was taken"),
        ("Differences", "it takes two of them"),
        ("Locks", "locks open and tight"),
        ("Stations", "Each one’s calibration"),
        ("Practice", "Nobody has begun a practice unit"),
    ] {
        let buttons = bench.window.query_all_by_label(part).count();
        assert!(buttons > 0, "{part}");
        bench.press_anywhere_first(part);
        bench.wait_for(says);
    }
}
