//! What is written of the shop from its window: the table in sight, never over anything.

use std::path::Path;
use std::time::{Duration, Instant};

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use samepoint::testing::Sheet;

use crate::bench::Bench;

const ALT_SHIFT: Modifiers = Modifiers { alt: true, shift: true, ..Modifiers::NONE };

/// The demo shop's sessions, read.
pub(crate) fn shop(home: &Path) -> Bench {
    let mut bench = Bench::open_sized(home, None, vec2(1280.0, 800.0), 1.0);
    bench.keys(Modifiers::ALT, Key::H);
    let begun = Instant::now();
    while bench.app().places().shop.reading.is_going_on() {
        assert!(begun.elapsed() < Duration::from_secs(60), "the sessions are never read");
        std::thread::sleep(Duration::from_millis(5));
        bench.rest();
    }
    bench
}

/// Replaces what stands in the sheet's field and presses Enter.
pub(crate) fn to(bench: &mut Bench, path: &Path) {
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&path.display().to_string());
}

fn refused(bench: &Bench) -> String {
    let Sheet::OfShop(sheet) = bench.app().front() else { panic!("the sheet is gone") };
    sheet.path.refused.clone().unwrap_or_default()
}

/// The rows found, in the columns chosen, in the order on screen. Of 0431 it says what was signed and what its
/// readings give (demo-data/README.md); what a spreadsheet would take for a formula is text (OWASP, *CSV Injection*).
#[test]
fn the_table_in_sight_is_written() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path());
    bench.press("Search");
    bench.type_text("turnstone 4");
    bench.keys(ALT_SHIFT, Key::S);
    assert!(bench.says("of 64 sessions, as the table has them in sight"));
    let folder = home.path().join("written");
    std::fs::create_dir(&folder).unwrap();
    let csv = folder.join("turnstone.csv");
    to(&mut bench, &csv);
    assert!(bench.app().notice().unwrap().contains("Table written to"));
    let table = std::fs::read_to_string(&csv).unwrap();
    let rows: Vec<Vec<&str>> = table.lines().map(|line| line.split(',').collect()).collect();
    assert_eq!(rows[0][..4], ["file", "practice", "day", "unit"], "{table}");
    let column = |name: &str| rows[0].iter().position(|found| *found == name).unwrap();
    let shown = &bench.app().places().shop;
    assert_eq!(rows.len() - 1, shown.rows.len());
    for (row, index) in rows[1..].iter().zip(&shown.rows) {
        assert_eq!(row[0], shown.session(*index).unwrap().file);
        assert_eq!(row[column("housing")], "Turnstone");
        assert_eq!(row[column("station")], "Bench 4");
    }
    let forged = rows.iter().find(|row| row[column("unit")] == "0431").unwrap();
    assert_eq!(forged[column("signed_verdict")], "pass");
    assert_eq!(forged[column("verdict")], "fail");
    // Not chosen, so not there.
    assert!(!rows[0].contains(&"customer"));

    // Nothing is replaced, no folder made, no other ending taken.
    bench.keys(ALT_SHIFT, Key::S);
    to(&mut bench, &csv);
    assert!(refused(&bench).contains("is not replaced"), "{}", refused(&bench));
    to(&mut bench, &folder.join("turnstone.txt"));
    assert!(refused(&bench).contains("must end in .csv"), "{}", refused(&bench));
    to(&mut bench, &home.path().join("nowhere/turnstone.csv"));
    assert!(refused(&bench).contains("cannot be written"), "{}", refused(&bench));
    assert_eq!(std::fs::read_to_string(&csv).unwrap(), table);
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 1);
}

/// A column that is turned on stands in the next table, and practice says that it is.
#[test]
fn columns_and_practice_that_were_chosen_are_in_it() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path());
    bench.press("Columns ▾");
    bench.press_anywhere("Customer");
    bench.key(Key::Escape);
    bench.press("Write ▾");
    let write = bench.window.query_by_label_contains("Write the table…");
    write.expect("it is in the menu").click_accesskit();
    bench.rest();
    let csv = home.path().join("all.csv");
    to(&mut bench, &csv);
    let table = std::fs::read_to_string(&csv).unwrap();
    let head = table.lines().next().unwrap();
    assert!(head.contains(",customer,"), "{head}");
    assert!(table.lines().skip(1).all(|line| line.split(',').nth(1) == Some("false")));
    assert_eq!(table.lines().count(), 65);
}

/// Waits until an audit pack is made or refused.
fn wait_for_pack(bench: &mut Bench) {
    let begun = Instant::now();
    while matches!(bench.app().front(), Sheet::OfShop(sheet) if sheet.going_on) {
        assert!(begun.elapsed() < Duration::from_secs(120), "the pack is never made");
        std::thread::sleep(Duration::from_millis(20));
        bench.rest();
    }
}

/// By keys alone: a month on paper, and an audit pack that the real `sha256sum` checks. What cannot be is said on the
/// sheet, and nothing is made.
#[test]
fn a_month_and_an_audit_pack_are_written_by_keys() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path());
    let month = home.path().join("may.pdf");
    bench.keys(ALT_SHIFT, Key::M);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text("2026-13");
    bench.key(Key::Tab);
    to(&mut bench, &month);
    assert!(refused(&bench).contains("is not a month"), "{}", refused(&bench));
    bench.focus("Month");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("2026-05");
    assert!(bench.app().notice().unwrap().contains("Monthly report written to"));
    assert!(std::fs::read(&month).unwrap().starts_with(b"%PDF-"));

    let pack = home.path().join("pack");
    bench.keys(ALT_SHIFT, Key::A);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text("2026-05-01");
    bench.key(Key::Tab);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text("2026-05-31");
    bench.key(Key::Tab);
    to(&mut bench, home.path());
    wait_for_pack(&mut bench);
    assert!(refused(&bench).contains("is not empty"), "{}", refused(&bench));
    bench.focus("Folder of the pack");
    to(&mut bench, &pack);
    wait_for_pack(&mut bench);
    assert_eq!(bench.app().front(), &Sheet::Clear);
    assert!(bench.app().notice().unwrap().contains("Audit pack written to"));
    let checked = std::process::Command::new("sha256sum")
        .args(["--check", "--strict", "--quiet", "SHA256SUMS"])
        .current_dir(&pack)
        .status();
    assert!(checked.expect("sha256sum is there").success());
}

/// The chart in sight as a picture, by the key that saves the plot at the bench: the same points as on screen, left
/// and right by their marks, and in pixels (the signature of ISO/IEC 15948, 5.2).
#[test]
fn the_chart_at_hand_is_a_picture() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path());
    bench.press("First pass");
    let points = bench.app().places().shop.chart(0).unwrap().points.len();
    assert!(points > 1);
    bench.keys(Modifiers::COMMAND, Key::E);
    let svg = home.path().join("first.svg");
    to(&mut bench, &svg);
    assert!(bench.app().notice().unwrap().contains("Picture written to"));
    let drawn = std::fs::read_to_string(&svg).unwrap();
    assert_eq!(drawn.matches("<circle ").count(), points);
    assert!(drawn.contains("95"), "what it tells stands below it");
    bench.keys(Modifiers::COMMAND, Key::E);
    to(&mut bench, &svg);
    assert!(refused(&bench).contains("is not replaced"));
    let png = home.path().join("first.png");
    to(&mut bench, &png);
    assert!(std::fs::read(&png).unwrap().starts_with(b"\x89PNG\r\n\x1a\n"));
}
