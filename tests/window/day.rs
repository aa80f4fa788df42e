//! The working day: who is at the bench, handovers, and work that rested; by keyboard.

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::fact::{Body, DayKind, DayNote};
use record::{RoundReason, Shop};
use samepoint::testing::{Sheet, Tone};

use crate::bench::Bench;
use crate::layout::everything_fits;
use crate::upkeep::shop;

const WIDE: egui::Vec2 = vec2(1280.0, 800.0);
const SMALL: egui::Vec2 = vec2(640.0, 480.0);

fn asking(home: &std::path::Path, size: egui::Vec2) -> Bench {
    let folder = home.join("shop");
    let folder = if folder.is_dir() { folder } else { shop(home, &[("Bench A", "2027-03-01")]) };
    Bench::open_asking(home, Some(folder), size)
}

/// A session of a unit begun by KT, who is at the bench.
fn begun(home: &std::path::Path, size: egui::Vec2) -> Bench {
    let mut bench = asking(home, size);
    bench.type_text("0171");
    bench.key(Key::Tab);
    bench.enter("KT");
    assert!(bench.app().session().is_some(), "initials on the sheet answer as well");
    bench.key(Key::Escape);
    bench
}

fn last_hand(bench: &Bench) -> String {
    bench.app().session().unwrap().file().facts().last().unwrap().hand.clone()
}

fn readings(bench: &Bench) -> usize {
    bench.app().session().unwrap().state().readings_in_use()
}

const ASKED: &str = "Who are you?";

/// Asked at the start, with what was given last on offer and nothing covered; Enter says that it is so. Until
/// then nothing is added, and what is typed stays.
#[test]
fn it_is_asked_at_the_start() {
    for size in [WIDE, SMALL] {
        let home = tempfile::tempdir().unwrap();
        let path = {
            let mut bench = begun(home.path(), size);
            assert!(!bench.says(ASKED), "answered on the sheet");
            bench.wait_saved().unwrap();
            bench.app().session().unwrap().file().path().to_owned()
        };
        let mut bench = Bench::open_asking(home.path(), Some(path.clone()), size);
        assert!(bench.says(ASKED) && bench.app().who().has_keyboard);
        everything_fits(&bench, size, "the working day");
        assert_eq!(bench.app().who().typed, "KT", "on offer");
        assert!(bench.says("0171"), "what is on the bench is in sight");
        // Esc goes to the log; what is typed there stays, and waits for the answer.
        bench.key(Key::Escape);
        assert!(!bench.app().who().has_keyboard && bench.says(ASKED));
        bench.enter("12");
        bench.enter("3.5");
        assert_eq!(readings(&bench), 0);
        assert!(bench.says("Say first who you are"));
        assert_eq!((bench.app().entry().x.as_str(), bench.app().entry().y.as_str()), ("12", "3.5"));
        assert!(bench.app().who().has_keyboard);
        bench.enter("MB");
        assert!(!bench.says(ASKED));
        bench.key(Key::Enter);
        if readings(&bench) == 0 {
            bench.key(Key::Enter);
        }
        assert_eq!((readings(&bench), last_hand(&bench).as_str()), (1, "MB"));
        drop(bench);
        // One key where it is the same hand.
        let mut bench = Bench::open_asking(home.path(), Some(path), size);
        bench.key(Key::Enter);
        assert!(!bench.says(ASKED));
        assert_eq!(bench.app().preferences().hand, "MB");
    }
}

