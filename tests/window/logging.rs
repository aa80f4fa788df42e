//! Logging beyond one reading at a time: blocks, files, closure, rounds, reading again.

use std::fs;

use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use record::ReadingUnit;
use record::fact::{Approach, Purpose, RoundReason};
use samepoint::testing::{DialogAnswer, Sheet};
use solver::Channel;

use crate::bench::Bench;
use crate::session::{log_eight, start};

fn facts(bench: &Bench) -> usize {
    bench.app().session().unwrap().file().facts().len()
}

fn readings(bench: &Bench) -> usize {
    let rows = &bench.app().session().unwrap().rows();
    rows.iter()
        .flat_map(|(_, rows)| rows)
        .filter(|row| row.purpose == Purpose::Log && row.withdrawn.is_none())
        .count()
}

/// A block pasted into the row opens as a preview; what is right is logged, the rest stays to be
/// put right, and each reading is undone by itself.
#[test]
fn a_pasted_block_is_looked_at_before_it_is_logged() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let block = "channel\tring\tx\ty\nL\t0\t38,2\t14,3\nL\t60\t33,0\t-15,3\nX\t120\t4.8\t-25.5\n\
                 R\t\t-25,9\t13,7\nR\t60\t4000\t22,6";
    bench.window.event(Event::Paste(block.to_owned()));
    bench.rest();
    assert!(matches!(bench.app().front(), Sheet::Paste(_)));
    assert!(bench.says("3 readings, 2 rows refused"));
    assert!(bench.says("4  “X” is no channel; write L or R"));
    assert!(bench.says("3000"), "beyond the field");
    assert_eq!(readings(&bench), 0, "nothing is logged unseen");
    let before = facts(&bench);
    bench.press("Log 3 readings");
    assert_eq!((facts(&bench), readings(&bench)), (before + 3, 3));
    let row = &bench.app().session().unwrap().rows().left[1];
    assert_eq!((row.x.as_str(), row.unit), ("38,2", ReadingUnit::Arcmin), "stored as written");
    let Sheet::Paste(sheet) = bench.app().front() else { panic!("what is refused stays") };
    assert_eq!(sheet.text, "X\t120\t4.8\t-25.5\nR\t60\t4000\t22,6");
    bench.key(Key::Escape);
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(readings(&bench), 2);
}

/// One number pasted belongs to its field.
#[test]
fn one_number_pasted_stays_a_number() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.window.event(Event::Paste("12.5".to_owned()));
    bench.rest();
    assert_eq!(bench.app().entry().x, "12.5");
    assert_eq!(*bench.app().front(), Sheet::Clear);
}

/// The demo's files of readings come in through the dialog, or are refused by line.
#[test]
fn a_csv_file_is_imported() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let demo = home.path().join("data/demo-shop/readings/spreadsheet.csv");
    *bench.dialogs.next.lock().unwrap() = Some(DialogAnswer::Chosen(demo.clone()));
    bench.keys(Modifiers::COMMAND, Key::I);
    bench.press("Choose with a file dialog…");
    let wanted = record::import_csv::read(&demo).unwrap().rows().len();
    assert!(bench.says(&format!("{wanted} readings")));
    bench.keys(Modifiers::COMMAND, Key::Enter);
    assert_eq!(readings(&bench), wanted);
    assert!(bench.app().session().unwrap().picture().setting.is_some());

    let bad = home.path().join("bad.csv");
    fs::write(&bad, "channel,ring_deg,x_arcmin,y_arcmin\nL,0,1,2\nL,60,one,2\n").unwrap();
    bench.keys(Modifiers::COMMAND, Key::I);
    bench.enter(&bad.display().to_string());
    assert!(bench.says("line 3"));
    assert_eq!(readings(&bench), wanted);
}

/// The first position read again closes the round; too large an error is asked about.
#[test]
fn a_round_that_is_closed_says_how_well() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    bench.type_text("l");
    assert!(!bench.says("closes"));
    let close = |bench: &mut Bench, x: &str| {
        bench.keys(Modifiers::SHIFT, Key::Tab);
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.enter("0");
        bench.enter(x);
        bench.enter("14.3");
    };
    close(&mut bench, "38.4");
    // (38.4 − 38.2, 14.3 − 14.3): 0.2′, which σ = 0.2′ explains.
    assert!(bench.says("closes 0.2′ off"));
    assert!(bench.app().notice().unwrap().contains("closes 0.2′ off"));
    assert!(!bench.says("did something move"));
    close(&mut bench, "40.2");
    assert!(bench.says("closes 2.0′ off: more than scatter, did something move?"));
}

/// Whatever else was touched opens the next round at once, with that reason.
#[test]
fn what_was_touched_opens_the_next_round() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    for (k, (typed, why)) in [
        ("dioptre moved", RoundReason::Dioptre),
        ("reseated", RoundReason::Reseated),
        ("eyepiece taken", RoundReason::EyepieceOut),
        ("station zeroed", RoundReason::StationZeroed),
    ]
    .into_iter()
    .enumerate()
    {
        bench.run(typed);
        let state = bench.app().session().unwrap().state();
        assert_eq!((state.rounds.len(), state.round().unwrap().why), (k + 2, why), "{typed}");
    }
}

