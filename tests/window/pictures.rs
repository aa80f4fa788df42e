//! Pictures of the window, compared to the kept ones; few, since facts are asserted elsewhere.
//! `UPDATE_SNAPSHOTS=1 cargo test -p samepoint --features snapshots --test window` draws them anew.

use egui::{Key, Modifiers, vec2};
use egui_kittest::SnapshotOptions;

use crate::bench::Bench;

fn compare(bench: &mut Bench, name: &str) {
    // A software renderer is byte-exact with itself; the room is for another version's rounding.
    let options = SnapshotOptions::new()
        .threshold(1.0)
        .failed_pixel_count_threshold(10)
        .output_path(concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/window/snapshots"));
    bench.window.snapshot_options(name, &options);
}

fn bench(name: &str, size: egui::Vec2, pixels_per_point: f32) {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open_sized(home.path(), None, size, pixels_per_point);
    compare(&mut bench, name);
}

#[test]
fn the_bench_on_a_small_screen() {
    bench("bench-1280x800", vec2(1280.0, 800.0), 1.0);
}

#[test]
fn the_bench_on_a_wide_screen() {
    bench("bench-1920x1080", vec2(1920.0, 1080.0), 1.0);
}

#[test]
fn the_bench_at_two_pixels_a_point() {
    bench("bench-1280x800-twice", vec2(1280.0, 800.0), 2.0);
}

#[test]
fn a_new_session_sheet() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.keys(Modifiers::COMMAND, Key::N);
    compare(&mut bench, "new-session");
}

#[test]
fn the_bench_in_other_rooms() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    for name in ["bench-deep-red", "bench-office"] {
        bench.keys(Modifiers::COMMAND, Key::L);
        compare(&mut bench, name);
    }
}

/// Every other place, one picture each.
#[test]
fn the_other_places() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    for (key, name) in
        [(Key::E, "explore"), (Key::U, "study"), (Key::H, "shop"), (Key::V, "review")]
    {
        bench.keys(Modifiers::ALT, key);
        while bench.app().places().shop.reading.is_going_on() {
            std::thread::sleep(std::time::Duration::from_millis(5));
            bench.rest();
        }
        if key == Key::H {
            bench.press("Circle centres");
        }
        compare(&mut bench, name);
    }
}
