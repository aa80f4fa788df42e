//! Set up: what a session begins with, and saying it anew.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use record::fact::{PreconditionItem, RoundReason};
use record::{Rule, Shop};
use samepoint::testing::{CheckSaid, Choice, SetUpSheet, Sheet};

use crate::bench::Bench;
use crate::session::{log_eight, start};

fn sheet(bench: &Bench) -> SetUpSheet {
    match bench.app().front() {
        Sheet::SetUp(sheet) => (**sheet).clone(),
        other => panic!("{other:?}"),
    }
}

/// Types into a field of the sheet, found by its name.
fn fill(bench: &mut Bench, name: &str, text: &str) {
    let fields: Vec<_> = bench.window.query_all_by_label(name).collect();
    fields.last().unwrap_or_else(|| panic!("no field {name}")).focus();
    drop(fields);
    bench.rest();
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.key(Key::Backspace);
    bench.type_text(text);
}

/// Everything that can be said is said once, by keyboard, and stands in the session.
#[test]
fn the_whole_set_up_becomes_facts() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0152");
    bench.key(Key::Tab);
    bench.type_text("KT");
    // The shop knows that unit: its parts come with it.
    assert_eq!(sheet(&bench).eyepieces.left, "E-0152L");
    assert!(bench.says("calibrated to 2027-03-04"));
    assert!(bench.says("Standard uncertainty: 0.2′ a reading"));
    for (name, text) in [
        ("Interpupillary distance set, mm", "64,5"),
        ("left dioptre at", "0"),
        ("Job", "W-118"),
        ("Customer", "the flying club"),
        ("Complaint", "seen double after a knock"),
    ] {
        fill(&mut bench, name, text);
    }
    bench.press_anywhere("lamp low");
    bench.press_anywhere("Start");
    let session = bench.app().session().unwrap();
    let state = session.state();
    assert_eq!(state.unit().unwrap().tubes.right.serial, "T-0152R");
    let setup = &state.setup.as_ref().unwrap().body;
    assert_eq!(setup.ipd_mm.as_ref().unwrap().text(), "64,5");
    assert_eq!(setup.dioptre.left.as_ref().unwrap().value(), 0.0);
    assert!(setup.dioptre.right.is_none());
    assert_eq!((setup.job.as_str(), setup.customer.as_str()), ("W-118", "the flying club"));
    let seen: Vec<_> = state.preconditions.iter().map(|seen| seen.item.clone()).collect();
    assert_eq!(seen, [PreconditionItem::LampLow]);
    assert!(state.remarks.is_empty(), "{:?}", state.remarks);
}

/// Only hand and unit are asked for, and what is no number is refused where nothing is lost, and the button stays under
/// the hand.
#[test]
fn only_hand_and_unit_are_needed() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.keys(Modifiers::COMMAND, Key::N);
    let button = |bench: &Bench| bench.window.get_by_label("Start").rect();
    let first = button(&bench);
    bench.press_anywhere("Start");
    assert!(bench.says("Name the unit"));
    assert_eq!(button(&bench), first);
    bench.type_text("0171");
    bench.press_anywhere("Start");
    assert!(bench.says("Give your initials"));
    assert_eq!(button(&bench), first);
    fill(&mut bench, "Hand", "KT");
    fill(&mut bench, "Interpupillary distance set, mm", "wide");
    bench.press_anywhere("Start");
    assert!(bench.says("Interpupillary distance: "));
    assert_eq!(sheet(&bench).unit, "0171");
    fill(&mut bench, "Interpupillary distance set, mm", "");
    bench.press_anywhere("Start");
    assert_eq!(bench.app().session().unwrap().title(), "0171");
}

/// Enter that is refused leaves the keyboard in the field: what is typed next is not lost.
#[test]
fn a_refused_enter_leaves_the_keyboard_in_its_field() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.key(Key::Enter);
    assert!(bench.says("Name the unit"));
    bench.enter("0171");
    assert!(bench.says("Give your initials"));
    bench.type_text("9");
    assert!(sheet(&bench).unit.contains('9'));
    bench.key(Key::Tab);
    bench.enter("KT");
    assert!(bench.app().session().unwrap().title().starts_with("0171"));
    // With the sheet its line is gone: the entry row has the keyboard.
    bench.enter("1,0");
    assert_eq!(bench.app().entry().x, "1,0");
}