/// After a pause it is asked again. What is typed before it is answered goes where it was typed for; its
/// key goes to it from there, Esc back.
#[test]
fn it_is_asked_after_a_pause() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = begun(home.path(), WIDE);
    bench.clock.pass_minutes(14);
    bench.type_text("1");
    assert!(!bench.says(ASKED), "a short while is no pause");
    bench.clock.pass_minutes(16);
    bench.type_text("2.5");
    assert!(bench.says(ASKED));
    assert_eq!(bench.app().entry().x, "12.5", "what was typed is where it was typed for");
    bench.keys(Modifiers::ALT, Key::I);
    assert!(bench.app().who().has_keyboard);
    bench.type_text("SH");
    bench.key(Key::Escape);
    bench.type_text("1");
    assert!(bench.app().entry().x.contains('1') && bench.says(ASKED));
    bench.keys(Modifiers::ALT, Key::I);
    bench.enter("SH");
    assert!(!bench.says(ASKED));
    assert_eq!(bench.app().preferences().hand, "SH");
    assert!(bench.says("hand SH"), "in the top bar");
    // Initials that a sheet offered are taken out of it, and come back with the answer.
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0172");
    bench.clock.pass_minutes(20);
    bench.key(Key::Tab);
    let hand = |bench: &Bench| match bench.app().front() {
        Sheet::SetUp(sheet) => (sheet.unit.clone(), sheet.hand.clone()),
        other => panic!("{other:?}"),
    };
    assert_eq!(hand(&bench), ("0172".to_owned(), String::new()));
    bench.keys(Modifiers::ALT, Key::I);
    bench.enter("KT");
    assert_eq!(hand(&bench), ("0172".to_owned(), "KT".to_owned()));
}

/// A shop that lists hands offers those in force; initials that only look like one of them are refused, and
/// others are told that they have no authority.
#[test]
fn the_hands_in_force_are_offered() {
    let home = tempfile::tempdir().unwrap();
    let folder = shop(home.path(), &[("Bench A", "2027-03-01")]);
    let list = |initials: &str, until: &str| {
        let text = format!(
            "(format: 1, hand: (initials: \"{initials}\", roles: [technician], from: \"2025-01-01\"{until}))"
        );
        std::fs::write(folder.join("hands").join(format!("{initials}.ron")), text).unwrap();
    };
    list("KT", "");
    list("RV", ", until: \"2026-01-01\"");
    assert_eq!(Shop::load(&folder).unwrap().hands.known.len(), 2);
    let mut bench = begun(home.path(), WIDE);
    bench.keys(Modifiers::ALT, Key::I);
    assert!(bench.window.query_by_label("KT").is_some());
    assert!(bench.window.query_by_label("RV").is_none(), "no longer in force");
    bench.enter("kt");
    assert!(bench.says("looks like KT") && bench.says(ASKED));
    bench.enter("  ");
    assert!(bench.says("Give your initials"));
    bench.enter("RV");
    assert!(bench.says("not among the hands in force") && !bench.says(ASKED));
    bench.keys(Modifiers::ALT, Key::I);
    bench.press("KT");
    assert_eq!(bench.app().preferences().hand, "KT");
}

/// A hand leaves what was done and what is next; the next one sees it first and says that it was read.
#[test]
fn a_handover_is_left_and_read() {
    for size in [WIDE, SMALL] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = begun(home.path(), size);
        bench.keys(Modifiers::ALT, Key::O);
        bench.key(Key::Enter);
        assert!(bench.says("Say what was done or what is next."));
        bench.type_text("left ring logged");
        bench.key(Key::Tab);
        everything_fits(&bench, size, "the working day");
        bench.enter("log the right one");
        assert!(matches!(bench.app().front(), Sheet::Clear));
        bench.wait_saved().unwrap();
        let path = bench.app().session().unwrap().file().path().to_owned();
        drop(bench);
        let mut bench = Bench::open_asking(home.path(), Some(path.clone()), size);
        let told = "done: left ring logged · next: log the right one";
        assert!(bench.says("Handover by KT") && bench.says(told), "first thing on opening");
        bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::O);
        assert!(bench.says(told), "nobody said who read it");
        bench.enter("MB");
        bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::O);
        assert!(!bench.says("Handover by KT"));
        let session = bench.app().session().unwrap();
        let handovers = session.state().handovers();
        assert_eq!(handovers[0].read[0].0, "MB");
        // Taken back it is unread again.
        bench.keys(Modifiers::COMMAND, Key::Z);
        assert!(bench.says("Handover by KT"));
        bench.wait_saved().unwrap();
        let lines = record::timeline(bench.app().session().unwrap().file().facts());
        assert!(lines.iter().any(|line| line.kind == "handover" && line.words == told));
    }
}

fn read_two(bench: &mut Bench) {
    for (x, y) in [("12", "3.5"), ("11", "4")] {
        bench.enter(x);
        bench.enter(y);
    }
    assert_eq!(readings(bench), 2);
}

