//! Other shops seen as one with the open one: added by keyboard, remembered, told of where they cannot be read.
//!
//! The second shop of the demo (demo-data/README.md): a copy of `2026-06-05 0330.samepoint`, and two sessions of the
//! same unit on two benches of its own.

use std::fs;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use egui::accesskit::Role;
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use samepoint::testing::{DialogAnswer, Place, Work};

use crate::bench::Bench;
use crate::layout::everything_fits;
use crate::supervisor::{shop, wait_for_sessions};

const USUAL: egui::Vec2 = vec2(1280.0, 800.0);

pub(crate) fn second(bench: &Bench) -> PathBuf {
    bench.app().offers().folder.join("second-shop")
}

/// Types a folder and Enter, and waits for what comes of it.
pub(crate) fn add(bench: &mut Bench, folder: &Path) {
    bench.press_anywhere("Other shops");
    bench.focus("Folder of another shop");
    bench.keys(Modifiers::COMMAND, Key::A);
    let before = refused(bench);
    bench.enter(&folder.display().to_string());
    let begun = Instant::now();
    // What was refused before is taken back as soon as the next is looked at.
    let is_looked_at = |now: Option<String>| now.is_none() || now == before;
    while is_looked_at(refused(bench)) && !bench.app().places().shop.others.typed.is_empty() {
        assert!(begun.elapsed() < Duration::from_secs(20), "the folder is never looked at");
        std::thread::sleep(Duration::from_millis(5));
        bench.rest();
    }
    wait_for_sessions(bench);
}

fn refused(bench: &Bench) -> Option<String> {
    bench.app().places().shop.others.refused.clone()
}

fn rows(bench: &Bench) -> usize {
    bench.app().places().shop.rows.len()
}

#[test]
fn another_shop_is_seen_as_one_with_this() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), USUAL);
    let alone = rows(&bench);
    assert!(bench.window.query_by_label("Sort by shop").is_none());
    bench.press("Other shops");
    assert!(bench.says("No other shop yet."));
    let second = second(&bench);
    add(&mut bench, &second);
    assert_eq!(refused(&bench), None);
    assert!(bench.says("second-shop: 3 sessions, 2 of them counted."));
    assert!(bench.says("2 shops are looked at as one"));
    // The copy counts once and is named, and one’s own counts.
    assert!(bench.says("2026-06-05 0330.samepoint is a copy of "));
    let seen = bench.app().places().shop.survey.as_ref().unwrap();
    let copies: Vec<usize> =
        seen.sessions.iter().filter(|one| one.copy_of.is_some()).map(|one| one.folder).collect();
    assert!(copies.contains(&1) && seen.folders.len() == 2, "{copies:?}");
    bench.press("Sessions");
    assert_eq!(rows(&bench), alone + 3);
    assert!(bench.says("2 shops are looked at as one"));
    everything_fits(&bench, USUAL, "the sessions of two shops");
    // Which shop a row is from, for the eye and for a reader.
    bench.press("Sort by shop");
    bench.press("Sort by shop");
    let shop = &bench.app().places().shop;
    let folder = |row: usize| shop.session(shop.rows[row]).unwrap().folder;
    assert_eq!([folder(0), folder(2), folder(3)], [1, 1, 0]);
    assert!(bench.says("shop second-shop"));
    // Enter looks over the file in its own shop.
    bench.key(Key::Home);
    let file = second.join("sessions").join(&shop_row(&bench, bench.app().places().shop.at).1);
    bench.key(Key::Enter);
    assert_eq!(bench.app().place(), Place::Review);
    assert_eq!(bench.app().places().review.open.as_ref().unwrap().path, file);
    drop(bench);
    // Remembered.
    let mut bench = crate::supervisor::shop(home.path(), USUAL);
    assert_eq!(rows(&bench), alone + 3);
    assert!(bench.window.query_by_label("Sort by shop").is_some());
    bench.press("Other shops");
    bench.press(&format!("Remove {}", second.display()));
    wait_for_sessions(&mut bench);
    assert!(bench.says("No other shop yet."));
    bench.press("Sessions");
    assert_eq!(rows(&bench), alone);
    assert!(bench.window.query_by_label("Sort by shop").is_none());
}

/// The folder and file of a row.
fn shop_row(bench: &Bench, row: usize) -> (usize, String) {
    let shop = &bench.app().places().shop;
    let session = shop.session(shop.rows[row]).unwrap();
    (session.folder, session.file.clone())
}

