//! An invented unit shown through an invented camera: the real reader puts what this look shows in the row, only Enter
//! logs, and what a camera told is noted as told.
//!
//! What the row is held against is where the glass shows the crosshair, and that comes from the unit, not from a picture.

use std::time::Duration;

use egui::{Key, Modifiers};
use record::fact::Body;
use record::practice::told::told_readings;
use record::practice::{Fault, Grade, PracticeUnit};
use samepoint::testing::Lighting;
use solver::Channel;

use crate::bench::Bench;
use crate::camera::{pass, row_filled, until};
use crate::deep_red::only_red;
use crate::glance::SCREENS;
use crate::layout::everything_fits;
use crate::practice::{begin, session, to_practice, unit};
use crate::station_pictures::{count, facts};

/// Twice what the map's marks, rounded to a tenth of a pixel, are off each way, 0.05 divisions, and what the row is
/// rounded to.
const NEAR: f64 = 0.15;

#[track_caller]
fn row_shows_the_glass(bench: &Bench) {
    let entry = bench.app().entry();
    let seen = unit(bench).seen()[entry.channel];
    let row = [&entry.x, &entry.y].map(|text| text.parse().unwrap_or(f64::NAN));
    for (row, seen) in row.into_iter().zip([seen.x_arcmin, seen.y_arcmin]) {
        assert!((row - seen).abs() < NEAR, "{row} {seen}");
    }
}

fn film(bench: &mut Bench) {
    bench.keys(Modifiers::ALT, Key::F);
    assert!(bench.says("The invented unit is shown through a camera"));
    until(bench, "read", row_filled);
}

fn press(bench: &mut Bench, modifiers: Modifiers, key: Key) {
    bench.window.key_press_modifiers(modifiers, key);
    bench.window.step();
}

fn is_reading(body: &Body) -> bool {
    matches!(body, Body::Reading(_))
}

#[test]
fn an_invented_unit_is_read_through_a_camera_and_only_enter_logs() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    begin(&mut bench, Grade::Second, 3);
    let before = facts(&bench).len();
    film(&mut bench);
    row_shows_the_glass(&bench);
    assert!(bench.says("The camera’s picture") && bench.says("Enter logs it, noted as told."));
    pass(&mut bench, Duration::from_millis(500));
    assert_eq!(facts(&bench).len(), before, "nothing is logged before a hand says so");
    press(&mut bench, Modifiers::NONE, Key::Enter);
    let added = facts(&bench).split_off(before);
    let [Body::Note(note), Body::Reading(reading)] = &added[..] else { panic!("{added:#?}") };
    assert!(note.is_in_the_programs_words());
    assert_eq!(reading.channel(), Some(Channel::Left));
    // No picture of it is kept.
    assert_eq!(count(&bench, |body| matches!(body, Body::Camera(_) | Body::Frame(_))), 0);
    // The row went on to the other channel: that one is before the camera now.
    assert_eq!(bench.app().entry().channel, Channel::Right);
    until(&mut bench, "the other", row_filled);
    row_shows_the_glass(&bench);
    press(&mut bench, Modifiers::NONE, Key::Enter);
    assert_eq!(count(&bench, is_reading), 2);

    // As a ring turns what was read before leaves the row with it, and Enter logs nothing old.
    press(&mut bench, Modifiers::COMMAND, Key::T);
    assert!(bench.app().practice_unit().is_some_and(|unit| !unit.cell(Channel::Left).locked));
    until(&mut bench, "logging", row_filled);
    for _ in 0..3 {
        let old = bench.app().entry().x.clone();
        press(&mut bench, Modifiers::ALT, Key::N);
        assert!(!row_filled(&bench), "{old} was read before the ring was turned");
        press(&mut bench, Modifiers::NONE, Key::Enter);
        assert_eq!(count(&bench, is_reading), 2);
        until(&mut bench, "read anew", row_filled);
        row_shows_the_glass(&bench);
    }
    press(&mut bench, Modifiers::NONE, Key::Enter);
    assert_eq!(count(&bench, is_reading), 3);
    // Frozen: the same until it is logged or the ring is turned.
    until(&mut bench, "read", row_filled);
    press(&mut bench, Modifiers::COMMAND, Key::F);
    let stood = bench.app().entry().x.clone();
    pass(&mut bench, Duration::from_millis(700));
    assert_eq!(bench.app().entry().x, stood);
    press(&mut bench, Modifiers::ALT, Key::N);
    until(&mut bench, "goes on", row_filled);
    row_shows_the_glass(&bench);
    // No ring is swept, and no picture of a real station is read.
    press(&mut bench, Modifiers::ALT, Key::T);
    bench.window.step();
    assert!(bench.says("log each place by itself"));
    press(&mut bench, Modifiers::ALT, Key::F);
    assert!(!row_filled(&bench), "nothing of it stays in the row");
    bench.rest();
    bench.keys(Modifiers::ALT, Key::M);
    assert!(bench.says("a picture of a real station says nothing of it"));

    // All three were told, and are counted as told; what the eye reads afterwards is not.
    let state = session(&bench).state();
    assert_eq!(told_readings(state).len(), 3);
    press(&mut bench, Modifiers::ALT, Key::N);
    bench.rest();
    bench.enter("3.1");
    bench.enter("4.2");
    assert_eq!(count(&bench, is_reading), 4);
    assert_eq!(told_readings(session(&bench).state()).len(), 3);
}

