//! Finding a station's map in the window: what is refused beside which field, what is taken back, gone on with, signed,
//! kept and put on paper.

use std::path::Path;

use egui::Key;
use record::calibrations::review_calibration;
use record::review::State;
use record::{Channel, FoundBy, MapStanding, RealDisk, Shop};
use samepoint::testing::Sheet;

use crate::bench::Bench;
use crate::own_shop::{begin_shop, first_start};

/// An empty shop with a station, and the sheet that finds its map.
pub(crate) fn begun(home: &Path) -> Bench {
    let mut bench = first_start(home);
    begin_shop(&mut bench);
    bench.run("add station");
    bench.enter("Bench 1");
    bench.run("find station map");
    assert!(matches!(bench.app().front(), Sheet::FindMap(_)));
    bench
}

fn flips(bench: &mut Bench) {
    for seen in [
        "Left, to the right: x fell",
        "Left, up: y rose",
        "Right, to the right: x rose",
        "Right, up: y rose",
    ] {
        bench.press_anywhere(seen);
    }
}

/// Shows a deviation and reads it in divisions of 2′, the left x running to the left.
fn shows(bench: &mut Bench, x: f64, y: f64) {
    for (name, text) in [
        ("Known x ′", format!("{x}")),
        ("Known y ′", format!("{y}")),
        ("Its standard uncertainty ′", "0.1".to_owned()),
        ("What is shown", "wedge 12".to_owned()),
        ("Left x, divisions", format!("{}", -x / 2.0)),
        ("Left y, divisions", format!("{}", y / 2.0)),
        ("Right x, divisions", format!("{}", x / 2.0)),
        ("Right y, divisions", format!("{}", y / 2.0)),
    ] {
        bench.fill(name, &text);
    }
    bench.key(Key::Enter);
}

fn cross(bench: &mut Bench) {
    for [x, y] in [[0.0, 0.0], [40.0, 0.0], [-40.0, 0.0], [0.0, 40.0], [0.0, -40.0]] {
        shows(bench, x, y);
    }
}

fn wrong(bench: &Bench) -> String {
    let Sheet::FindMap(sheet) = bench.app().front() else { panic!("{:?}", bench.app().front()) };
    sheet.wrong.as_ref().map(|(_, why)| why.clone()).unwrap_or_default()
}

fn only_file(home: &Path) -> std::path::PathBuf {
    let shop = Shop::load(&home.join("shop")).unwrap();
    let files = shop.calibrations().unwrap();
    assert_eq!(files.len(), 1, "{files:?}");
    files[0].clone()
}

#[test]
fn a_map_is_found_signed_kept_and_put_on_paper() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = begun(home.path());
    flips(&mut bench);
    cross(&mut bench);
    assert!(bench.says("one division is 2"), "what follows is told as it comes");
    bench.fill("A reading is read to, divisions", "0.1");
    bench.key(Key::Enter);
    assert!(wrong(&bench).starts_with("Say which certificate"), "{}", wrong(&bench));
    bench.fill("Certificate", "W-7");
    bench.key(Key::Enter);
    assert_eq!(wrong(&bench), "");
    assert!(bench.says("the station has this map now"));
    let review = review_calibration(&only_file(home.path()), &RealDisk).unwrap();
    assert_eq!(review.state, State::Signed, "{:?}", review.objections);
    let shop = Shop::load(&home.path().join("shop")).unwrap();
    let station = &shop.stations[0].value;
    assert!(station.map.left.flip_x && !station.map.right.flip_x);
    assert!((station.map[Channel::Right].arcmin_per_division[1] - 2.0).abs() < 1e-9);
    assert!(matches!(shop.map_standing(station, &RealDisk), MapStanding::Found(_)));
    assert_eq!(FoundBy::of(station).unwrap().line, review.signing_line.unwrap());
    // The signature is noted in the shop's ledger, as a session's is.
    bench.wait_noted();
    let noted = record::calibrations::noted::review_in_shop(&only_file(home.path()), &RealDisk);
    let says = noted.unwrap().ledger.unwrap();
    assert_eq!((says.confirmed.len(), says.not_noted.len(), says.breaks()), (1, 0, false));
    assert!(!says.confirmed[0].entry.late);
    bench.press_anywhere("Its sheet as PDF");
    assert_eq!(wrong(&bench), "");
    let pdf = only_file(home.path()).with_extension("pdf");
    assert!(std::fs::read(&pdf).unwrap().starts_with(b"%PDF-1.7"));
    // What the station was stands under its date; its form says where the map is from.
    bench.key(Key::Escape);
    bench.press_anywhere("Change station Bench 1…");
    assert!(bench.says("Its map was found by"));
    bench.fill("Left x, ′ per division", "3");
    bench.press_anywhere("Keep");
    bench.press_anywhere("Change station Bench 1…");
    assert!(bench.says("but that does not hold"));
    assert!(bench.says("Left x in arcminutes per division"));
}

