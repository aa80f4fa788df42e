//! The supervisor's day: what is looked at, what is countersigned together, and which session is meant.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::fact::{Body, Note, SessionKind};
use record::practice::Grade;
use record::{AnswerKind, RealDisk, SessionFile, SignatureState, Stamp, review};
use samepoint::testing::{Place, Sheet};

use crate::bench::Bench;
use crate::layout::everything_fits;
use crate::review::open;

const WIDE: egui::Vec2 = vec2(1280.0, 800.0);

pub(crate) fn shop(home: &Path, size: egui::Vec2) -> Bench {
    let mut bench = Bench::open_sized(home, None, size, 1.0);
    bench.keys(Modifiers::ALT, Key::H);
    wait_for_sessions(&mut bench);
    bench
}

pub(crate) fn wait_for_sessions(bench: &mut Bench) {
    let begun = Instant::now();
    while bench.app().places().shop.reading.is_going_on() {
        assert!(begun.elapsed() < Duration::from_secs(60), "the sessions are never read");
        std::thread::sleep(Duration::from_millis(5));
        bench.rest();
    }
    bench.rest();
}

/// Chooses the only row that the words find.
pub(crate) fn choose(bench: &mut Bench, words: &str) -> PathBuf {
    bench.fill("Search", words);
    let shop = &bench.app().places().shop;
    assert_eq!(shop.rows.len(), 1, "{words}");
    let file = shop.session(shop.rows[0]).unwrap().file.clone();
    bench.app().offers().folder.join("sessions").join(file)
}

/// A forged session stands in the list by what was signed and by what follows, in both filters, and its
/// countersignature as one that no longer fits (demo-data/README.md, 0431).
#[test]
fn what_was_signed_stands_beside_what_follows() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), WIDE);
    choose(&mut bench, "0431");
    assert!(bench.says("signed pass, readings give fail, does not follow"));
    assert!(bench.says("countersigned by SH, no longer fits on 2026-06-14"));
    let wanted = |bench: &Bench, verdict| {
        let shop = &bench.app().places().shop;
        let filter = record::shop::survey::seek::Filter {
            verdict: Some(verdict),
            words: "0431".to_owned(),
            ..Default::default()
        };
        shop.survey.as_ref().unwrap().seek(&filter, Default::default(), false).len()
    };
    assert_eq!(wanted(&bench, record::Verdict::Pass), 1);
    assert_eq!(wanted(&bench, record::Verdict::Fail), 1);
    assert_eq!(wanted(&bench, record::Verdict::Undecided), 0);
    bench.press("To look at");
    assert!(bench.says("“pass” was signed, “fail” follows from the readings; review it."));
    assert!(bench.says("The countersignature by SH of 2026-06-14 no longer fits"));
}

/// “Practice too” brings what lies in practice into the table, each file to be looked over; without it none.
#[test]
fn practice_too_shows_practice() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), WIDE);
    let before = bench.app().places().shop.rows.len();
    crate::practice::begin(&mut bench, Grade::ALL[0], 1);
    bench.wait_saved().unwrap();
    let kind = bench.app().session().unwrap().state().header.as_ref().unwrap().kind.clone();
    assert!(matches!(kind, SessionKind::Practice(_)));
    let path = bench.app().session().unwrap().file().path().to_owned();
    bench.keys(Modifiers::ALT, Key::H);
    wait_for_sessions(&mut bench);
    assert_eq!(bench.app().places().shop.rows.len(), before);
    assert!(bench.says("1 of practice left out"));
    bench.press("Practice too");
    assert_eq!(bench.app().places().shop.rows.len(), before + 1);
    assert!(bench.says("practice too"));
    let name = path.file_stem().unwrap().to_string_lossy().into_owned();
    bench.focus("Search");
    bench.type_text(&name[11..]);
    assert_eq!(bench.app().places().shop.rows.len(), 1);
    assert!(bench.says("practice, "));
    bench.key(Key::Enter);
    assert_eq!(open(&bench).path, path);
    bench.keys(Modifiers::ALT, Key::H);
    bench.press("Practice too");
    assert_eq!(bench.app().places().shop.rows.len(), 0);
}

