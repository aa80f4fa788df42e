//! The shelf on screen: the demo shop's parts (demo-data/README.md) matched, a match begun as a session with
//! its turns and its prediction on record, and what stands there where nothing can be matched.

use std::path::Path;
use std::time::{Duration, Instant};

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::Unit;
use record::fact::Body;
use samepoint::testing::{Place, Sheet, Work};
use solver::Channel;
use solver::monte_carlo::Source;

use crate::bench::Bench;
use crate::layout::everything_fits;

const USUAL: egui::Vec2 = vec2(1280.0, 800.0);

fn wait(bench: &mut Bench) {
    wait_while(bench, "Matching the shelf…");
    wait_while(bench, "Matching the shelf anew");
}

fn wait_while(bench: &mut Bench, said: &str) {
    let begun = Instant::now();
    while bench.says(said) {
        assert!(begun.elapsed() < Duration::from_secs(60), "{said} for ever");
        std::thread::sleep(Duration::from_millis(5));
        bench.rest();
    }
}

/// The demo shop's shelf, matched.
fn shelf(home: &Path, size: egui::Vec2) -> Bench {
    let mut bench = Bench::open_sized(home, None, size, 1.0);
    bench.keys(Modifiers::ALT, Key::L);
    assert_eq!(bench.app().place(), Place::Shelf);
    wait(&mut bench);
    bench
}

/// The unit that the open session's latest fact about it says, and its notes.
fn on_record(bench: &Bench) -> (Unit, Vec<String>) {
    let facts = bench.app().session().unwrap().file().facts();
    let unit = facts.iter().rev().find_map(|fact| match &fact.body {
        Body::Unit(unit) => Some(unit.clone()),
        _ => None,
    });
    let notes = facts.iter().filter_map(|fact| match &fact.body {
        Body::Note(note) => Some(note.text.clone()),
        _ => None,
    });
    (unit.unwrap(), notes.collect())
}

/// A page longer than the window is turned by page keys, and follows the keyboard to what it comes to.
#[test]
fn a_long_page_is_turned_by_keys() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shelf(home.path(), vec2(700.0, 480.0));
    let top = |bench: &Bench| bench.window.get_by_label("The best single unit now").rect().top();
    let before = top(&bench);
    assert!(before > 480.0, "it lies below the window: {before}");
    bench.key(Key::PageDown);
    bench.rest();
    assert!(top(&bench) < before - 100.0, "{} {before}", top(&bench));
    bench.key(Key::PageUp);
    bench.rest();
    assert!((top(&bench) - before).abs() < 1.0);
}

/// The same answer as the command line's (tests/program/snapshots; tests/shelf proves it against every plan).
#[test]
fn what_goes_together_is_shown_with_its_proof() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shelf(home.path(), USUAL);
    assert!(bench.says("3 units inside, 3 without a shim, 0 leaves of shims"));
    assert!(bench.says("Proved: no other choice of these parts does better."));
    assert!(bench.says("Predicted, not measured"));
    assert!(bench.says("0155 · Heron B") && bench.says("tube T-2301 turned 180°, eyepiece E-3301"));
    assert!(bench.says("the eyes must diverge 0.1′, right image low 0.1′ · window use 1 %"));
    assert!(bench.says("The best single unit now"));
    bench.press("Not known (7)");
    assert!(bench.says("Eyepiece E-3307: nothing tells the radius of its circle."));
    bench.press("Parts (23)");
    assert!(bench.says("T-0155L · Heron B · on the shelf"));
    assert!(bench.says("T-2307 · Heron B · on the shelf"));
    assert!(bench.says("By itself, unturned: nothing was read or stated."));
    assert!(bench.says("Stated by: certificate T-2301, invented"));
    bench.press("Built since (1)");
    assert!(bench.says("as predicted, within the uncertainties"));
    assert!(
        bench.says("crossing: predicted x 7.4′, y 24.0′, window use 89 %; read x 8.0′, y 23.9′")
    );
    bench.press("Look over 2026-11-23 0152.samepoint");
    assert_eq!(bench.app().place(), Place::Review);
}

