//! One unit on several benches, on screen: the demo shop's 0330 alone and with the second shop beside it
//! (demo-data/README.md: Bench 4 wanders, Bench 8's right graticule was knocked by 0′, 1.6′).

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::shop::survey::round_robin::RoundRobin;
use samepoint::testing::Place;

use crate::bench::Bench;
use crate::layout::everything_fits;

fn second_shop() -> PathBuf {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data/second-shop");
    folder.canonicalize().unwrap()
}

fn wait_compared(bench: &mut Bench) {
    let begun = Instant::now();
    while bench.app().places().shop.robin.reading.is_going_on() {
        assert!(begun.elapsed() < Duration::from_secs(30), "the unit’s sessions are never read");
        std::thread::sleep(Duration::from_millis(2));
        bench.rest();
    }
}

fn shop(home: &Path, size: egui::Vec2) -> Bench {
    let mut bench = Bench::open_sized(home, None, size, 1.0);
    bench.keys(Modifiers::ALT, Key::H);
    bench.wait_read();
    bench
}

fn with_second(bench: &mut Bench) {
    bench.press("Other shops");
    bench.focus("Folder of another shop");
    bench.enter(&second_shop().display().to_string());
    bench.wait_read();
}

fn at_unit(bench: &mut Bench) {
    bench.press("Round robin");
    wait_compared(bench);
    bench.press_anywhere("0330");
    wait_compared(bench);
}

fn found(bench: &Bench) -> RoundRobin {
    bench.app().places().shop.robin.known.found.clone().unwrap()
}

/// One bench that counts is no consensus, and green stands nowhere.
#[test]
fn one_bench_that_counts_is_no_consensus() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), vec2(1280.0, 800.0));
    at_unit(&mut bench);
    assert!(bench.says("Unit 0330"));
    assert!(bench.says("Bench 4 is shown beside the consensus and not counted"));
    assert!(bench.says("Bench 5: E_n is not known"));
    assert!(bench.says("Fewer than two benches are known well enough to be compared."));
    assert!(bench.says("not known"));
    assert!(!bench.says("satisfactory"));
    assert!(bench.says("No consensus: fewer than two benches are known well enough."));
}

/// With the second shop's benches the knocked one is told, in the table, in words and in the chart.
#[test]
fn the_knocked_bench_is_told_among_those_of_two_shops() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), vec2(1280.0, 800.0));
    with_second(&mut bench);
    at_unit(&mut bench);
    let all = found(&bench);
    let stations: Vec<&str> = all.benches.iter().map(|one| one.station.as_str()).collect();
    assert_eq!(stations, ["Bench 5", "Bench 7", "Bench 8", "Bench 4"]);
    // The copy that came along does not count twice.
    assert!(all.left_out.iter().any(|why| why.contains("another file counts in its stead")));
    assert_eq!(all.benches[2].agrees(), Some(false));
    assert_eq!(all.benches[2].worst_en().unwrap().0, "dipvergence");
    assert!(
        bench.says(
            "Bench 8 lies farther from the others than the uncertainties explain: dipvergence"
        )
    );
    assert!(bench.says("unsatisfactory") && bench.says("|E_n| ≤ 1"));
    // A chart a quantity; each bench, and beside it the others; both lead to the session.
    let charts = bench.app().places().shop.answer.charts.clone();
    assert_eq!(charts.len(), 4);
    assert_eq!(charts[1].title, "Dipvergence");
    assert_eq!(charts[1].points.len(), 8);
    let own = &charts[1].points[4];
    assert!(own.words.starts_with("Bench 8 read") && own.words.ends_with("unsatisfactory"));
    assert!(charts[1].points[5].words.starts_with("all but Bench 8"));
    assert!(charts[1].told.iter().any(|said| said == "Of demo-shop and second-shop together."));
    bench.window.get_by_label_contains("Dipvergence. ").focus();
    bench.rest();
    for _ in 0..5 {
        bench.key(Key::ArrowRight);
    }
    bench.key(Key::Enter);
    assert_eq!(bench.app().place(), Place::Review);
    let open = bench.app().places().review.open.as_ref().unwrap();
    assert_eq!(open.path, second_shop().join("sessions/2026-06-16 0330.samepoint"));
}

#[test]
fn a_unit_is_found_by_typing_and_a_worker_that_dies_is_told_of() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), vec2(1280.0, 800.0));
    bench.press("Round robin");
    wait_compared(&mut bench);
    bench.focus("Unit");
    bench.type_text("no such");
    assert!(bench.says("No unit of that name was measured on two stations."));
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text("033");
    assert!(bench.window.query_by_label("0330").is_some());
    bench.threads.only_kill(&[samepoint::testing::Work::RoundRobin]);
    bench.press_anywhere("0330");
    bench.wait_for("Reading the unit’s sessions stopped unexpectedly. Choose the unit again.");
    bench.threads.only_kill(&[]);
    bench.press_anywhere("0330");
    wait_compared(&mut bench);
    assert!(!bench.says("stopped unexpectedly"));
}

/// Where no unit was on two stations that is said, and what to do.
#[test]
fn a_shop_without_such_a_unit_says_what_to_do() {
    let home = tempfile::tempdir().unwrap();
    let folder = home.path().join("one");
    std::fs::create_dir_all(folder.join("sessions")).unwrap();
    let job =
        Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/format1/whole-job.samepoint");
    std::fs::copy(job, folder.join("sessions/job.samepoint")).unwrap();
    let mut bench = Bench::open(home.path(), Some(folder));
    bench.keys(Modifiers::ALT, Key::H);
    bench.wait_read();
    bench.press("Round robin");
    wait_compared(&mut bench);
    assert!(bench.says("No unit was measured on two stations yet"));
}

#[test]
fn it_fits_every_size() {
    for size in [vec2(1280.0, 800.0), vec2(960.0, 600.0), vec2(640.0, 400.0)] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = shop(home.path(), size);
        with_second(&mut bench);
        at_unit(&mut bench);
        everything_fits(&bench, size, "Round robin");
    }
}