/// Every fact in review is told with its day; arrows step both ways, whatever has the keyboard.
#[test]
fn facts_carry_their_day_and_arrows_step_both_ways() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), WIDE);
    choose(&mut bench, "0431");
    bench.key(Key::Enter);
    assert!(bench.says("40 · 2026-06-12 09:44:18 JO"));
    assert!(bench.says("41 · 2026-06-14 09:01:00 SH"));
    let at = |bench: &Bench| open(bench).at();
    bench.key(Key::Home);
    for (key, now) in [
        (Key::ArrowRight, 2),
        (Key::ArrowDown, 3),
        (Key::ArrowLeft, 2),
        (Key::ArrowUp, 1),
        (Key::ArrowUp, 1),
        (Key::ArrowRight, 2),
    ] {
        bench.key(key);
        assert_eq!(at(&bench), now, "{key:?}");
    }
    // A button that has the keyboard does not take the arrows.
    bench.focus("One fact back");
    for (key, now) in [(Key::ArrowDown, 3), (Key::ArrowUp, 2), (Key::ArrowLeft, 1)] {
        bench.key(key);
        assert_eq!(at(&bench), now, "{key:?}");
    }
}

/// Esc takes away only what is in front: a field's keyboard, then a sheet, then the session looked over, then the
/// shop.
#[test]
fn esc_closes_only_what_is_in_front() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), WIDE);
    choose(&mut bench, "0431");
    bench.key(Key::Enter);
    bench.press("Answer");
    bench.focus("Comment");
    bench.type_text("look at the signs");
    let place = |bench: &Bench| bench.app().place();
    bench.key(Key::Escape);
    assert_eq!(place(&bench), Place::Review);
    assert_eq!(bench.app().places().review.comment, "look at the signs");
    bench.keys(Modifiers::ALT, Key::Q);
    assert!(matches!(bench.app().front(), Sheet::Units(_)));
    bench.key(Key::Escape);
    assert!(matches!(bench.app().front(), Sheet::Clear) && place(&bench) == Place::Review);
    bench.key(Key::Escape);
    assert_eq!(place(&bench), Place::Shop, "from where it was looked over");
    assert_eq!(bench.app().places().shop.filter.words, "0431");
    bench.focus("Search");
    bench.key(Key::Escape);
    assert_eq!(place(&bench), Place::Shop);
    bench.key(Key::Escape);
    assert_eq!(place(&bench), Place::Bench);
}

fn answered(path: &Path) -> Option<(String, AnswerKind)> {
    let account = review(path, &RealDisk).unwrap();
    let SignatureState::Signed(signature) = account.session.signature() else { panic!() };
    signature.answer.clone().map(|answer| (answer.hand, answer.kind))
}

fn facts(path: &Path) -> usize {
    review(path, &RealDisk).unwrap().facts
}

