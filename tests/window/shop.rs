//! The shop on screen: what is planted in the demo shop (demo-data/README.md) is found by what its
//! screens say, every point leads to its session, and ten thousand rows cost what a screenful does.

use std::path::Path;
use std::time::{Duration, Instant};

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::SessionSummary;
use samepoint::testing::{Leads, Place, Sheet};

use crate::bench::Bench;
use crate::layout::everything_fits;

/// The demo shop's sessions, read.
fn shop(home: &Path, size: egui::Vec2) -> Bench {
    let mut bench = Bench::open_sized(home, None, size, 1.0);
    bench.keys(Modifiers::ALT, Key::H);
    assert_eq!(bench.app().place(), Place::Shop);
    wait_for_sessions(&mut bench);
    bench
}

fn wait_for_sessions(bench: &mut Bench) {
    let begun = Instant::now();
    while bench.app().places().shop.reading.is_going_on() {
        assert!(begun.elapsed() < Duration::from_secs(60), "the sessions are never read");
        std::thread::sleep(Duration::from_millis(5));
        bench.rest();
    }
}

fn reviewed(bench: &Bench) -> String {
    let open = bench.app().places().review.open.as_ref().expect("a session is looked over");
    open.path.file_name().unwrap().to_string_lossy().into_owned()
}

/// A shop that was read before is read from what was kept of it in the user's cache folder, and says so; on
/// the hand's word every file is read whole. Without the cache nothing is missing.
#[test]
fn a_shop_opened_again_says_what_it_read() {
    const KEPT: &str = "look as they did when they";
    let home = tempfile::tempdir().unwrap();
    let first = shop(home.path(), vec2(1280.0, 800.0));
    assert!(!first.says(KEPT));
    let sessions =
        |bench: &Bench| bench.app().places().shop.survey.as_ref().unwrap().sessions.len();
    let all = sessions(&first);
    drop(first);
    let mut again = shop(home.path(), vec2(1280.0, 800.0));
    assert!(again.says(KEPT));
    assert_eq!(sessions(&again), all);
    again.press("Read the sessions again");
    wait_for_sessions(&mut again);
    assert!(!again.says(KEPT));
    assert_eq!(sessions(&again), all);
    drop(again);
    assert!(shop(home.path(), vec2(1280.0, 800.0)).says(KEPT));
    std::fs::remove_dir_all(home.path().join("cache")).unwrap();
    let deleted = shop(home.path(), vec2(1280.0, 800.0));
    assert!(!deleted.says(KEPT));
    assert_eq!(sessions(&deleted), all);
}

/// The recall list goes on paper by a key from anywhere, or from the stations' place; what is no recall list
/// stays, and before the sessions are read it is said that they are not.
#[test]
fn the_recall_list_is_written_by_a_key() {
    let home = tempfile::tempdir().unwrap();
    let mut early = Bench::open_sized(home.path(), None, vec2(1280.0, 800.0), 1.0);
    early.keys(Modifiers::ALT.plus(Modifiers::SHIFT), Key::H);
    assert!(early.says("sessions are being read; ask for it again"));
    drop(early);
    let mut bench = shop(home.path(), vec2(1280.0, 800.0));
    bench.press("Stations");
    assert!(bench.says("Recall list…"));
    bench.keys(Modifiers::ALT.plus(Modifiers::SHIFT), Key::H);
    let thesis = home.path().join("thesis.pdf");
    std::fs::write(&thesis, "%PDF-1.4 thesis").unwrap();
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&thesis.display().to_string());
    let Sheet::RecallList(sheet) = bench.app().front() else { panic!("the sheet is gone") };
    assert!(sheet.refused.as_ref().unwrap().contains("no recall list"), "{:?}", sheet.refused);
    let list = home.path().join("list.pdf");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&list.display().to_string());
    assert!(std::fs::read(&list).unwrap().starts_with(b"%PDF-"));
    assert_eq!(std::fs::read(&thesis).unwrap(), b"%PDF-1.4 thesis");
    assert_eq!(bench.app().front(), &Sheet::Clear);
    assert!(bench.app().notice().unwrap().contains("Recall list written to"));
}

