//! Other shops looked at beside the open one: added, told of, never written into, removed; and what is said where one
//! cannot be looked at.

use std::collections::BTreeMap;
use std::fs;
use std::path::{Path, PathBuf};

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::file::{scan, write_all_lines};
use record::{Access, Body, Fact, Note, ReadOnlyReason};
use samepoint::testing::{Ask, DialogAnswer, Place};

use crate::bench::Bench;
use crate::copied::copy_all;
use crate::layout::everything_fits;

/// Signed, and nobody looked at it yet (demo-data/README.md).
const WAITING: &str = "2026-10-14 0351.samepoint";
const FORKED: &str = "2025-12-02 0400.samepoint";

fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

/// Another shop: two sessions that the demo shop has too, one of them with another end, and one of its own.
fn north(home: &Path) -> PathBuf {
    let shop = home.join("north");
    let sessions = shop.join("sessions");
    fs::create_dir_all(&sessions).unwrap();
    for name in [WAITING, FORKED] {
        fs::copy(root().join("demo-data/sessions").join(name), sessions.join(name)).unwrap();
    }
    let own = root().join("tests/data/format1/whole-job.samepoint");
    fs::copy(own, sessions.join("job.samepoint")).unwrap();
    let forked = sessions.join(FORKED);
    let mut facts = scan(&forked, &fs::read(&forked).unwrap()[..]).unwrap().facts;
    facts.pop();
    let last = facts.last().unwrap().clone();
    let body = Body::Note(Note { text: "otherwise".to_owned(), about: None });
    facts.push(Fact { seq: last.seq + 1, body, ..last });
    write_all_lines(&facts, fs::File::create(&forked).unwrap()).unwrap();
    shop
}

/// Every file below a folder, with what is in it.
fn all_files(folder: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    let mut found = BTreeMap::new();
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            found.insert(path.clone(), Vec::new());
            found.extend(all_files(&path));
        } else {
            found.insert(path.clone(), fs::read(&path).unwrap());
        }
    }
    found
}

fn at_other_shops(home: &Path) -> Bench {
    at_other_shops_sized(home, vec2(1280.0, 800.0), 1.0)
}

fn at_other_shops_sized(home: &Path, size: egui::Vec2, scale: f32) -> Bench {
    let mut bench = Bench::open_sized(home, None, size, scale);
    bench.keys(Modifiers::ALT, Key::H);
    bench.wait_read();
    bench.press("Other shops");
    bench
}

fn add(bench: &mut Bench, typed: &str) {
    bench.focus("Folder of another shop");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(typed);
    bench.wait_read();
}

fn folders(bench: &Bench) -> Vec<PathBuf> {
    bench.app().places().shop.survey.as_ref().unwrap().folders.clone()
}

#[test]
fn another_shop_is_added_by_its_path_and_the_view_says_that_it_is_of_several() {
    let home = tempfile::tempdir().unwrap();
    let shop = north(home.path());
    let mut bench = at_other_shops(home.path());
    assert!(bench.says("No other shop is looked at"));
    assert!(!bench.says("shops are looked at as one"));
    let alone = bench.app().places().shop.survey.as_ref().unwrap().counted().count();
    add(&mut bench, &shop.display().to_string());
    // The headline, wherever in the shop.
    let headline = "2 shops are looked at as one: demo-shop (63 of 64), north (1 of 3)";
    assert!(
        bench.says(headline),
        "{:?}",
        bench.app().places().shop.survey.as_ref().unwrap().several_words()
    );
    let counted = bench.app().places().shop.survey.as_ref().unwrap().counted().count();
    assert_eq!(counted, alone + 1, "what both have counts once");
    // Named with both places, and the one that was gone on with otherwise loudly, on every part.
    let own = folders(&bench)[0].join("sessions");
    let copy = shop.join("sessions").join(WAITING).display().to_string();
    let counts = own.join(WAITING).display().to_string();
    assert!(bench.says(&format!("{copy} is a copy of {counts}, which counts")));
    for part in ["Circle centres", "Sessions"] {
        bench.press(part);
        assert!(bench.says(headline));
        assert!(bench.says("is the same session with other lines after"));
    }
    // A column, a filter, and the row's own words.
    assert!(bench.says("Sort by folder"));
    assert!(bench.says(", folder north"));
    let rows = |bench: &Bench| bench.app().places().shop.rows.len();
    let all = rows(&bench);
    bench.press("Folder");
    bench.press("north");
    assert_eq!(rows(&bench), 3);
    bench.press("Folder");
    bench.press("any");
    assert_eq!(rows(&bench), all);
    bench.press("Sort by folder");
    bench.press("Sort by folder");
    let shop_at = &bench.app().places().shop;
    assert_eq!(shop_at.session(shop_at.rows[0]).unwrap().folder, 1);
    // A chart says it too, for whoever hears it, or sees it without what is above.
    bench.press("Boresight");
    assert!(bench.says("Of demo-shop and north together."));
    // It is remembered, for this shop.
    drop(bench);
    let again = at_other_shops(home.path());
    assert!(again.says(headline));
    drop(again);
    let mut other = Bench::open(home.path(), Some(shop));
    other.keys(Modifiers::ALT, Key::H);
    other.wait_read();
    assert!(!other.says("shops are looked at as one"));
}