/// Several sessions are countersigned together, each looked at and marked before: each gets a fact of its own; one
/// that was written to since gets none and says so, and one that the hand signed itself neither.
#[test]
fn several_are_countersigned_after_looking_at_each() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), WIDE);
    bench.press("To look at");
    bench.press("Look at what waits, one after the other");
    bench.press("Answer");
    let mut marked: Vec<PathBuf> = Vec::new();
    for _ in 0..3 {
        if !marked.is_empty() {
            bench.press_anywhere("Next that waits");
            bench.press("Answer");
        }
        let path = open(&bench).path.clone();
        assert!(!marked.contains(&path));
        assert_eq!(answered(&path), None);
        bench.press_anywhere("Mark it to be countersigned");
        marked.push(path);
    }
    assert_eq!(bench.app().places().review.marked.len(), 3);
    everything_fits(&bench, WIDE, "several marked");
    let all = "Countersign the 3 marked";
    bench.press_anywhere(all);
    assert!(bench.says("Type the initials of whoever answers, under Supervisor."));
    // One is written to in between.
    let changed = marked[1].clone();
    let options = record::FileOptions::real(record::Opener::here("test"));
    let mut file = SessionFile::open(&changed, options).unwrap();
    let note = Note { text: "seen again".to_owned(), about: None };
    let now: Stamp = "2026-11-25T08:00:00Z".parse().unwrap();
    file.append(Body::Note(note), now, "KT").unwrap();
    file.finish().unwrap();
    drop(file);
    let before = marked.iter().map(|path| facts(path)).collect::<Vec<_>>();
    bench.focus("Supervisor");
    bench.type_text("SH");
    bench.focus("Comment");
    bench.type_text("looked at one by one");
    bench.press_anywhere(all);
    let signed_by = |path: &Path| {
        let account = review(path, &RealDisk).unwrap();
        account.signature().unwrap().hand.clone()
    };
    let mut done = 0;
    for (path, before) in marked.iter().zip(before) {
        if *path == changed || signed_by(path) == "SH" {
            assert_eq!((facts(path), answered(path)), (before, None));
            continue;
        }
        done += 1;
        assert_eq!(facts(path), before + 1, "one fact each");
        let (hand, kind) = answered(path).unwrap();
        assert_eq!(hand, "SH");
        assert!(
            matches!(kind, AnswerKind::Countersigned(it) if it.comment == "looked at one by one")
        );
    }
    assert!(done >= 1, "at least one of the demo shop’s is another hand’s");
    let left = &bench.app().places().review.marked;
    assert_eq!(left.len(), 3 - done);
    assert!(left.iter().all(|one| one.refused.is_some()));
    assert!(bench.says("It was written to since you looked at it: look at it again."));
    assert!(bench.says(&format!("{done} countersigned: ")) && bench.says("not; each says why."));
    assert!(!bench.says("All 3 countersigned"));
    // Taken away it is not asked for again.
    let name = left[0].name();
    bench.press_anywhere(&format!("Take the mark of {name} away"));
    assert_eq!(bench.app().places().review.marked.len(), 2 - done);
}

/// What was signed by the hand that answers, or does not follow, is not countersigned among several either.
#[test]
fn what_one_alone_is_refused_several_are_refused() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), WIDE);
    choose(&mut bench, "0431");
    bench.key(Key::Enter);
    bench.press("Answer");
    bench.press_anywhere("Mark it to be countersigned");
    assert!(bench.app().places().review.marked.is_empty(), "what does not follow is not marked");
    bench.key(Key::Escape);
    bench.press("To look at");
    bench.press("Look at what waits, one after the other");
    bench.press("Answer");
    let path = open(&bench).path.clone();
    bench.press_anywhere("Mark it to be countersigned");
    let signer = open(&bench).account.signature().unwrap().hand.clone();
    bench.focus("Supervisor");
    bench.type_text(&signer);
    bench.press_anywhere("Countersign the 1 marked");
    assert_eq!(answered(&path), None);
    assert!(bench.says("None was countersigned."));
    assert!(bench.app().places().review.marked[0].refused.is_some());
}