/// A round does not go on over a night unless a hand says that nothing was touched; what is typed stays.
#[test]
fn a_round_that_rested_is_asked_about() {
    for size in [WIDE, SMALL] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = begun(home.path(), size);
        read_two(&mut bench);
        bench.clock.pass_minutes(14 * 60 + 20);
        bench.type_text("9");
        assert!(bench.says("Who are you?") && !bench.says("taken 14 h 20 min ago"), "one by one");
        bench.keys(Modifiers::ALT, Key::I);
        bench.enter("MB");
        assert!(bench.says("taken 14 h 20 min ago") && bench.says("by KT, at Bench A"));
        everything_fits(&bench, size, "the working day");
        bench.key(Key::Enter);
        bench.enter("1");
        assert_eq!(readings(&bench), 2, "not before it is said");
        assert!(bench.says("Say first whether anything but a ring was touched"));
        assert!(!bench.app().entry().x.is_empty() && bench.app().entry().y == "1");
        bench.keys(Modifiers::ALT, Key::J);
        assert!(!bench.says("taken 14 h 20 min ago"));
        let session = bench.app().session().unwrap();
        let said: Vec<_> = session.state().day_notes(DayKind::Untouched).collect();
        assert_eq!((said.len(), said[0].hand.as_str()), (1, "MB"));
        assert_eq!(session.state().rounds.len(), 1);
        bench.key(Key::Enter);
        assert_eq!((readings(&bench), last_hand(&bench).as_str()), (3, "MB"));

        // The next night something was. What stands in sight stays there when a hand comes.
        bench.clock.pass_minutes(15 * 60);
        bench.rest();
        assert!(bench.says("taken 15 h 0 min ago") && !bench.says("Who are you?"));
        bench.type_text("9");
        assert!(bench.says("taken 15 h 0 min ago") && bench.says("Who are you?"));
        bench.keys(Modifiers::ALT, Key::I);
        bench.key(Key::Enter);
        bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::J);
        let round = bench.app().session().unwrap().state().round().unwrap().clone();
        assert_eq!((round.number, round.why), (2, RoundReason::Reseated));
        assert_eq!(round.note, "touched while work rested for 15 h 0 min");
        assert!(!bench.says("ago, on"), "the new round has no readings yet");
    }
}

/// While the question about a round that rested waits, nothing of it is green: neither the setting nor bench mode
/// nor what was confirmed; answered, all of it is as before.
#[test]
fn nothing_is_green_before_it_is_said_whether_anything_was_touched() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = crate::session::start(home.path());
    crate::session::log_eight(&mut bench);
    let verdict = |bench: &Bench| bench.app().session().unwrap().picture().verdict.clone();
    let green = |bench: &Bench| {
        let is_good = |(tone, _): &(Tone, String)| *tone == Tone::Good;
        bench.app().glance().state.iter().any(is_good)
    };
    let before = verdict(&bench);
    assert_eq!(before.tone, Tone::Good);
    assert!(bench.app().session().unwrap().picture().telling.contains(&before.text));
    bench.clock.pass_minutes(14 * 60);
    bench.rest();
    let waiting = verdict(&bench);
    assert_eq!(waiting.tone, Tone::Look, "{}", waiting.text);
    assert!(waiting.text.starts_with(&before.text) && waiting.text.contains("say first"));
    assert!(bench.says("say first whether anything was touched"));
    assert!(bench.app().session().unwrap().picture().telling.contains("say first"));
    bench.key(Key::Insert);
    assert!(!green(&bench) && bench.app().glance().next.contains("Alt+J"));
    bench.key(Key::Insert);
    // Something withdrawn meanwhile answers nothing.
    bench.key(Key::F8);
    bench.enter("misread");
    assert_ne!(verdict(&bench).tone, Tone::Good);
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(verdict(&bench), waiting);
    bench.keys(Modifiers::ALT, Key::J);
    bench.rest();
    assert_eq!(verdict(&bench), before);
    bench.key(Key::Insert);
    assert!(green(&bench));
    bench.key(Key::Insert);

    bench.keys(Modifiers::COMMAND, Key::Num6);
    crate::confirm::confirm_all(&mut bench);
    let confirm = |bench: &Bench| bench.app().session().unwrap().confirm().clone();
    let passed = confirm(&bench);
    assert_eq!((passed.verdict, passed.tone), ("pass", Tone::Good));
    bench.clock.pass_minutes(14 * 60);
    bench.rest();
    let waiting = confirm(&bench);
    assert_eq!((waiting.verdict, waiting.tone), ("pass", Tone::Look));
    assert!(waiting.marks[0].contains("say first") && bench.says(&waiting.marks[0]));
    assert!(!waiting.chart.unwrap().answered && !green(&bench));
    bench.keys(Modifiers::ALT, Key::J);
    bench.rest();
    assert_eq!(confirm(&bench), passed);
}