/// Turns go on record: a tube that is turned and said not to be would put its offset on the wrong side.
#[test]
fn a_match_is_begun_with_its_parts_turns_and_prediction() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shelf(home.path(), USUAL);
    bench.press_anywhere_first("Begin 0155…");
    let Sheet::SetUp(sheet) = bench.app().front() else { panic!("no new session") };
    assert_eq!((&*sheet.unit, &*sheet.housing, &*sheet.ipd_mm), ("0155", "Heron B", "64"));
    assert_eq!((&*sheet.tubes.left, &*sheet.tubes.right), ("T-2302", "T-2301"));
    assert_eq!((&*sheet.eyepieces.left, &*sheet.eyepieces.right), ("E-3303", "E-3301"));
    assert!(
        bench.says("From the shelf: left tube as usual, no shim; right tube turned 180°, no shim.")
    );
    bench.focus("Hand");
    bench.enter("KT");
    bench.wait_saved().unwrap();
    assert_eq!((bench.app().place(), bench.app().front()), (Place::Bench, &Sheet::Cautions));
    let (unit, notes) = on_record(&bench);
    assert_eq!((unit.tubes.left.turned_deg, unit.tubes.right.turned_deg), (0.0, 180.0));
    assert_eq!(unit.tubes[Channel::Right].serial, "T-2301");
    let [note] = &notes[..] else { panic!("{notes:?}") };
    assert!(
        note.starts_with("Parts chosen from the shelf. Predicted from 44 sessions, not measured")
    );
    // Each figure names its axis, here and on screen.
    for said in [
        "crossing x 0.1′, y 0.1′; the eyes must diverge 0.1′, right image low 0.1′; window use 1 %",
        "inside over 99.9 %",
    ] {
        assert!(note.contains(said), "{note}");
    }
}

/// Another tube than the one that was chosen: nothing of the match is true of it.
#[test]
fn another_part_than_was_chosen_takes_neither_turn_nor_prediction() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shelf(home.path(), USUAL);
    bench.press_anywhere_first("Begin 0155…");
    bench.fill("right tube", "T-2304");
    assert!(bench.says("These are no longer the parts that were chosen from the shelf"));
    bench.focus("Hand");
    bench.enter("KT");
    bench.wait_saved().unwrap();
    let (unit, notes) = on_record(&bench);
    assert_eq!((&*unit.tubes.right.serial, unit.tubes.right.turned_deg), ("T-2304", 0.0));
    assert!(notes.is_empty(), "{notes:?}");
}

/// A sheet that is half filled in is not written over.
#[test]
fn a_half_filled_sheet_is_kept() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shelf(home.path(), USUAL);
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0999");
    bench.keys(Modifiers::ALT, Key::H);
    bench.keys(Modifiers::ALT, Key::L);
    wait(&mut bench);
    bench.press_anywhere_first("Begin 0155…");
    assert!(bench.says("A new session is half filled in already"));
    bench.keys(Modifiers::COMMAND, Key::N);
    let Sheet::SetUp(sheet) = bench.app().front() else { panic!("no sheet") };
    assert_eq!((&*sheet.unit, &sheet.from_shelf), ("0999", &None));
}

/// Thirty housings, sixty tubes and sixty eyepieces that go anywhere, all of them stated: a search of seconds.
fn a_large_list() -> String {
    let mut source = Source::seeded(24);
    let mut at = || {
        let [x, y] = [(); 2].map(|()| source.rectangular(-0.1, 0.1));
        format!("({x:.3}, {y:.3})")
    };
    let stated = |what: String| {
        format!("(housing: \"Heron B\", u_mm: 0.003, source: \"invented\", {what}),")
    };
    let housings: String = (0..30)
        .map(|n| stated(format!("unit: \"9{n:03}\", offset_mm: (left: {}, right: {})", at(), at())))
        .collect();
    let tubes: String = (0..60)
        .map(|n| stated(format!("serial: \"T-9{n:03}\", may_turn: true, offset_mm: {}", at())))
        .collect();
    let eyepieces: String = (0..60)
        .map(|n| {
            stated(format!(
                "serial: \"E-9{n:03}\", decentre_mm: {:.3}",
                0.1 + 0.0017 * f64::from(n)
            ))
        })
        .collect();
    format!(
        "(format: 1, shelf: (window: \"Shop window\", housings: [{housings}], tubes: [{tubes}], \
         eyepieces: [{eyepieces}]))"
    )
}

/// What was found until *Stop* stands there with what is not proved of it, and matching can be asked for again.
#[test]
fn a_search_that_is_stopped_shows_what_it_found() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open_sized(home.path(), None, USUAL, 1.0);
    let shop = home.path().join("data/demo-shop");
    std::fs::write(shop.join("shelf.ron"), a_large_list()).unwrap();
    for session in std::fs::read_dir(shop.join("sessions")).unwrap() {
        std::fs::remove_file(session.unwrap().path()).unwrap();
    }
    bench.keys(Modifiers::ALT, Key::L);
    // A busy machine may not have begun to search yet: then it says so, and is given longer.
    for waited_ms in [150, 300, 600, 1_200, 2_400] {
        std::thread::sleep(Duration::from_millis(waited_ms));
        assert!(bench.says("Matching the shelf…"), "it was over after {waited_ms} ms");
        bench.press("Stop");
        wait_while(&mut bench, "Stopping…");
        if !bench.says("Stopped before there was anything to choose from.") {
            break;
        }
        bench.press("Match the shelf again");
    }
    assert!(bench.says("units inside, ") && bench.says("Not proved of "));
    assert!(bench.says("another choice could ") && !bench.says("no other choice of these parts"));
    everything_fits(&bench, USUAL, "stopped");
    bench.press("Match the shelf again");
    assert!(bench.says("Matching the shelf anew; what stands below was matched before."));
    bench.press("Stop");
    wait_while(&mut bench, "Stopping…");
    assert!(bench.says("units inside, "), "what was matched before is gone");
}

