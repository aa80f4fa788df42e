//! How long a frame stays in the row: while its crosshair blinks, and while a hand holds it still.

use std::time::{Duration, Instant};

use egui::{Key, Modifiers};

use crate::camera::{film_by, off, pass, row_filled, until};
use crate::session::start;
use crate::station_pictures::facts;

/// A frame without a reading between two leaves the row; half a second of them empties it.
#[test]
fn a_blinking_crosshair_stays_in_the_row_and_one_that_is_gone_does_not() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "blink SHOP 2 3");
    until(&mut bench, "read", row_filled);
    let begun = Instant::now();
    while begun.elapsed() < Duration::from_millis(700) {
        bench.window.step();
        assert!(row_filled(&bench), "it blinks");
        std::thread::sleep(Duration::from_millis(5));
    }
    film_by(&mut bench, "hang SHOP 2 3");
    until(&mut bench, "read", row_filled);
    until(&mut bench, "old", |bench| bench.says("No new frame for"));
    assert!(bench.says("what is shown is old"));
    until(&mut bench, "emptied", |bench| !row_filled(bench));
    let before = facts(&bench).len();
    bench.window.key_press(Key::Enter);
    bench.window.step();
    assert_eq!(facts(&bench).len(), before, "what is old is not logged");
    film_by(&mut bench, "dark SHOP");
    until(&mut bench, "refused", |bench| bench.says("Not read: no crosshair was found"));
    assert!(!row_filled(&bench));
    off(&mut bench);
}

/// A frozen frame outlives its program, and nothing of it stays once it is let go of.
#[test]
fn what_was_frozen_is_let_go_of_with_the_row() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "turn SHOP 2 3 0 0 1 30");
    until(&mut bench, "read", row_filled);
    bench.window.key_press_modifiers(Modifiers::COMMAND, Key::F);
    until(&mut bench, "over", |bench| bench.app().camera_process().is_none());
    pass(&mut bench, Duration::from_millis(700));
    assert!(row_filled(&bench) && bench.says("Frozen at frame"));
    bench.window.key_press_modifiers(Modifiers::COMMAND, Key::F);
    bench.window.step();
    assert!(!row_filled(&bench), "it is old");
}