/// Whatever is done with it, nothing of another shop changes, and no file appears there.
#[test]
fn nothing_is_written_into_another_shop() {
    let home = tempfile::tempdir().unwrap();
    let shop = north(home.path());
    let before = all_files(&shop);
    let mut bench = at_other_shops(home.path());
    add(&mut bench, &shop.display().to_string());
    let own = folders(&bench)[0].clone();
    bench.press("Sessions");
    bench.focus("Search");
    bench.type_text("0351");
    let picked = |bench: &mut Bench| {
        bench.press("Folder");
        bench.press("north");
    };
    picked(&mut bench);
    assert_eq!(bench.app().places().shop.rows.len(), 1);
    // At the bench: for reading, and the open shop stays what it was.
    bench.press("Open at the bench");
    let session = bench.app().session().unwrap();
    assert_eq!(session.file().path(), shop.join("sessions").join(WAITING));
    assert!(matches!(session.file().access(), Access::ReadOnly(ReadOnlyReason::Asked)));
    assert!(bench.says("which is looked at and never written into"), "{:?}", bench.app().notice());
    bench.key(Key::F9);
    bench.keys(Modifiers::COMMAND, Key::Z);
    bench.keys(Modifiers::ALT, Key::H);
    bench.wait_read();
    assert_eq!(folders(&bench)[0], own);
    // In review: no answer, no blind reading.
    bench.press("Look it over");
    assert_eq!(bench.app().place(), Place::Review);
    bench.press("Answer");
    bench.focus("Supervisor");
    bench.type_text("MB");
    bench.press("Countersign");
    let refused = bench.app().places().review.refused.clone().unwrap();
    assert!(refused.contains("It lies in another shop"), "{refused}");
    // Not even once it was taken out of sight meanwhile.
    bench.keys(Modifiers::ALT, Key::H);
    bench.wait_read();
    bench.press("Other shops");
    bench.press_anywhere(&format!("Remove {}", shop.display()));
    bench.wait_read();
    bench.keys(Modifiers::ALT, Key::V);
    bench.press("Countersign");
    let refused = bench.app().places().review.refused.clone().unwrap();
    assert!(refused.contains("It lies in another shop"), "{refused}");
    drop(bench);
    assert_eq!(all_files(&shop), before);
}

/// What is refused says what is wrong and what to do, and what is typed stays.
#[test]
fn a_folder_that_is_no_shop_is_refused_beside_the_field() {
    let home = tempfile::tempdir().unwrap();
    let shop = north(home.path());
    let mut bench = at_other_shops(home.path());
    let own = folders(&bench)[0].display().to_string();
    fs::create_dir(home.path().join("empty")).unwrap();
    fs::write(home.path().join("a file"), "x").unwrap();
    let at = |name: &str| home.path().join(name).display().to_string();
    for (typed, why) in [
        (String::new(), "Type the folder of another shop, its whole path, or choose it."),
        ("north".to_owned(), "type the whole path"),
        (own.clone(), "is the shop that is open"),
        (format!("{own}/../demo-shop"), "is the shop that is open"),
        (at("nowhere"), "nothing is there any more, or not yet"),
        (at("a file"), "it is a file: name the folder of the shop"),
        (at("empty"), "it is no shop: no folder “sessions” is in it"),
        (at("north/sessions"), "name the folder above it"),
    ] {
        add(&mut bench, &typed);
        let refused = bench.app().places().shop.beside.adding.refused.clone();
        assert!(refused.as_ref().is_some_and(|said| said.contains(why)), "{typed}: {refused:?}");
        assert!(bench.says(why));
        assert_eq!(bench.app().places().shop.beside.adding.path, typed);
        assert_eq!(folders(&bench).len(), 1);
    }
    add(&mut bench, &shop.display().to_string());
    assert_eq!(bench.app().places().shop.beside.adding.refused, None);
    add(&mut bench, &at("empty/../north"));
    assert!(bench.says("is looked at already"));
    assert_eq!(folders(&bench).len(), 2);
}