#[test]
fn the_planted_answers_are_found_on_screen() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), vec2(1280.0, 800.0));
    assert!(bench.says("64 of 64 sessions"));
    // A systematic bore error: Sandpiper, left, and nothing else.
    bench.press("Circle centres");
    assert!(bench.says("Sandpiper, left: the housing is off by −"));
    for true_one in ["Sandpiper, right", "Redshank, left", "Redshank, right", "Turnstone, left"] {
        assert!(
            bench.says(&format!("{true_one}: the housing may well be at boresight")),
            "{true_one}"
        );
    }
    // A station that wanders to the right, and one that stands still.
    bench.press("Stations");
    assert!(bench.says("Bench 4, x: wanders by"));
    assert!(bench.says("Bench 4, y: cannot be shown to wander"));
    assert!(bench.says("Bench 5, x: cannot be shown to wander"));
    assert!(bench.says("Bench 4, check standard"), "its check chart stands beside");
    // Shims that do less than the model says.
    bench.press("Shims");
    assert!(bench.says("not as predicted (t-test of slope 1"));
    // A hand in a hurry.
    bench.press("Differences");
    bench.press("Hands");
    bench.press("scatter of readings about their circles");
    assert!(
        bench.says("hands differ in scatter of readings about their circles (Kruskal and Wallis")
    );
    for other in ["JO", "KT", "RB"] {
        let [first, second] = if other < "MS" { [other, "MS"] } else { ["MS", other] };
        let pair = format!("{first} and {second}: medians");
        assert!(bench.says(&pair), "{pair}");
    }
    assert!(!bench.says("JO and KT: medians"), "the others do not differ");
    // Locks that drag their rings.
    bench.press("Locks");
    assert!(bench.says("Turnstone, left: tightening turns the ring 4."));
    // A forged file, a damaged one, a ring numbered backwards, one sent back.
    bench.press("To look at");
    assert!(bench.says("“pass” was signed, “fail” follows from the readings; review it."));
    assert!(bench.says("runs against its ring: the ring is numbered backwards"));
    assert!(bench.says("Returned by"));
    bench.press_anywhere("Look over 2026-02-13 0412.samepoint");
    assert_eq!(bench.app().place(), Place::Review);
    assert!(bench.says("Damaged:"));
    bench.keys(Modifiers::ALT, Key::H);
    assert!(bench.says("What should a supervisor look at?"), "the shop is as it was left");
    bench.press("Boresight");
    assert!(bench.says("All: half of"));
    bench.press("First pass");
    assert!(bench.says("2025-12:"));
}

#[test]
fn the_table_is_searched_sorted_and_walked_by_keyboard() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), vec2(1280.0, 800.0));
    let rows = |bench: &Bench| bench.app().places().shop.rows.len();
    bench.focus("Search");
    bench.type_text("sandpiper rb");
    let found = rows(&bench);
    let all = &bench.app().places().shop.survey.as_ref().unwrap().sessions;
    let by_hand = |one: &SessionSummary| one.housing == "Sandpiper" && one.hand == "RB";
    assert_eq!(found, all.iter().filter(|one| by_hand(one)).count());
    assert!(found > 2, "{found}");
    // Down and Enter from the field that is typed into.
    bench.key(Key::ArrowDown);
    let index = bench.app().places().shop.rows[1];
    let file = bench.app().places().shop.session(index).unwrap().file.clone();
    bench.key(Key::Enter);
    assert_eq!(reviewed(&bench), file);
    bench.keys(Modifiers::ALT, Key::H);
    bench.focus("Search");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.key(Key::Backspace);
    // While the sessions are read again in the background, nothing moves.
    let stood = bench.window.get_by_label("Sort by unit").rect();
    wait_for_sessions(&mut bench);
    assert_eq!(bench.window.get_by_label("Sort by unit").rect(), stood);
    bench.press("Sort by unit");
    let first = bench.app().places().shop.rows[0];
    assert_eq!(bench.app().places().shop.session(first).unwrap().unit, "0147");
    bench.press("Sort by unit");
    let first = bench.app().places().shop.rows[0];
    assert_ne!(bench.app().places().shop.session(first).unwrap().unit, "0147");
    // A day that is none is said, and asks for nothing.
    bench.focus("From day");
    bench.type_text("2026-13-01");
    assert!(bench.says("is not a day like 2026-01-31"));
    assert_eq!(rows(&bench), 64);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text("2026-11-22");
    assert_eq!(rows(&bench), 5, "the teaching sessions are the last");
}

