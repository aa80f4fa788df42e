//! A new session by keyboard alone, at both ends of the sizes: what was used last stands at the head of
//! the sheet, the keyboard stays in it and in sight, and a list closes on Enter.

use egui::{Key, Modifiers, Popup, Response, Vec2, vec2};
use egui_kittest::kittest::Queryable as _;
use samepoint::testing::{Choice, SetUpSheet, Sheet, Tab};

use crate::bench::Bench;

/// The usual screen and the smallest.
const SIZES: [Vec2; 2] = [vec2(1280.0, 800.0), vec2(640.0, 480.0)];

fn sheet(bench: &Bench) -> &SetUpSheet {
    match bench.app().front() {
        Sheet::SetUp(sheet) => sheet,
        other => panic!("{other:?}"),
    }
}

/// What has the keyboard.
fn focused(bench: &Bench) -> Response {
    let id = bench.window.ctx.memory(egui::Memory::focused).expect("the keyboard is somewhere");
    bench.window.ctx.read_response(id).expect("it was drawn")
}

/// A new session's sheet with the keyboard on its list of windows.
fn at_the_windows(bench: &mut Bench) {
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0171");
    bench.key(Key::Tab);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text("KT");
    bench.key(Key::Tab);
}

fn listed(bench: &Bench) -> bool {
    Popup::is_any_open(&bench.window.ctx)
}

/// Enter opens the list, arrows walk through it, Enter takes one and closes it; Escape puts the list away
/// and not the sheet. The next session begins with what was chosen, also after the program was closed.
#[test]
fn what_was_used_last_is_where_the_next_begins() {
    for size in SIZES {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, 1.0);
        at_the_windows(&mut bench);
        assert_eq!(sheet(&bench).window, Choice::OfShop(0), "the shop's first, to begin with");
        bench.key(Key::Enter);
        assert!(listed(&bench), "Enter opens the list at {size}");
        bench.key(Key::Escape);
        assert!(!listed(&bench) && sheet(&bench).unit == "0171", "only the list went away");
        bench.key(Key::Enter);
        assert!(listed(&bench), "the keyboard was still on it");
        bench.key(Key::ArrowDown);
        bench.key(Key::ArrowDown);
        bench.key(Key::Enter);
        assert!(!listed(&bench), "Enter closes the list at {size}");
        assert_eq!(sheet(&bench).window, Choice::OfShop(2), "at {size}");
        bench.key(Key::Tab);
        bench.key(Key::Enter);
        bench.key(Key::ArrowDown);
        bench.key(Key::Enter);
        assert_eq!(sheet(&bench).station, Choice::OfShop(1), "at {size}");
        bench.key(Key::Tab);
        bench.key(Key::Tab);
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.enter("Plover");
        let state = bench.app().session().expect("Enter in the housing starts it").state();
        assert_eq!(state.housing().unwrap().name, "Plover");
        let (window, station) =
            (state.window().unwrap().name.clone(), state.station().unwrap().name.clone());

        bench.key(Key::Escape);
        bench.keys(Modifiers::COMMAND, Key::N);
        let again = sheet(&bench).clone();
        assert_eq!((again.window, again.station), (Choice::OfShop(2), Choice::OfShop(1)));
        assert_eq!((again.housing.as_str(), again.unit.as_str()), ("Plover", ""));
        drop(bench);
        let mut bench = Bench::open_sized(home.path(), None, size, 1.0);
        bench.keys(Modifiers::COMMAND, Key::N);
        assert_eq!(sheet(&bench).window, Choice::OfShop(2), "{window}");
        assert_eq!(sheet(&bench).station, Choice::OfShop(1), "{station}");
    }
}

