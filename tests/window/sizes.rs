//! Confirming and what must be read in the bars, at every size of text on a bench's screen and on a small one.

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;

use crate::bench::Bench;
use crate::confirm::{confirm_all, turn_to_confirm};
use crate::glance::drawn;
use crate::layout::everything_fits;
use crate::session::{begin, log_eight};

/// 1280 × 800 at 100, 150 and 200 %, and 640 × 480 at 100 %: points, and pixels a point.
const SIZES: [(egui::Vec2, f32); 4] = [
    (vec2(1280.0, 800.0), 1.0),
    (vec2(853.0, 533.0), 1.5),
    (vec2(640.0, 400.0), 2.0),
    (vec2(640.0, 480.0), 1.0),
];

/// Every line of the checklist, every condition and every reading comes into sight whole, and no label is cut.
#[test]
fn every_row_of_confirm_is_reached() {
    for (size, scale) in SIZES {
        let home = tempfile::tempdir().unwrap();
        let bench = Bench::open_sized(home.path(), None, size, scale);
        let mut bench = turn_to_confirm(begin(bench));
        everything_fits(&bench, size, "confirming");
        let names: Vec<&str> =
            bench.app().confirming().lines.iter().map(|line| line.check.name()).collect();
        assert_eq!(names.len(), 7);
        for _ in 0..names.len() {
            let name = bench.app().confirming().check.name();
            let (_, whole) =
                drawn(&bench, name, scale).unwrap_or_else(|| panic!("{name} at {size}"));
            assert!(whole, "{name} is cut at {size}");
            everything_fits(&bench, size, name);
            bench.keys(Modifiers::SHIFT, Key::F6);
        }
        let mut bench = {
            drop(bench);
            let home = tempfile::tempdir().unwrap();
            let mut bench =
                turn_to_confirm(begin(Bench::open_sized(home.path(), None, size, scale)));
            bench.keys(Modifiers::COMMAND, Key::B);
            confirm_rest(&mut bench);
            everything_fits(&bench, size, "confirmed");
            bench
        };
        // The verdict and what limits it, on the tab of the rings in a small window.
        if size.x < 960.0 {
            bench.press("Show Rings");
        }
        everything_fits(&bench, size, "the verdict");
        assert!(bench.says("Verdict: "));
    }
}

/// As the checklist asks, but for the looking test.
fn confirm_rest(bench: &mut Bench) {
    for x in ["-14.6", "-14.4"] {
        bench.enter(x);
        bench.enter("21.6");
    }
    bench.keys(Modifiers::COMMAND, Key::T);
    for x in ["-14.3", "-14.2", "-14.2", "-14.1"] {
        bench.enter(x);
        bench.enter("21.6");
    }
}

/// The signature: its fields and its button are in sight together with what is signed, also at 200 %.
#[test]
fn the_sign_sheet_has_room() {
    for (size, scale) in SIZES {
        let home = tempfile::tempdir().unwrap();
        let bench = Bench::open_sized(home.path(), None, size, scale);
        let mut bench = turn_to_confirm(begin(bench));
        if size.x > 960.0 {
            confirm_all(&mut bench);
        } else {
            bench.keys(Modifiers::COMMAND, Key::B);
            confirm_rest(&mut bench);
        }
        bench.key(Key::F12);
        everything_fits(&bench, size, "the sign sheet");
        let verdicts = bench.window.query_all_by_label_contains("Verdict: ");
        let highest = verdicts.map(|node| node.rect().top()).fold(f32::INFINITY, f32::min);
        // At 200 % it has three quarters of the window's height.
        assert!(highest < 0.3 * size.y || size.x > 960.0, "{highest} at {size}");
    }
}

/// What a session is judged by is told on each tab of a small window.
#[test]
fn the_windows_name_is_on_every_tab() {
    for (size, scale) in [(vec2(640.0, 480.0), 1.0), (vec2(640.0, 400.0), 2.0)] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = begin(Bench::open_sized(home.path(), None, size, scale));
        let name = bench.app().session().unwrap().state().window().unwrap().name.clone();
        for tab in ["Log", "Plot", "Rings"] {
            bench.press(&format!("Show {tab}"));
            let (_, whole) =
                drawn(&bench, &name, scale).unwrap_or_else(|| panic!("{tab} at {size}"));
            assert!(whole, "{name} on {tab} at {size}");
            everything_fits(&bench, size, tab);
        }
        log_eight(&mut bench);
        everything_fits(&bench, size, "with readings");
    }
}

/// At every size the bar says that no hand is named and what is the matter with the station.
#[test]
fn what_must_be_seen_stays_in_the_bar() {
    for (size, scale) in SIZES {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, scale);
        // The demo session was read on a day that is over.
        bench.key(Key::Escape);
        let session = bench.app().session().unwrap();
        let now =
            record::Stamp::from_unix_milliseconds(1_795_597_200_000 + 86_400_000 * 200).unwrap();
        assert_eq!(session.station_reason(now), "calibration ran out");
        if bench.app().preferences().hand.is_empty() {
            let (_, whole) = drawn(&bench, "no hand named", scale)
                .unwrap_or_else(|| panic!("no hand named at {size}"));
            assert!(whole, "no hand named is cut at {size}");
        }
        everything_fits(&bench, size, "the bars");
    }
}

/// The shop opens with rows in sight at every size: five at least, also at 200 %.
#[test]
fn the_shops_rows_are_in_sight_on_opening() {
    for (size, scale) in SIZES {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, scale);
        bench.keys(Modifiers::ALT, Key::H);
        while bench.app().places().shop.reading.is_going_on() {
            std::thread::sleep(std::time::Duration::from_millis(5));
            bench.rest();
        }
        bench.rest();
        bench.rest();
        // The bar at the foot is so high, points.
        let lowest = size.y - 38.0;
        let head = bench.window.get_by_label("Sort by unit").rect();
        assert!(head.top() >= 0.0, "{head:?} at {size}");
        let rows = bench.window.query_all_by_label_contains(", housing ");
        let whole = rows.filter(|row| {
            let rect = row.rect();
            rect.top() >= head.bottom() - 0.5 && rect.bottom() <= lowest + 0.5
        });
        let whole = whole.count();
        assert!(whole >= 5, "{whole} rows at {size}");
        everything_fits(&bench, size, "the shop's rows");
        // The search comes into sight by a key, and the other pages with it.
        if size.y < 600.0 {
            bench.press("Search and pages ▴");
            bench.rest();
            let search = bench.window.get_by_label("Search").rect();
            assert!(search.top() > 0.0 && search.bottom() < size.y, "{search:?} at {size}");
            bench.type_text("0431");
            bench.rest();
            assert_eq!(bench.app().places().shop.rows.len(), 1);
        }
    }
}