#[test]
fn a_worker_that_dies_is_told_of_and_tried_again() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.threads.only_kill(&[Work::Shelf]);
    bench.keys(Modifiers::ALT, Key::L);
    bench.rest();
    assert!(bench.says("Matching the shelf stopped unexpectedly"));
    bench.threads.only_kill(&[]);
    bench.press("Match the shelf again");
    wait(&mut bench);
    assert!(bench.says("3 units inside") && !bench.says("stopped unexpectedly"));
    assert_eq!(bench.threads.times_begun(Work::Shelf), 2);
}

/// No list: what would stand there, and a list to begin with, in which nothing is on the shelf that nobody put
/// there. A list that cannot be read: where, and no plan of before stays.
#[test]
fn where_there_is_no_list_one_is_begun() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shelf(home.path(), USUAL);
    let list = home.path().join("data/demo-shop/shelf.ron");
    std::fs::remove_file(&list).unwrap();
    bench.press("Match the shelf again");
    wait(&mut bench);
    assert!(bench.says("This shop has no list of its shelf yet.") && !bench.says("3 units inside"));
    bench.press("Begin the list");
    wait(&mut bench);
    let stock = record::Shop::load(list.parent().unwrap()).unwrap().stock().unwrap().unwrap();
    assert!(stock.tubes.len() >= 8 && stock.tubes.iter().all(|one| one.in_use));
    assert!(stock.housings.iter().all(|one| one.in_use) && !stock.eyepieces.is_empty());
    assert!(bench.says("0 units come inside"));
    std::fs::write(&list, "(format: 1, shelf: (window: 7))").unwrap();
    bench.press("Match the shelf again");
    wait(&mut bench);
    assert!(bench.says("shelf.ron, line 1") && !bench.says("0 units come inside"));
}

#[test]
fn the_shelf_fits_every_size() {
    for size in [USUAL, vec2(960.0, 600.0), vec2(640.0, 480.0)] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = shelf(home.path(), size);
        for part in ["Matches (3)", "Not known (7)", "Parts (23)", "Built since (1)"] {
            bench.press(part);
            everything_fits(&bench, size, part);
        }
    }
}

/// The row that the keyboard is at is what Alt+V, Ctrl+P and Ctrl+E mean, as in the shop's table; a unit to be built
/// names no session, and that is said.
#[test]
fn the_row_at_hand_is_meant() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shelf(home.path(), USUAL);
    let own = bench.app().session().unwrap().file().path().to_owned();
    let begin = bench.window.get_all_by_label("Begin 0155…").next().unwrap();
    begin.focus();
    bench.rest();
    for (modifiers, key) in
        [(Modifiers::ALT, Key::V), (Modifiers::COMMAND, Key::P), (Modifiers::COMMAND, Key::E)]
    {
        bench.keys(modifiers, key);
        assert_eq!((bench.app().place(), bench.app().front()), (Place::Shelf, &Sheet::Clear));
        assert!(bench.says("no session is begun with it yet"), "{key:?}");
    }
    bench.press("Built since (1)");
    let label = "2026-11-23 0152.samepoint";
    bench.window.get_by_label(&format!("Look over {label}")).focus();
    bench.rest();
    bench.keys(Modifiers::COMMAND, Key::P);
    let Sheet::Report(sheet) = bench.app().front() else { panic!("no report") };
    let of = sheet.path.of.clone().unwrap();
    assert!(of.ends_with(label) && of != own, "{}", of.display());
    bench.key(Key::Escape);
    bench.keys(Modifiers::COMMAND, Key::E);
    let Sheet::SavePicture(sheet) = bench.app().front() else { panic!("no picture") };
    assert!(sheet.of.as_ref().unwrap().ends_with(label));
    bench.key(Key::Escape);
    bench.keys(Modifiers::ALT, Key::V);
    assert_eq!(bench.app().place(), Place::Review);
    assert!(bench.app().places().review.open.as_ref().unwrap().path.ends_with(label));
    // Another part has no row until the keyboard comes to one: then the bench's own session is meant.
    bench.keys(Modifiers::ALT, Key::L);
    wait(&mut bench);
    bench.press("Not known (7)");
    bench.keys(Modifiers::COMMAND, Key::P);
    let Sheet::Report(sheet) = bench.app().front() else { panic!("no report") };
    assert!(sheet.path.of.is_none() || sheet.path.of == Some(own));
}