/// Said anew, only what is different is added; readings stay together where nothing was touched.
#[test]
fn said_anew_only_what_is_different_is_added() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    let facts = bench.app().session().unwrap().file().facts().len();
    bench.keys(Modifiers::COMMAND, Key::Num1);
    bench.press_anywhere("Change");
    assert_eq!(bench.app().session().unwrap().file().facts().len(), facts, "nothing new");
    bench.keys(Modifiers::COMMAND, Key::Num1);
    fill(&mut bench, "Job", "W-118");
    fill(&mut bench, "left eyepiece", "E-9");
    bench.press_anywhere("Change");
    let state = bench.app().session().unwrap().state();
    assert_eq!(bench.app().session().unwrap().file().facts().len(), facts + 2);
    assert_eq!(state.rounds.len(), 1, "to name a part touches nothing");
    assert!(state.remarks.is_empty(), "{:?}", state.remarks);

    // Another eyepiece is another matter: the sheet says so before, and the next round opens.
    bench.keys(Modifiers::COMMAND, Key::Num1);
    fill(&mut bench, "left eyepiece", "E-10");
    assert!(bench.says("This opens the next round (eyepiece taken out)"));
    bench.press_anywhere("Change");
    let state = bench.app().session().unwrap().state();
    assert_eq!(state.round().unwrap().why, RoundReason::EyepieceOut);
    assert!(state.remarks.is_empty(), "{:?}", state.remarks);
    assert!(bench.app().session().unwrap().rows().left.is_empty());
}

/// A failed check keeps nobody from logging; it is said until it is resolved.
#[test]
fn a_failed_check_is_said_and_forbids_nothing() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    assert!(!bench.says("Every verdict will say so"));
    bench.keys(Modifiers::COMMAND, Key::Num1);
    bench.press_anywhere("read wrong just now");
    assert_eq!(sheet(&bench).check, CheckSaid::Wrong);
    bench.press_anywhere("Change");
    assert!(bench.says("Bench 2 read its check standard wrong today. Every verdict will say so"));
    log_eight(&mut bench);
    assert!(bench.app().session().unwrap().picture().setting.is_some());
    bench.keys(Modifiers::COMMAND, Key::Num1);
    bench.press_anywhere("read right just now");
    bench.press_anywhere("Change");
    assert!(!bench.says("Every verdict will say so"));
    let state = bench.app().session().unwrap().state();
    assert_eq!(state.rounds.len(), 1);
    assert!(state.remarks.is_empty(), "{:?}", state.remarks);
}

/// The shop adds a window of its own: it names its source, or it is refused.
#[test]
fn a_shop_adds_its_own_window() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.keys(Modifiers::COMMAND, Key::N);
    assert!(bench.says("Source: "), "the chosen window names its source");
    bench.press_anywhere("Add a window to the shop…");
    for (name, text) in [
        ("Name of the window", "Night work"),
        ("Convergence ′", "30"),
        ("Divergence ′", "10"),
        ("Dipvergence ′", "10"),
    ] {
        fill(&mut bench, name, text);
    }
    bench.press_anywhere("Keep");
    assert!(bench.says("Source is empty; fill it in"));
    fill(&mut bench, "Source", "Shop rule 7");
    fill(&mut bench, "Divergence ′", "-10");
    bench.press_anywhere("Keep");
    assert!(bench.says("divergence"), "a limit is more than 0");
    fill(&mut bench, "Divergence ′", "10");
    bench.press_anywhere("Keep");
    let sheet = sheet(&bench);
    assert!(matches!(sheet.window, Choice::OfShop(_)));
    assert!(bench.says("Source: Shop rule 7"));
    let kept = Shop::load(&home.path().join("data/demo-shop")).unwrap();
    let window = kept.windows.iter().find(|kept| kept.value.name == "Night work").unwrap();
    assert_eq!(window.value.rule, Rule::Guarded);
    assert_eq!(window.value.limits.boresight_arcmin(), None);
}

/// An empty shop says what to do, and a session can be begun all the same.
#[test]
fn an_empty_shop_says_what_to_do() {
    let home = tempfile::tempdir().unwrap();
    let shop = home.path().join("new-shop");
    Shop::lay_out(&shop).unwrap();
    let mut bench = Bench::open(home.path(), Some(shop));
    for words in ["keeps no units yet", "keeps no station", "keeps no window yet: add one"] {
        assert!(bench.says(words), "{words}");
    }
    bench.type_text("0171");
    bench.key(Key::Tab);
    bench.enter("KT");
    assert!(bench.app().session().unwrap().is_writable());
}

/// What is typed waits while the cautions are read.
#[test]
fn the_sheet_waits_behind_the_cautions() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0171");
    bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::F1);
    assert!(bench.says("Bright light damages a powered tube"));
    bench.key(Key::Escape);
    assert_eq!(sheet(&bench).unit, "0171");
    bench.key(Key::Escape);
    assert_eq!(*bench.app().front(), Sheet::Clear);
}