/// What is signed is not added to: neither a handover nor that one was read.
#[test]
fn what_is_signed_stays_as_it_is() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = crate::confirm::confirming(home.path());
    crate::confirm::confirm_all(&mut bench);
    bench.keys(Modifiers::ALT, Key::O);
    bench.enter("watch the left lock");
    bench.key(Key::F12);
    bench.key(Key::Enter);
    bench.key(Key::Escape);
    let facts = |bench: &Bench| bench.app().session().unwrap().file().facts().to_vec();
    let before = facts(&bench);
    assert!(before.iter().any(|fact| matches!(fact.body, Body::Signed(_))));
    bench.keys(Modifiers::ALT, Key::O);
    assert!(matches!(bench.app().front(), Sheet::Clear));
    bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::O);
    assert_eq!(facts(&bench), before);
    let notes = before.iter().filter_map(|fact| match &fact.body {
        Body::Note(note) => DayNote::of(note),
        _ => None,
    });
    assert_eq!(notes.count(), 1);
}

/// A unit is added with its day, begun from the list with what is known of it filled in, interrupted, made
/// ready and taken off; overdue is said first and in words, and every step is on disk.
#[test]
fn units_wait_in_a_list() {
    for size in [WIDE, SMALL] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = begun(home.path(), size);
        bench.keys(Modifiers::ALT, Key::Q);
        assert!(bench.says("No unit waits."));
        bench.key(Key::Enter);
        assert!(bench.says("Name the unit"));
        bench.type_text("0200");
        bench.key(Key::Tab);
        bench.enter("soon");
        assert!(bench.says("“soon” is no day"));
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.type_text("2026-11-28");
        bench.key(Key::Tab);
        bench.type_text("Harbour, J-12");
        bench.key(Key::Tab);
        bench.enter("scratched");
        assert!(bench.says("0200: due in 3 days, 2026-11-28 · waiting · here since 2026-11-25"));
        bench.type_text("0201");
        bench.key(Key::Tab);
        bench.enter("2026-11-22");
        assert!(bench.says("0201: overdue by 3 days, 2026-11-22"));
        assert!(bench.says("2 units wait: 1 overdue."));
        everything_fits(&bench, size, "the list of units");
        let first = bench.app().offers().waiting.on_list("2026-11-25".parse().unwrap());
        assert_eq!(first[0].unit.unit, "0201", "the most urgent first");

        bench.press_anywhere("Begin 0200");
        let Sheet::SetUp(sheet) = bench.app().front() else { panic!("{:?}", bench.app().front()) };
        assert_eq!((sheet.unit.as_str(), sheet.customer.as_str()), ("0200", "Harbour, J-12"));
        bench.key(Key::Enter);
        let session = bench.app().session().unwrap();
        assert_eq!(session.title(), "0200");
        assert_eq!(session.state().received().condition.unwrap().body, "scratched");
        bench.keys(Modifiers::ALT, Key::Q);
        assert!(bench.says("begun by KT on 2026-11-25"));
        bench.press_anywhere("Interrupted 0200…");
        bench.key(Key::Enter);
        assert!(bench.says("Say why."));
        bench.enter("a tube is ordered");
        assert!(bench.says("interrupted by KT on 2026-11-25: a tube is ordered"));
        bench.press_anywhere("Ready 0200");
        assert!(bench.says("ready since 2026-11-25"));
        bench.press_anywhere("Take off 0200…");
        // Esc puts the question away, not the sheet.
        bench.key(Key::Escape);
        assert!(bench.says("1 overdue, 1 ready"));
        bench.press_anywhere("Take off 0200…");
        bench.enter("fetched");
        assert!(
            bench.says("1 unit waits: 1 overdue.") && bench.says("0200: taken off by KT: fetched")
        );
        bench.press_anywhere("Put back 0200");
        assert!(bench.says("2 units wait: 1 overdue."));
        let shop = Shop::load(&home.path().join("shop")).unwrap();
        let (units, unread) = shop.units_waiting(&record::RealDisk);
        assert_eq!((units.units.len(), units.journal.ignored.len(), unread), (2, 0, None));
    }
}