#[test]
fn a_folder_is_chosen_removed_and_added_again() {
    let home = tempfile::tempdir().unwrap();
    let shop = north(home.path());
    let mut bench = at_other_shops(home.path());
    bench.press("Choose a folder…");
    bench.rest();
    assert!(bench.says("No file dialog answers on this desktop"));
    *bench.dialogs.next.lock().unwrap() = Some(DialogAnswer::Chosen(shop.clone()));
    bench.press("Choose a folder…");
    bench.rest();
    bench.wait_read();
    assert!(matches!(bench.dialogs.asked.lock().unwrap()[0], Ask::ShopFolder { .. }));
    assert_eq!(folders(&bench).len(), 2);
    *bench.dialogs.next.lock().unwrap() = Some(DialogAnswer::Cancelled);
    bench.press("Choose a folder…");
    bench.rest();
    assert_eq!(bench.app().places().shop.beside.adding.refused, None);
    bench.press_anywhere(&format!("Remove {}", shop.display()));
    bench.wait_read();
    assert_eq!(folders(&bench).len(), 1);
    assert!(bench.says("Add it again to have it back"));
    assert!(!bench.says("shops are looked at as one"));
    bench.press_anywhere(&format!("Add {} again", shop.display()));
    bench.wait_read();
    assert_eq!(folders(&bench).len(), 2);
    assert_eq!(bench.app().places().shop.beside.removed, None);
}

/// One that vanishes while it is looked at hides nothing of the rest, and is told of until it is back.
#[test]
fn a_shop_that_vanishes_is_told_of_and_hides_nothing() {
    let home = tempfile::tempdir().unwrap();
    let (shop, third) = (north(home.path()), home.path().join("south"));
    copy_all(&shop, &third);
    fs::remove_file(third.join("sessions").join(FORKED)).unwrap();
    let mut bench = at_other_shops(home.path());
    add(&mut bench, &shop.display().to_string());
    add(&mut bench, &third.display().to_string());
    assert!(bench.says("3 shops are looked at as one"));
    let away = home.path().join("away");
    fs::rename(&shop, &away).unwrap();
    // A row of it that is still in sight leads nowhere, and says so.
    bench.press("Sessions");
    bench.press("Folder");
    bench.press("north");
    bench.press("Look it over");
    assert!(bench.app().places().review.refused.is_some());
    bench.keys(Modifiers::ALT, Key::H);
    bench.wait_read();
    assert!(bench.says(&format!("{} is not looked at: nothing is there any more", shop.display())));
    assert!(bench.says("2 shops are looked at as one: demo-shop"));
    assert!(bench.app().places().shop.rows.len() > 60, "the rest is there, and the filter let go");
    bench.press("Other shops");
    assert!(bench.says("it cannot be looked at"));
    // The recall list does not pass for one of all.
    let gaps = bench.app().places().shop.survey.as_ref().unwrap().recall_gaps();
    assert!(gaps.iter().any(|said| said.contains("is not looked at")), "{gaps:?}");
    fs::rename(&away, &shop).unwrap();
    bench.press("Read the sessions again");
    bench.wait_read();
    assert!(bench.says("3 shops are looked at as one"));
    assert!(!bench.says("is not looked at"));
}

#[test]
fn other_shops_fit_every_size() {
    for (size, scale) in
        [(vec2(1280.0, 800.0), 1.0), (vec2(960.0, 600.0), 1.0), (vec2(640.0, 400.0), 2.0)]
    {
        let home = tempfile::tempdir().unwrap();
        let shop = north(home.path());
        let mut bench = at_other_shops_sized(home.path(), size, scale);
        add(&mut bench, &shop.display().to_string());
        everything_fits(&bench, size, "Other shops");
        bench.press("Sessions");
        everything_fits(&bench, size, "Sessions of two shops");
        // However low the window is, there are rows in sight.
        let row = bench.window.get_by_label_contains("0147, 2026-11-25, housing").rect();
        assert!(row.bottom() < size.y - 36.0, "{size}: {row}");
        assert!(bench.says("2 shops"));
        if size.y < 420.0 {
            assert!(bench.says("2 shops looked at as one · 1 session with other lines in another"));
            assert!(bench.window.query_by_label("Sort by folder").is_some());
            bench.press("Filters");
            bench.press("Folder");
            bench.press("north");
            bench.press("Filters");
            assert_eq!(bench.app().places().shop.rows.len(), 3);
        }
    }
}