/// Alt+V, Ctrl+P and Ctrl+E act on the row at hand and not on the bench's session, and say which it is.
#[test]
fn the_row_at_hand_is_meant() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), WIDE);
    let at_bench = bench.app().session().unwrap().file().path().to_owned();
    let path = choose(&mut bench, "0431");
    assert_ne!(path, at_bench);
    bench.press("Session");
    assert!(bench.window.query_by_label_contains("Report… · 2026-06-12 0431").is_some());
    bench.key(Key::Escape);
    bench.keys(Modifiers::COMMAND, Key::P);
    assert_eq!(bench.app().place(), Place::Shop);
    let Sheet::Report(sheet) = bench.app().front() else { panic!("{:?}", bench.app().front()) };
    assert_eq!(sheet.path.of.as_ref(), Some(&path));
    assert!(bench.says("Of session 2026-06-12 0431"));
    let to = home.path().join("forged.pdf");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&to.display().to_string());
    bench.wait_written();
    assert!(to.is_file());
    assert!(matches!(bench.app().front(), Sheet::Clear));
    bench.keys(Modifiers::COMMAND, Key::E);
    let Sheet::SavePicture(sheet) = bench.app().front() else { panic!() };
    assert_eq!(sheet.of.as_ref(), Some(&path));
    let to = home.path().join("forged.svg");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&to.display().to_string());
    let drawn = std::fs::read_to_string(&to).unwrap();
    assert!(drawn.contains("<svg"));
    bench.keys(Modifiers::ALT, Key::V);
    assert_eq!((bench.app().place(), open(&bench).path.clone()), (Place::Review, path.clone()));
    // There it is the one looked over.
    bench.keys(Modifiers::COMMAND, Key::P);
    let Sheet::Report(sheet) = bench.app().front() else { panic!() };
    assert_eq!(sheet.path.of.as_ref(), Some(&path));
    bench.key(Key::Escape);
    bench.key(Key::Escape);
    // Among what is to be looked at it is the one marked, which arrows move.
    bench.press("To look at");
    let (first, file) = {
        let shop = &bench.app().places().shop;
        let second = shop.session(shop.troubled[1]).unwrap();
        (shop.troubled_at, second.file.clone())
    };
    assert_eq!(first, 0);
    bench.key(Key::ArrowDown);
    bench.keys(Modifiers::COMMAND, Key::P);
    let Sheet::Report(sheet) = bench.app().front() else { panic!() };
    assert!(sheet.path.of.as_ref().unwrap().ends_with(&file));
    bench.key(Key::Escape);
    bench.press("Sessions");
    // Another row, another session.
    let other = choose(&mut bench, "0440");
    bench.keys(Modifiers::ALT, Key::V);
    assert_eq!(open(&bench).path, other);
    // At the bench it is the bench’s own.
    bench.keys(Modifiers::ALT, Key::B);
    bench.keys(Modifiers::COMMAND, Key::P);
    let Sheet::Report(sheet) = bench.app().front() else { panic!() };
    assert_eq!(sheet.path.of.as_ref(), Some(&at_bench));
}

/// Columns and filters that a hand chose are found again at the next start.
#[test]
fn columns_and_filters_are_remembered() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), WIDE);
    assert!(bench.window.query_by_label("Sort by customer").is_none());
    bench.press("Columns ▾");
    for column in ["Job", "Customer", "Signer", "Countersigner"] {
        bench.press(column);
    }
    bench.key(Key::Escape);
    assert_eq!(bench.app().place(), Place::Shop);
    assert!(bench.window.query_by_label("Sort by customer").is_some());
    assert!(bench.window.query_by_label("Sort by countersigner").is_none());
    bench.press("Sort by signer");
    everything_fits(&bench, WIDE, "the shop with other columns");
    bench.focus("Search");
    bench.type_text("sandpiper rb");
    let found = bench.app().places().shop.rows.len();
    bench.press("Filters ▾");
    assert!(bench.says("No filter is kept yet."));
    bench.press("Keep this filter");
    assert!(bench.says("Name the filter before it is kept."));
    bench.focus("Name of the filter");
    bench.type_text("what RB does");
    bench.press("Keep this filter");
    assert_eq!(bench.app().preferences().shop_filters.len(), 1);
    drop(bench);
    let mut bench = shop(home.path(), WIDE);
    assert!(bench.window.query_by_label("Sort by customer").is_some());
    assert_ne!(bench.app().places().shop.rows.len(), found);
    bench.press("Filters ▾");
    bench.press("what RB does");
    assert_eq!(bench.app().places().shop.rows.len(), found);
    assert_eq!(bench.app().places().shop.filter.words, "sandpiper rb");
    bench.press("Remove the filter what RB does");
    assert!(bench.app().preferences().shop_filters.is_empty());
}