/// A point of a chart opens its session, by the keyboard too.
#[test]
fn every_point_leads_to_its_session() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), vec2(1280.0, 800.0));
    bench.press("Shims");
    let chart = bench.app().places().shop.chart(0).unwrap().clone();
    let session = |leads: Leads| match leads {
        Leads::Session(index) => index,
        Leads::Days(..) => panic!("a shim has one session"),
    };
    bench.window.get_by_label_contains("What shims did.").focus();
    bench.rest();
    bench.key(Key::ArrowRight);
    bench.key(Key::ArrowRight);
    let mut order: Vec<_> = chart.points.iter().collect();
    order.sort_by(|a, b| a.at[0].total_cmp(&b.at[0]));
    let wanted = session(order[2].leads);
    let file = bench.app().places().shop.session(wanted).unwrap().file.clone();
    bench.key(Key::Enter);
    assert_eq!(reviewed(&bench), file);
    // By a press: the point is where its chart says.
    bench.keys(Modifiers::ALT, Key::H);
    let canvas = bench.window.get_by_label_contains("What shims did.").rect();
    let [[x0, x1], [y0, y1]] = chart.extent;
    let point = order[0];
    let at = egui::pos2(
        canvas.left() + ((point.at[0] - x0) / (x1 - x0)) as f32 * canvas.width(),
        canvas.bottom() - ((point.at[1] - y0) / (y1 - y0)) as f32 * canvas.height(),
    );
    bench.window.hover_at(at);
    bench.rest();
    bench.window.drag_at(at);
    bench.window.drop_at(at);
    bench.rest();
    let pressed = reviewed(&bench);
    let near = chart.points.iter().filter(|other| {
        (other.at[0] - point.at[0]).abs() < 0.02 * (x1 - x0)
            && (other.at[1] - point.at[1]).abs() < 0.02 * (y1 - y0)
    });
    let near: Vec<String> = near
        .map(|one| bench.app().places().shop.session(session(one.leads)).unwrap().file.clone())
        .collect();
    assert!(near.contains(&pressed), "{pressed} is none of {near:?}");
    // A month leads to its sessions in the table.
    bench.keys(Modifiers::ALT, Key::H);
    bench.press("First pass");
    let chart = bench.app().places().shop.chart(0).unwrap().clone();
    assert!(chart.points[0].words.starts_with("2025-12: "), "{}", chart.points[0].words);
    bench.window.get_by_label_contains("Passed in the first round, by month.").focus();
    bench.rest();
    bench.key(Key::Enter);
    let shop = &bench.app().places().shop;
    let days = shop.rows.iter().map(|index| shop.session(*index).unwrap().day.unwrap());
    assert!(days.clone().all(|day| (day.year(), day.month()) == (2025, 12)));
    assert!(days.count() >= 4);
}

/// Ten thousand rows: a frame costs what a frame of sixty does, five times over at most (it is
/// nearly the same; five leaves room for a busy machine).
#[test]
fn ten_thousand_rows_cost_what_a_screenful_does() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), vec2(1280.0, 800.0));
    let frame = |bench: &mut Bench| {
        let mut best = Duration::MAX;
        for _ in 0..8 {
            let begun = Instant::now();
            bench.window.step();
            best = best.min(begun.elapsed());
        }
        best
    };
    let few = frame(&mut bench);
    let shop = bench.window.state_mut().places_mut();
    let mut survey = record::Survey::clone(shop.shop.survey.as_ref().unwrap());
    let sixty = survey.sessions.clone();
    while survey.sessions.len() < 10_000 {
        survey.sessions.extend(sixty.iter().cloned());
    }
    shop.shop.take_up(survey);
    shop.shop.refresh();
    bench.rest();
    assert!(bench.app().places().shop.rows.len() >= 10_000);
    let many = frame(&mut bench);
    assert!(many < 5 * few, "{many:?} beside {few:?}");
}

/// What is to be looked at is longer than a low window: page keys turn it, and the row that arrows come to is in sight.
#[test]
fn what_is_to_be_looked_at_is_turned_by_keys() {
    let home = tempfile::tempdir().unwrap();
    let size = vec2(1280.0, 620.0);
    let mut bench = shop(home.path(), size);
    bench.press("To look at");
    bench.rest();
    let ledger = bench.app().places().shop.survey.as_ref().unwrap().ledger.words();
    let top = |bench: &Bench| bench.window.get_by_label(&ledger).rect().top();
    let before = top(&bench);
    bench.key(Key::PageDown);
    bench.rest();
    assert!(top(&bench) < before - 100.0, "{} {before}", top(&bench));
    bench.key(Key::PageUp);
    bench.rest();
    assert!((top(&bench) - before).abs() < 1.0);
    let rows = bench.app().places().shop.troubled.len();
    for _ in 1..rows {
        bench.key(Key::ArrowDown);
    }
    bench.rest();
    assert!(top(&bench) < before - 100.0, "the last of {rows} rows is in sight");
}

#[test]
fn the_shop_fits_every_size() {
    for size in [vec2(1280.0, 800.0), vec2(960.0, 600.0), vec2(640.0, 480.0)] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = shop(home.path(), size);
        everything_fits(&bench, size, "as it opens");
        if size.y < 600.0 {
            bench.press("Search and pages ▴");
            bench.rest();
        }
        for part in [
            "Sessions",
            "Units",
            "To look at",
            "Circle centres",
            "Boresight",
            "First pass",
            "Work",
            "Shims",
            "Differences",
            "Locks",
            "Stations",
        ] {
            bench.press(part);
            everything_fits(&bench, size, part);
        }
    }
}
