//! The camera map changed on disk while a camera runs.

use std::fs;
use std::time::Duration;

use egui::{Key, Modifiers};
use record::fact::Body;

use crate::camera::{film_by, off, pass, row_filled, row_is_near, typed, until};
use crate::session::start;
use crate::station_pictures::facts;

/// The map that frames are read through is changed on disk while a camera runs: that is said, what was read through the
/// old one leaves the row, frozen or not, and what is logged from then on names the new one.
#[test]
fn a_map_changed_while_filming_is_told_and_empties_the_row() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "still SHOP 12 -6.5");
    until(&mut bench, "read", row_filled);
    row_is_near(&bench, [12.0, -6.5]);
    let map = bench.app().offers().folder.join("cameras/Bench 2.ron");
    let text = fs::read_to_string(&map).unwrap();
    // Every line is another by five divisions: y 20, 0 and −20 are 25, 5 and −15.
    let moved = text
        .replace(", 20.0)", ", 25.0)")
        .replace(", 0.0)", ", 5.0)")
        .replace(", -20.0)", ", -15.0)");
    assert_eq!(moved.matches(", 25.0)").count(), 3);
    let before = facts(&bench).len();
    for (now, y, frozen) in [(&moved, -1.5, false), (&text, -6.5, true)] {
        if frozen {
            bench.window.key_press_modifiers(Modifiers::COMMAND, Key::F);
            bench.window.step();
            assert!(bench.says("Frozen at frame"));
        }
        let old = [bench.app().entry().x.clone(), bench.app().entry().y.clone()];
        fs::write(&map, now).unwrap();
        until(&mut bench, "told", |bench| bench.says("The camera map “Bench 2” was changed"));
        let row = [bench.app().entry().x.clone(), bench.app().entry().y.clone()];
        assert_ne!(row[1], old[1], "what was read through the old map is gone in the same step");
        until(&mut bench, "read anew", row_filled);
        row_is_near(&bench, [12.0, y]);
    }
    // No map at all: shown, not read, told; and read again once there is one.
    fs::write(&map, "(format: 1").unwrap();
    until(&mut bench, "told", |bench| bench.says("Frames are not read any more"));
    assert!(!row_filled(&bench));
    assert!(bench.says("no camera map of station “Bench 2”") && bench.says("The camera’s picture"));
    pass(&mut bench, Duration::from_millis(500));
    assert!(!row_filled(&bench));
    assert!(bench.app().camera_process().is_some());
    assert_eq!(facts(&bench).len(), before);
    fs::write(&map, &moved).unwrap();
    until(&mut bench, "read again", row_filled);
    row_is_near(&bench, [12.0, -1.5]);
    bench.window.key_press(Key::Enter);
    bench.window.step();
    let added = facts(&bench).split_off(before);
    let [Body::Camera(camera), Body::Reading(reading), Body::Frame(_)] = &added[..] else {
        panic!("{added:#?}");
    };
    assert_eq!(camera.marks[0].divisions, [-25.0, 25.0]);
    assert!((typed(reading)[1].parse::<f64>().unwrap() + 1.5).abs() < 0.15);
    off(&mut bench);
    bench.wait_saved().unwrap();
    bench.keys(Modifiers::ALT, Key::V);
    bench.wait_for("Read again, the picture of its reading gives the same.");
}