/// Each refusal beside its field; nothing of it is in the file.
#[test]
fn what_cannot_be_is_refused_beside_its_field() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = begun(home.path());
    bench.focus("Known x ′");
    bench.key(Key::Enter);
    assert!(wrong(&bench).starts_with("Say what is shown"), "{}", wrong(&bench));
    bench.fill("What is shown", "wedge 12");
    bench.key(Key::Enter);
    assert!(wrong(&bench).starts_with("Type what was read"), "{}", wrong(&bench));
    bench.fill("Left x, divisions", "1O");
    bench.key(Key::Enter);
    assert!(wrong(&bench).contains("Left x, divisions: “1O” is not a number"), "{}", wrong(&bench));
    bench.fill("Left x, divisions", "10");
    bench.key(Key::Enter);
    assert!(wrong(&bench).contains("Left y, divisions"), "{}", wrong(&bench));
    bench.fill("Left y, divisions", "0");
    bench.fill("Known x ′", "3001");
    bench.key(Key::Enter);
    assert!(wrong(&bench).contains("3001′"), "{}", wrong(&bench));
    bench.fill("Known x ′", "20");
    bench.fill("Its standard uncertainty ′", "-1");
    bench.key(Key::Enter);
    assert!(wrong(&bench).contains("0 or more"), "{}", wrong(&bench));
    // What is typed is neither lost nor signed over.
    bench.fill("Certificate", "W-7");
    bench.press_anywhere("Sign and keep");
    assert!(wrong(&bench).starts_with("Log what is typed first"), "{}", wrong(&bench));
    bench.key(Key::Escape);
    assert!(bench.says("Esc again drops what is typed here"));
    bench.fill("Its standard uncertainty ′", "0,1");
    bench.fill("Initials", "");
    bench.key(Key::Delete);
    bench.press_anywhere("Log deviation");
    assert!(wrong(&bench).starts_with("Give your initials"), "{}", wrong(&bench));
    bench.fill("Initials", "KT");
    bench.press_anywhere("Log deviation");
    assert_eq!(wrong(&bench), "");
    let review = review_calibration(&only_file(home.path()), &RealDisk).unwrap();
    assert_eq!((review.means.shown.len(), review.means.readings.len()), (1, 1));
    // Neither is one deviation a map.
    bench.fill("Certificate", "W-7");
    bench.key(Key::Enter);
    assert!(wrong(&bench).contains("put the crosshair to the right"), "{}", wrong(&bench));
    flips(&mut bench);
    bench.press_anywhere("Sign and keep");
    assert!(wrong(&bench).contains("only one deviation is read"), "{}", wrong(&bench));
}