/// Window and station stand in sight before anything is scrolled, and the bench names the window before
/// the first reading.
#[test]
fn the_window_is_in_sight_from_the_first_moment() {
    for size in SIZES {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, 1.0);
        bench.keys(Modifiers::COMMAND, Key::N);
        let fold = bench.window.get_by_label("Start").rect().top();
        for name in ["Unit", "Hand", "Tolerance window", "Station"] {
            let lowest = bench.window.query_all_by_label(name).map(|node| node.rect().bottom());
            let lowest = lowest.fold(0.0_f32, f32::max);
            assert!(lowest > 0.0 && lowest <= fold, "{name}: {lowest} of {fold} at {size}");
        }
        bench.type_text("0171");
        bench.key(Key::Tab);
        bench.enter("KT");
        bench.key(Key::Escape);
        assert!(bench.app().session().unwrap().rows().left.is_empty());
        let window = bench.app().session().unwrap().state().window().unwrap().name.clone();
        if size.x < 1000.0 {
            // Log, plot and rings take turns in a small window.
            bench.press(&format!("Show {}", Tab::Rings.text()));
        }
        assert!(bench.says(&format!("Judged by {window}. Convergence ")), "at {size}");
    }
}

/// Tab goes round in the sheet, either way, and what it comes to is scrolled into sight; put away and
/// asked for again the sheet opens at its head.
#[test]
fn the_keyboard_stays_in_the_sheet_and_in_sight() {
    for size in SIZES {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, 1.0);
        bench.keys(Modifiers::COMMAND, Key::N);
        let first = focused(&bench);
        let mut round = 0;
        for press in 1..=80 {
            bench.key(Key::Tab);
            let here = focused(&bench);
            assert_eq!(here.layer_id, first.layer_id, "press {press} at {size} left the sheet");
            assert!(
                here.interact_rect.height() >= 0.99 * here.rect.height(),
                "press {press} at {size}: {:?} of {:?} is in sight",
                here.interact_rect,
                here.rect
            );
            if here.id == first.id {
                round = press;
                break;
            }
        }
        assert!(round > 20, "all of the sheet's controls are met once: {round}");
        for _ in 0..round {
            bench.keys(Modifiers::SHIFT, Key::Tab);
            assert_eq!(focused(&bench).layer_id, first.layer_id, "back, at {size}");
        }
        assert_eq!(focused(&bench).id, first.id, "as far back as on");
        for _ in 0..round - 3 {
            bench.key(Key::Tab);
        }
        bench.key(Key::Escape);
        assert_eq!(*bench.app().front(), Sheet::Clear);
        bench.keys(Modifiers::COMMAND, Key::N);
        let again = focused(&bench);
        assert_eq!((again.id, again.interact_rect), (first.id, first.interact_rect), "at {size}");
    }
}

/// Turn and shims that are known of a tube do not go on record for another one typed in its place.
#[test]
fn another_tube_takes_over_neither_turn_nor_shims() {
    let home = tempfile::tempdir().unwrap();
    let bench = Bench::open(home.path(), None);
    let unit = home.path().join("data/demo-shop/units/0155.ron");
    drop(bench);
    let text = std::fs::read_to_string(&unit).unwrap();
    std::fs::write(&unit, text.replace("turned_deg: 0.0", "turned_deg: 180.0")).unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0155");
    bench.key(Key::Tab);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text("KT");
    assert!(!bench.says("Another left tube"));
    bench.fill("left tube", "T-0199L");
    assert!(bench.says(
        "Another left tube than before: it goes on record as it usually sits, without shims."
    ));
    bench.press("Start");
    let built = bench.app().session().unwrap().state().unit().unwrap();
    assert_eq!(built.tubes.left.serial, "T-0199L");
    assert_eq!((built.tubes.left.turned_deg, built.tubes.right.turned_deg), (0.0, 180.0));
}

/// The shop that was open last is gone on with, never the last session of another one.
#[test]
fn no_session_of_another_shop_is_gone_on_with() {
    let home = tempfile::tempdir().unwrap();
    drop(crate::session::start(home.path()));
    let own = home.path().join("own");
    std::fs::create_dir_all(own.join("stations")).unwrap();
    std::fs::create_dir_all(own.join("sessions")).unwrap();
    let bench = Bench::open(home.path(), Some(own.clone()));
    assert!(bench.app().session().is_none());
    drop(bench);
    let bench = Bench::open(home.path(), None);
    assert!(bench.app().session().is_none(), "{:?}", bench.app().session().unwrap().file().path());
}