/// A number that was read off the camera and typed after it was put away is told all the same.
#[test]
fn what_a_camera_told_is_noted_though_it_is_typed() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    begin(&mut bench, Grade::First, 1);
    film(&mut bench);
    press(&mut bench, Modifiers::ALT, Key::F);
    bench.rest();
    let seen = unit(&bench).seen().left;
    bench.enter(&format!("{:.1}", seen.x_arcmin));
    bench.enter(&format!("{:.1}", seen.y_arcmin));
    assert_eq!(told_readings(session(&bench).state()).len(), 1);
}

/// The picture is of the bench, whatever the session's station says of its map: a flip that was planted stays planted.
#[test]
fn a_planted_flip_does_not_show_in_the_picture() {
    let planted = |number: &u64| {
        let unit = PracticeUnit::invented(Grade::Fourth, *number).unwrap();
        unit.planted().is_some_and(|planted| {
            planted.fault == Fault::WrongFlip && planted.channel == Some(Channel::Left)
        })
    };
    let number = (1..400).find(planted).unwrap();
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    begin(&mut bench, Grade::Fourth, number);
    film(&mut bench);
    row_shows_the_glass(&bench);
}

#[test]
fn in_an_examination_no_camera_reads() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    to_practice(&mut bench);
    bench.press("As an examination");
    begin(&mut bench, Grade::First, 2);
    for keys in [Modifiers::ALT, Modifiers::ALT | Modifiers::SHIFT] {
        // Alt+Shift+T turns until they meet, by the same camera.
        let key = if keys == Modifiers::ALT { Key::F } else { Key::T };
        bench.keys(keys, key);
        assert!(!row_filled(&bench) && !bench.says("The camera’s picture"));
    }
    bench.press("Through a camera");
    assert!(bench.says("In an examination no reading is told."));
    pass(&mut bench, Duration::from_millis(600));
    assert!(!row_filled(&bench));
}

/// Whole on every screen, in the light of each room.
#[test]
fn a_filmed_unit_fits_every_screen_and_room() {
    for (size, scale) in SCREENS {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, scale);
        begin(&mut bench, Grade::First, 1);
        film(&mut bench);
        everything_fits(&bench, size, "a unit through a camera");
        press(&mut bench, Modifiers::ALT, Key::N);
        everything_fits(&bench, size, "a unit before its first picture");
        until(&mut bench, "read", row_filled);
        for _ in Lighting::ALL {
            if bench.app().preferences().lighting == Lighting::DeepRed {
                only_red(&bench, "a unit through a camera");
            }
            press(&mut bench, Modifiers::COMMAND, Key::L);
            pass(&mut bench, Duration::from_millis(60));
        }
        press(&mut bench, Modifiers::ALT, Key::F);
        bench.rest();
    }
}
