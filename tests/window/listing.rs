//! A list from a spreadsheet in the window: shown row by row, kept by its own key, read again without harm.

use std::fs;
use std::path::{Path, PathBuf};

use egui::{Key, Modifiers};
use record::{RealDisk, Shop};
use samepoint::testing::Sheet;

use crate::bench::Bench;
use crate::own_shop::{begin_shop, first_start};

fn begun(home: &Path) -> Bench {
    let mut bench = first_start(home);
    begin_shop(&mut bench);
    bench.run("import a list");
    assert!(matches!(bench.app().front(), Sheet::List(_)));
    bench
}

fn file(home: &Path, text: &str) -> PathBuf {
    let path = home.join("list.csv");
    fs::write(&path, text).unwrap();
    path
}

fn reads(bench: &mut Bench, path: &Path) {
    bench.focus("Path of a CSV file");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&path.display().to_string());
}

fn refused(bench: &Bench) -> String {
    let Sheet::List(sheet) = bench.app().front() else { panic!("{:?}", bench.app().front()) };
    sheet.path.refused.clone().unwrap_or_default()
}

fn units(home: &Path) -> Vec<String> {
    let shop = Shop::load(&home.join("shop")).unwrap();
    shop.units.iter().map(|kept| kept.value.name.clone()).collect()
}

#[test]
fn units_are_shown_before_they_are_kept_by_keyboard() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = begun(home.path());
    assert!(bench.says("Units: unit, housing, left_tube"), "what a list may be is said first");
    let path =
        file(home.path(), "unit,housing,note\n0001,Plover,\n,Plover,no serial\n0002,,\"a, b\"\n");
    reads(&mut bench, &path);
    assert!(bench.says("2 units new, 1 row refused"));
    assert!(bench.says("line 2  0001: housing Plover"));
    assert!(bench.says("line 3  unit: is empty"));
    assert!(units(home.path()).is_empty(), "reading keeps nothing");
    bench.keys(Modifiers::COMMAND, Key::Enter);
    assert_eq!(refused(&bench), "");
    assert!(bench.says("2 units kept."));
    assert_eq!(units(home.path()), ["0001", "0002"]);
    // Put right and read again: only what is new is kept.
    file(
        home.path(),
        "unit,housing,note\n0001,Plover,\n0003,Plover,no serial\n0002,Heron,\"a, b\"\n",
    );
    reads(&mut bench, &path);
    assert!(bench.says("1 unit new, 1 row kept already, 1 row refused"));
    assert!(bench.says("“0002” is kept already and says something else"));
    bench.press_anywhere("Keep 1 unit");
    assert_eq!(units(home.path()).len(), 3);
    // A new session knows them.
    assert!(bench.app().offers().unit("0003").is_some());
    bench.key(Key::Escape);
    assert_eq!(*bench.app().front(), Sheet::Keeps, "back to what the shop keeps");
}

#[test]
fn hands_and_sessions_that_wait_are_kept_too() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = begun(home.path());
    reads(
        &mut bench,
        &file(home.path(), "initials,roles\nMB,trainee\nKT,trainee\nSH,supervisor\n"),
    );
    assert!(
        bench.says("“KT” is kept already and says something else"),
        "nobody’s role is changed by a list"
    );
    bench.keys(Modifiers::COMMAND, Key::Enter);
    assert!(bench.says("2 hands kept."));
    reads(&mut bench, &file(home.path(), "unit;due;for\n0431;2026-12-01;Harbour rescue\n"));
    bench.keys(Modifiers::COMMAND, Key::Enter);
    assert_eq!(refused(&bench), "");
    let shop = Shop::load(&home.path().join("shop")).unwrap();
    let (waiting, unread) = shop.units_waiting(&RealDisk);
    assert_eq!((waiting.units.len(), unread), (1, None));
    assert_eq!(waiting.units[0].hand, "KT");
    let offers = bench.app().offers();
    assert!(offers.hands.iter().any(|hand| hand.initials == "SH"));
    assert_eq!(offers.waiting.units.len(), 1);
}

#[test]
fn what_is_no_list_is_refused_and_nothing_can_be_kept() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = begun(home.path());
    reads(&mut bench, &home.path().join("nowhere.csv"));
    assert!(refused(&bench).contains("nowhere.csv: cannot be read"), "{}", refused(&bench));
    reads(&mut bench, &file(home.path(), "unit,colour\n1,2\n"));
    assert!(refused(&bench).contains("“colour” is no column"), "{}", refused(&bench));
    bench.keys(Modifiers::COMMAND, Key::Enter);
    assert!(units(home.path()).is_empty());
    // A good list, and then its file is a bad one: what was read before is not kept in its place.
    let path = file(home.path(), "unit\n0001\n");
    reads(&mut bench, &path);
    fs::write(&path, "unit\n\"0001").unwrap();
    reads(&mut bench, &path);
    file(home.path(), "");
    reads(&mut bench, &path);
    bench.keys(Modifiers::COMMAND, Key::Enter);
    assert!(units(home.path()).is_empty());
}