/// Reading again turns the row to the place of the selected reading.
#[test]
fn a_reading_is_read_again() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    for _ in 0..3 {
        bench.key(Key::ArrowDown);
    }
    bench.keys(Modifiers::COMMAND, Key::R);
    let entry = bench.app().entry();
    assert_eq!((entry.channel, entry.ring.left.as_str()), (Channel::Left, "60"));
    bench.enter("33.1");
    bench.enter("-15.2");
    assert_eq!(readings(&bench), 9);
}

/// Step and approach by keyboard; a step of one's own is typed.
#[test]
fn step_and_approach_by_keyboard() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.keys(Modifiers::COMMAND, Key::J);
    assert_eq!(bench.app().entry().step_deg, 90.0);
    bench.keys(Modifiers::COMMAND, Key::D);
    assert_eq!(bench.app().entry().approach, Approach::Clockwise);
    bench.key(Key::Tab);
    bench.key(Key::Tab);
    bench.enter("400");
    assert!(bench.says("less than a whole turn"));
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("22.5");
    assert_eq!(bench.app().entry().step_deg, 22.5);
    bench.enter("1");
    bench.enter("2");
    assert_eq!(bench.app().entry().ring.left, "22.5");
}

/// Against the ring: said what it means and what to do; said so, the sense is known.
#[test]
fn a_crosshair_against_its_ring_is_explained() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let demo = home.path().join("data/demo-shop/readings/against.csv");
    bench.keys(Modifiers::COMMAND, Key::I);
    bench.enter(&demo.display().to_string());
    bench.keys(Modifiers::COMMAND, Key::Enter);
    assert!(bench.says("The left crosshair runs against its ring. Look into that eyepiece"));
    assert!(!bench.says("The right crosshair runs against its ring. Look"));
}

/// A misread ring is pointed at with its likely cause; one key withdraws it, undo brings it back.
#[test]
fn a_reading_that_stands_out_is_pointed_at() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    // Centre (10, 4), radius 30, φ = 20°, clockwise with the ring: at 30° steps, rounded to a tenth
    // and off by a few hundredths, as readings are. The one logged at 120° was taken at 130°.
    let rows: Vec<String> = (0..12)
        .map(|k| {
            let ring_deg = 30.0 * f64::from(k);
            let true_deg = if k == 4 { 130.0 } else { ring_deg };
            let angle = (20.0 - true_deg).to_radians();
            let slip = if k % 2 == 0 { 0.04 } else { -0.05 };
            let (x, y) = (10.0 + 30.0 * angle.cos() + slip, 4.0 + 30.0 * angle.sin() - slip);
            format!("L\t{ring_deg}\t{x:.1}\t{y:.1}")
        })
        .collect();
    bench.window.event(Event::Paste(rows.join("\n")));
    bench.rest();
    bench.keys(Modifiers::COMMAND, Key::Enter);
    assert!(bench.says("Left reading 5 stands out"));
    assert!(bench.says("ring looks 10° off, the others say 130°"));
    bench.keys(Modifiers::SHIFT, Key::F8);
    assert_eq!(readings(&bench), 11);
    assert!(!bench.says("stands out (p"));
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(readings(&bench), 12);
    // F8 alone asks, with the likely cause as the reason.
    bench.key(Key::F8);
    let Sheet::Withdraw(sheet) = bench.app().front() else { panic!("the sheet") };
    assert!(sheet.reason.starts_with("stands out: ring looks 10° off"), "{}", sheet.reason);
}

/// Under the row of the demo's newest session: what came back, and the next reading, all of both.
#[test]
fn what_came_back_and_what_to_do_stand_whole_under_the_row() {
    let home = tempfile::tempdir().unwrap();
    let bench = Bench::open(home.path(), None);
    let told = bench.window.get_by_label_contains("Returned by ").rect();
    let hint = bench.window.get_by_label_contains("Next best reading:").rect();
    // The room under the row is 70 points high.
    assert!(told.bottom() <= hint.top() && hint.bottom() - told.top() <= 70.0, "{told} {hint}");
}

/// The reading most worth taking is offered, and one key turns the row to it.
#[test]
fn the_next_best_reading_is_offered() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    assert!(!bench.says("Next best reading:"));
    log_eight(&mut bench);
    assert!(bench.says("Next best reading:"));
    let next = bench.app().session().unwrap().advice().next.unwrap();
    bench.keys(Modifiers::COMMAND, Key::G);
    let entry = bench.app().entry();
    assert_eq!(entry.channel, next.channel);
    let ring_deg: f64 = entry.ring[next.channel].parse().unwrap();
    assert_eq!(ring_deg, next.ring_deg.unwrap().round() % 360.0);
}
