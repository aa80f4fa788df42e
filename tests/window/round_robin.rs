//! One unit on several benches, on screen: the demo's unit 0330, which two shops read (demo-data/README.md). What each
//! bench measured is held against the others in `tests/shop/round_robin.rs`.

use std::path::Path;
use std::time::{Duration, Instant};

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use samepoint::testing::{Place, Work};

use crate::bench::Bench;
use crate::layout::everything_fits;
use crate::other_shops::{add, second};
use crate::supervisor::{shop, wait_for_sessions};

const USUAL: egui::Vec2 = vec2(1280.0, 800.0);

fn wait(bench: &mut Bench) {
    let begun = Instant::now();
    while bench.app().places().shop.round_robin.reading.is_going_on() {
        assert!(begun.elapsed() < Duration::from_secs(20), "its sessions are never read");
        std::thread::sleep(Duration::from_millis(5));
        bench.rest();
    }
    bench.rest();
}

/// Both shops as one, at the page.
fn both(home: &Path, size: egui::Vec2) -> Bench {
    let mut bench = shop(home, size);
    let folder = second(&bench);
    add(&mut bench, &folder);
    bench.press("Round robin");
    bench
}

/// Planted: Bench 7 adds nothing, the right graticule of Bench 8 was knocked by 0′, 1.6′.
#[test]
fn the_bench_that_was_knocked_is_told() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = both(home.path(), USUAL);
    // By keys: the list, the unit, back, and again.
    let units = bench.app().places().shop.round_robin.units.clone();
    let down = units.iter().position(|unit| unit == "0330").unwrap();
    for _ in 0..down {
        bench.key(Key::ArrowDown);
    }
    bench.key(Key::Enter);
    wait(&mut bench);
    assert!(bench.says("Unit 0330"));
    bench.key(Key::Backspace);
    assert!(!bench.app().places().shop.round_robin.units.is_empty());
    bench.key(Key::Enter);
    wait(&mut bench);
    bench.press("Dipvergence");
    for words in ["read ′", "the others ′", "E_n", "consensus of all", "± 95 %"] {
        assert!(bench.says(words), "{words}");
    }
    assert!(bench.says("Bench 8 lies farther from the others than the uncertainties explain"));
    assert!(bench.says("unsatisfactory") && bench.says("satisfactory"));
    assert!(bench.says("Dipvergence, bench by bench"));
    assert!(bench.says("another file counts in its stead"), "what is not compared is said");
    let found = bench.app().places().shop.round_robin.found.clone().unwrap();
    let off: Vec<&str> = found
        .benches
        .iter()
        .filter(|one| one.agrees() == Some(false))
        .map(|one| one.station.as_str())
        .collect();
    assert!(off.contains(&"Bench 8"), "{off:?}");
    everything_fits(&bench, USUAL, "a round robin");
    // Arrows walk the benches; Enter looks the session over, in the shop it lies in.
    let at = found.benches.iter().position(|one| one.station == "Bench 8").unwrap();
    for _ in 0..at {
        bench.key(Key::ArrowDown);
    }
    bench.key(Key::Enter);
    assert_eq!(bench.app().place(), Place::Review);
    let open = bench.app().places().review.open.as_ref().unwrap().path.clone();
    assert!(open.starts_with(second(&bench)), "{}", open.display());
}

/// A shop of one session.
#[test]
fn without_several_benches_it_says_how_to_get_there() {
    let home = tempfile::tempdir().unwrap();
    let shop = home.path().join("one");
    let name = "2026-06-15 0330.samepoint";
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data/second-shop/sessions");
    std::fs::create_dir_all(shop.join("sessions")).unwrap();
    std::fs::copy(demo.join(name), shop.join("sessions").join(name)).unwrap();
    let mut bench = Bench::open_sized(home.path(), Some(shop), USUAL, 1.0);
    bench.keys(Modifiers::ALT, Key::H);
    wait_for_sessions(&mut bench);
    bench.press("Round robin");
    assert_eq!(bench.app().places().shop.round_robin.units, [""; 0]);
    assert!(bench.says("No unit was on several benches yet."));
    everything_fits(&bench, USUAL, "no round robin");
}

#[test]
fn a_worker_that_dies_is_told_of_and_tried_again() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = both(home.path(), USUAL);
    bench.threads.only_kill(&[Work::RoundRobin]);
    bench.press("Unit 0330");
    assert!(bench.says(Work::RoundRobin.name()) && bench.says(Work::RoundRobin.again()));
    bench.threads.only_kill(&[]);
    bench.key(Key::Backspace);
    bench.press("Unit 0330");
    wait(&mut bench);
    assert!(bench.says("consensus of all") && !bench.says(Work::RoundRobin.again()));
}

#[test]
fn a_round_robin_fits_at_every_size() {
    for size in [vec2(1920.0, 1080.0), vec2(640.0, 480.0)] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = both(home.path(), size);
        everything_fits(&bench, size, "units that were on several benches");
        bench.press("Unit 0330");
        wait(&mut bench);
        for what in ["Divergence", "Dipvergence", "Middle of both crosshairs, x"] {
            bench.press_anywhere(what);
            everything_fits(&bench, size, what);
        }
        assert!(bench.window.query_by_label_contains("bench by bench").is_some());
    }
}