/// A flip seen wrong is found by the deviations, and nothing is signed.
#[test]
fn a_contradiction_is_not_signed() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = begun(home.path());
    flips(&mut bench);
    bench.press_anywhere("Left, to the right: x rose");
    cross(&mut bench);
    bench.fill("A reading is read to, divisions", "0.1");
    bench.fill("Certificate", "W-7");
    bench.key(Key::Enter);
    assert!(
        wrong(&bench).contains("the flip test and the deviations contradict"),
        "{}",
        wrong(&bench)
    );
    let review = review_calibration(&only_file(home.path()), &RealDisk).unwrap();
    assert_eq!(review.state, State::Unsigned);
    assert!(FoundBy::of(&bench.app().offers().stations[0]).is_none());
    bench.press_anywhere("Left, to the right: x fell");
    bench.press_anywhere("Sign and keep");
    assert_eq!(wrong(&bench), "");
}

/// What was said last is taken back, and a calibration left half done is gone on with after the next start.
#[test]
fn it_is_taken_back_and_gone_on_with_later() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = begun(home.path());
    flips(&mut bench);
    shows(&mut bench, 0.0, 0.0);
    shows(&mut bench, 40.0, 0.0);
    bench.press_anywhere("Take back the last");
    assert!(bench.says("Taken back: right 20, 0"));
    drop(bench);
    let mut bench = Bench::open_asking(home.path(), None, egui::vec2(1280.0, 800.0));
    bench.run("find station map");
    assert!(bench.says("Goes on with 2026-11-25 Bench 1.samepoint-calibration"));
    let Sheet::FindMap(sheet) = bench.app().front() else { panic!() };
    assert_eq!((sheet.means.in_use().count(), sheet.means.readings_in_use().count()), (2, 3));
    // Who sits here now is asked anew. The same deviation again is a repeat of it.
    bench.fill("Initials", "KT");
    shows(&mut bench, 40.0, 0.0);
    let Sheet::FindMap(sheet) = bench.app().front() else { panic!() };
    assert_eq!((sheet.means.in_use().count(), sheet.means.readings_in_use().count()), (2, 5));
}

/// The one that stands out is left out by its own button, with a reason, and what it was is told; Esc asks no more.
#[test]
fn a_deviation_that_stands_out_is_left_out_with_a_reason() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = begun(home.path());
    flips(&mut bench);
    shows(&mut bench, 0.0, 0.0);
    shows(&mut bench, 40.0, 0.0);
    // Known on the other side than where it was.
    bench.fill("Known x ′", "-20");
    bench.fill("Left x, divisions", "-10");
    bench.fill("Left y, divisions", "0");
    bench.fill("Right x, divisions", "10");
    bench.fill("Right y, divisions", "0");
    bench.key(Key::Enter);
    for [x, y] in [[-40.0, 0.0], [0.0, 40.0], [0.0, -40.0]] {
        shows(&mut bench, x, y);
    }
    assert!(bench.says("Left: deviation 3 stands out"), "which one is said by its number");
    bench.press_anywhere("Leave out 3…");
    bench.press_anywhere("Leave out all of 3");
    assert!(wrong(&bench).starts_with("Say why it is left out"), "{}", wrong(&bench));
    bench.key(Key::Escape);
    assert!(!bench.says("Leave out all of 3"), "Esc lets it count");
    bench.press_anywhere("Leave out 3…");
    bench.fill("Reason", "sign of x");
    bench.press_anywhere("Leave out left −10, 0 alone");
    bench.press_anywhere("Leave out 3…");
    bench.fill("Reason", "sign of x");
    bench.key(Key::Enter);
    assert!(bench.says("−20′, 0′ (wedge 12) left out: sign of x."));
    assert!(!bench.says("stands out"));
    bench.fill("A reading is read to, divisions", "0.1");
    bench.fill("Certificate", "W-7");
    bench.key(Key::Enter);
    assert_eq!(wrong(&bench), "");
    let review = review_calibration(&only_file(home.path()), &RealDisk).unwrap();
    assert_eq!(review.state, State::Signed, "{:?}", review.objections);
    assert_eq!(review.means.left_out().len(), 2);
}