/// A list whose end is missing is shown as far as it can be read, said to be cut, and not written to.
#[test]
fn a_list_that_is_cut_is_said_to_be() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = begun(home.path(), WIDE);
    bench.keys(Modifiers::ALT, Key::Q);
    bench.enter("0200");
    bench.enter("0201");
    let path = Shop::load(&home.path().join("shop")).unwrap().waiting_path();
    let bytes = std::fs::read(&path).unwrap();
    std::fs::write(&path, &bytes[..bytes.len() - 20]).unwrap();
    bench.key(Key::Escape);
    bench.keys(Modifiers::ALT, Key::Q);
    assert!(bench.says("not all of it can be read") && bench.says("0200: no day set"));
    bench.enter("0202");
    assert!(bench.says("Nothing can be added to the list of units waiting"));
    let Sheet::Units(sheet) = bench.app().front() else { panic!() };
    assert_eq!(sheet.unit, "0202", "what was typed stays");
    assert_eq!(std::fs::read(&path).unwrap().len(), bytes.len() - 20);
}

/// Condition, accessories and pictures by file: each picture is kept once by its SHA-256, and what is no
/// picture is refused.
#[test]
fn a_unit_is_received() {
    for size in [WIDE, SMALL] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = begun(home.path(), size);
        let png = home.path().join("front.png");
        std::fs::write(&png, b"\x89PNG\r\n\x1a\nnot much of one").unwrap();
        let text = home.path().join("text.png");
        std::fs::write(&text, "no picture").unwrap();
        bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::G);
        everything_fits(&bench, size, "receiving");
        bench.focus("Picture file");
        bench.enter(&text.display().to_string());
        assert!(bench.says("it is neither PNG nor JPEG"));
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.enter("/dev/zero");
        assert!(bench.says("this is a device"));
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.type_text(&png.display().to_string());
        bench.key(Key::Tab);
        bench.enter("left objective");

        let kept: Vec<_> = std::fs::read_dir(home.path().join("shop/pictures")).unwrap().collect();
        assert_eq!(kept.len(), 1);
        let said = bench.app().session().unwrap().state().pictures[0].body.clone();
        let copy = home.path().join(format!("shop/pictures/{}.png", said.hash));
        assert_eq!(std::fs::read(copy).unwrap(), std::fs::read(&png).unwrap());
        assert!(said.caption.starts_with("received: left objective (from "), "{}", said.caption);
        assert!(said.caption.contains("front.png"));
        bench.enter(&png.display().to_string());
        assert!(bench.says("This picture is there already."));
        bench.focus("Condition");
        bench.type_text("scratched");
        bench.key(Key::Tab);
        bench.enter("case, strap");
        assert!(matches!(bench.app().front(), Sheet::Clear));
        let session = bench.app().session().unwrap();
        let received = session.state().received();
        assert_eq!(received.condition.unwrap().body, "scratched");
        assert_eq!(received.accessories.unwrap().body, "case, strap");
        assert_eq!(received.pictures.len(), 1);
        // Said anew, what was said stands on offer.
        bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::G);
        let Sheet::Receiving(sheet) = bench.app().front() else { panic!() };
        assert_eq!(
            (sheet.condition.as_str(), sheet.accessories.as_str()),
            ("scratched", "case, strap")
        );
    }
}

/// Nor is a round that rested called good in a window that may only look on and is asked nothing.
#[test]
fn nothing_is_good_for_those_who_only_look_on_either() {
    let home = tempfile::tempdir().unwrap();
    let holds = Bench::open(home.path(), None);
    let looks_on = Bench::open(home.path(), None);
    assert!(holds.app().session().unwrap().is_writable());
    assert!(!looks_on.app().session().unwrap().is_writable());
    for bench in [&holds, &looks_on] {
        assert!(bench.says("Inside if set here. So it was when the round was last read"));
    }
}