/// A unit's page: from its row by Shift+Enter, with every visit, what moved in between and who had its parts; Enter
/// looks a visit over, Backspace lists all units by when they came last.
#[test]
fn a_unit_has_a_page() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), WIDE);
    bench.focus("Search");
    bench.type_text("0409");
    assert_eq!(bench.app().places().shop.rows.len(), 2);
    bench.keys(Modifiers::SHIFT, Key::Enter);
    until(&mut bench, |bench| bench.app().places().shop.unit.history.is_some());
    assert!(bench.says("0409: 2 visits, last on 2026-11-10, 15 days ago."));
    assert!(bench.says("288 days after the visit before"));
    assert!(bench.says("The misalignment, as found less as left before, differs by"));
    assert!(bench.says("It moved between the visits by more than"));
    assert!(bench.says("As found ") && bench.says("As left "));
    assert!(bench.says("Setting chosen left ") || bench.says("Rings last read at "));
    everything_fits(&bench, WIDE, "a unit’s page");
    // The newest visit stands first.
    bench.key(Key::ArrowDown);
    bench.key(Key::Enter);
    assert!(open(&bench).path.ends_with("2026-01-26 0409.samepoint"));
    bench.key(Key::Escape);
    assert_eq!(bench.app().place(), Place::Shop);
    wait_for_sessions(&mut bench);
    until(&mut bench, |bench| bench.app().places().shop.unit.history.is_some());
    // The row at hand is meant here, too.
    bench.keys(Modifiers::COMMAND, Key::P);
    let Sheet::Report(sheet) = bench.app().front() else { panic!() };
    assert!(sheet.path.of.as_ref().unwrap().ends_with("2026-01-26 0409.samepoint"));
    bench.key(Key::Escape);
    bench.key(Key::Backspace);
    assert!(bench.says("came back at least once") && bench.says("days at the median"));
    assert!(bench.says("0147 · "));
    everything_fits(&bench, WIDE, "all units");
    bench.key(Key::ArrowDown);
    let at = bench.app().places().shop.unit.at;
    let unit = bench.app().places().shop.unit.returning.units[at].unit.clone();
    bench.key(Key::Enter);
    assert_eq!(bench.app().places().shop.unit.unit, unit);
}

fn until(bench: &mut Bench, done: impl Fn(&Bench) -> bool) {
    let begun = Instant::now();
    while !done(bench) {
        assert!(begun.elapsed() < Duration::from_secs(60), "it never came");
        std::thread::sleep(Duration::from_millis(5));
        bench.rest();
    }
}

/// Why units fail, what waits and what is used up stand under “Work”; the trend is named with its test, and the limit
/// is drawn with its name.
#[test]
fn work_and_trends_are_told() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = shop(home.path(), WIDE);
    bench.press("Work");
    assert!(bench.says("sessions wait, the one that waits longest first."));
    assert!(bench.says("waits to be countersigned for ") && bench.says("waits to be signed for "));
    assert!(bench.says("Shim leaves used, by thickness"));
    assert!(bench.says("that came to a verdict failed"), "the chart tells it");
    everything_fits(&bench, WIDE, "work");
    bench.press("Boresight");
    assert!(bench.says("(Mann–Kendall, τ "));
    let chart = bench.app().places().shop.answer.charts[0].clone();
    assert!(
        !chart.limits.is_empty() && chart.limits.iter().all(|limit| limit.1.starts_with("limit "))
    );
    let [low, high] = chart.extent[1];
    assert!(chart.limits.iter().all(|limit| low < limit.0 && limit.0 < high), "in sight");
    bench.press("First pass");
    assert!(bench.says("(Cochran–Armitage z ") && bench.says("Dashed: all months together"));
    everything_fits(&bench, WIDE, "first pass");
}