/// One shop of several is asked for like a housing and kept by a name; where it is not seen any more nothing is
/// shown of it, and that is said.
#[test]
fn one_shop_of_several_is_asked_for() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), USUAL);
    let alone = rows(&bench);
    let pick = |bench: &mut Bench, wanted: &str| {
        bench.window.get_by_role_and_label(Role::ComboBox, "Shop").click();
        bench.rest();
        bench.window.get_by_role_and_label(Role::Button, wanted).click();
        bench.rest();
    };
    let asked =
        |bench: &Bench| bench.window.query_by_role_and_label(Role::ComboBox, "Shop").is_some();
    assert!(!asked(&bench), "there is one shop only");
    let second = second(&bench);
    add(&mut bench, &second);
    bench.press("Sessions");
    assert_eq!(rows(&bench), alone + 3);
    pick(&mut bench, "second-shop");
    let shop = &bench.app().places().shop;
    assert!(shop.rows.iter().all(|row| shop.session(*row).unwrap().folder == 1));
    assert_eq!(rows(&bench), 3);
    everything_fits(&bench, USUAL, "one shop of two");
    bench.press("Filters ▾");
    bench.focus("Name of the filter");
    bench.enter("the other bench");
    bench.key(Key::Escape);
    pick(&mut bench, "any");
    assert_eq!(rows(&bench), alone + 3);
    bench.press("Filters ▾");
    bench.press("the other bench");
    assert_eq!(rows(&bench), 3);
    bench.press("Other shops");
    bench.press(&format!("Remove {}", second.display()));
    wait_for_sessions(&mut bench);
    bench.press("Sessions");
    assert_eq!(rows(&bench), 0);
    assert!(bench.says("“second-shop” is not looked at now, so no session of it is here."));
    pick(&mut bench, "any");
    assert_eq!(rows(&bench), alone);
    assert!(!asked(&bench));
}

/// A folder that cannot be read is told of on every page, and hides nothing of the rest.
#[test]
fn a_folder_that_is_gone_is_told_of() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), USUAL);
    let alone = rows(&bench);
    let (share, second) = (home.path().join("share"), second(&bench));
    fs::create_dir(&share).unwrap();
    let there = share.join("north");
    fs::rename(&second, &there).unwrap();
    add(&mut bench, &there);
    assert_eq!(refused(&bench), None);
    drop(bench);
    fs::remove_dir_all(&there).unwrap();
    let mut bench = shop(home.path(), USUAL);
    assert_eq!(rows(&bench), alone);
    for page in ["Sessions", "Stations", "To look at", "Circle centres", "Units", "Other shops"] {
        bench.press(page);
        assert!(bench.says("is not looked at: nothing is there any more"), "{page}");
    }
    everything_fits(&bench, USUAL, "a shop that is gone");
}

/// What is no other shop is refused with what to do; a worker that dies is told of.
#[test]
fn what_is_no_other_shop_is_refused() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), USUAL);
    let (own, second) = (bench.app().offers().folder.clone(), second(&bench));
    bench.press("Other shops");
    bench.press("Add this shop");
    assert!(bench.says("Name the folder of the other shop"));
    for (folder, why) in [
        (own.clone(), "That is the shop that is open"),
        (own.join("no such folder"), "nothing is there any more, or not yet"),
        (second.join("sessions"), "name the folder above it"),
        (own.join("README.md"), "it is a file"),
        (own.join("stations"), "no folder “sessions” is in it"),
    ] {
        add(&mut bench, &folder);
        assert!(bench.says(why), "{why}: {:?}", refused(&bench));
        everything_fits(&bench, USUAL, why);
    }
    add(&mut bench, &second);
    add(&mut bench, &second.join("..").join("second-shop"));
    assert!(bench.says("That folder is one of them already."));
    assert_eq!(bench.app().preferences().shops_beside.values().flatten().count(), 1);
    bench.threads.only_kill(&[Work::OtherShop]);
    add(&mut bench, &own.join("units"));
    assert!(bench.says(Work::OtherShop.again()));
}

/// By a file dialog, and where none answers.
#[test]
fn the_folder_can_be_chosen() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), USUAL);
    let second = second(&bench);
    bench.press("Other shops");
    bench.press("Choose its folder…");
    assert!(bench.says("No file dialog answers on this desktop"));
    *bench.dialogs.next.lock().unwrap() = Some(DialogAnswer::Chosen(second));
    bench.press("Choose its folder…");
    bench.wait_for("second-shop: 3 sessions");
}

/// Nothing reaches out at any size, with a folder's path that is longer than the window is wide.
#[test]
fn other_shops_fit_at_every_size() {
    for size in [vec2(1280.0, 800.0), vec2(1920.0, 1080.0), vec2(640.0, 480.0)] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = shop(home.path(), size);
        let long = home.path().join("a shop ".repeat(30)).join("north");
        fs::create_dir_all(long.parent().unwrap()).unwrap();
        fs::rename(second(&bench), &long).unwrap();
        add(&mut bench, &long);
        assert_eq!(refused(&bench), None);
        bench.press("Sessions");
        let short = "2 shops as one: see Other shops.";
        assert_eq!(bench.says(short), size.y < 600.0, "{size:?}");
        for page in ["Other shops", "Sessions", "Stations"] {
            bench.press_anywhere(page);
            everything_fits(&bench, size, page);
        }
    }
}
