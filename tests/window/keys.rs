//! Keys act where their command is listed, and nowhere else.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable;
use samepoint::testing::{Place, Sheet, UiCommand};

use crate::bench::Bench;
use crate::supervisor::wait_for_sessions;

fn facts(bench: &Bench) -> usize {
    bench.app().session().unwrap().file().facts().len()
}

/// Away from the bench every key of redo, the usual ones and the others, leaves the session alone.
#[test]
fn nothing_is_brought_back_away_from_the_bench() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.keys(Modifiers::COMMAND, Key::Z);
    let before = facts(&bench);
    for place in [Key::H, Key::P, Key::U, Key::V, Key::E] {
        bench.keys(Modifiers::ALT, place);
        let at = bench.app().place();
        assert_ne!(at, Place::Bench);
        for (held, key) in [
            (Modifiers::COMMAND, Key::Y),
            (Modifiers::COMMAND | Modifiers::SHIFT, Key::Z),
            (Modifiers::COMMAND, Key::Z),
        ] {
            bench.keys(held, key);
            assert_eq!((facts(&bench), bench.app().place()), (before, at), "{key:?}");
        }
    }
    bench.keys(Modifiers::ALT, Key::B);
    bench.keys(Modifiers::COMMAND, Key::Y);
    assert_eq!(facts(&bench), before + 1);
}

/// Every key of every command, pressed in every place that does not list it: nothing is added to the
/// session, nothing comes to the front, the hand stays where it is.
#[test]
fn no_key_acts_where_its_command_is_not_listed() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    // Something to bring back, and something to take back.
    bench.keys(Modifiers::COMMAND, Key::Z);
    let (before, mut tried) = (facts(&bench), 0);
    for place in Place::ALL {
        bench.keys(Modifiers::ALT, place.command().shortcut().unwrap().logical_key);
        assert_eq!(bench.app().place(), place);
        if place == Place::Shop {
            wait_for_sessions(&mut bench);
        }
        let unlisted = UiCommand::ALL.into_iter().filter(|command| !place.lists(*command));
        for (command, key) in unlisted.flat_map(|it| it.keys().iter().map(move |key| (it, key))) {
            // Alone it opens the row of the table that is pointed at, as the table says.
            if place == Place::Shop && key.logical_key == Key::Enter && key.modifiers.is_none() {
                continue;
            }
            bench.keys(key.modifiers, key.logical_key);
            assert_eq!(facts(&bench), before, "{command:?} acts in {place:?}");
            assert_eq!(bench.app().place(), place, "{command:?}");
            assert_eq!(bench.app().front(), &Sheet::Clear, "{command:?} in {place:?}");
            tried += 1;
        }
    }
    assert!(tried > 200, "{tried}");
}

/// Page keys turn what is only read, on and back to its head, and leave the picture behind it alone.
#[test]
fn page_keys_turn_what_is_only_read() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    let seen = |bench: &Bench, words: &str| {
        let nodes = bench.window.query_all_by_label_contains(words);
        nodes.map(|node| node.rect()).any(|rect| rect.top() > 60.0 && rect.bottom() < 760.0)
    };
    for (name, first, further) in [
        ("Keys", "Log reading", "Home and End: the first and the last"),
        ("About", "Third-party notices", "zvariant"),
    ] {
        if name == "Keys" {
            bench.key(Key::F1);
        } else {
            bench.keys(Modifiers::COMMAND, Key::K);
            bench.type_text(name);
            bench.key(Key::Enter);
        }
        assert_eq!(format!("{:?}", bench.app().front()), name);
        assert!(seen(&bench, first) && !seen(&bench, further), "{name}");
        let before = bench.app().view().shown();
        let mut turned = 0;
        while !seen(&bench, further) {
            bench.key(Key::PageDown);
            turned += 1;
            assert!(turned < 40, "{name}");
        }
        assert!(!seen(&bench, first), "{name}");
        assert_eq!(bench.app().view().shown(), before);
        for _ in 0..turned {
            bench.keys(Modifiers::COMMAND, Key::PageUp);
        }
        assert!(seen(&bench, first), "{name}");
        bench.key(Key::Escape);
        assert_eq!(bench.app().front(), &Sheet::Clear);
    }
}

/// What is drawn within a little more than a place.
fn drawn_at(bench: &Bench, place: egui::Rect) -> String {
    let round = place.expand(5.0);
    let shapes = bench.window.output().shapes.iter();
    let near = shapes.filter(|one| round.intersects(one.shape.visual_bounding_rect()));
    near.map(|one| format!("{:?}", one.shape)).collect()
}

/// What has the keyboard is seen: wherever Tab comes to, something is drawn there that goes when Tab goes on (WCAG 2.2,
/// 2.4.7).
#[test]
fn the_keyboard_is_seen_wherever_it_is() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    for sheet in ["", "Add a station", "Add a housing", "Find a station’s map"] {
        if !sheet.is_empty() {
            bench.run(sheet);
        }
        let mut before: Option<(egui::Rect, String)> = None;
        let mut stops = 0;
        for _ in 0..14 {
            bench.key(Key::Tab);
            if let Some((place, drawn)) = before.take() {
                assert!(drawn_at(&bench, place) != drawn, "{sheet:?}: not seen at {place:?}");
                stops += 1;
            }
            let focused = bench.window.ctx.memory(egui::Memory::focused);
            let at = focused.and_then(|id| bench.window.ctx.read_response(id));
            before = at.map(|at| (at.rect, drawn_at(&bench, at.rect)));
        }
        assert!(stops > 8, "{sheet:?}: {stops} stops");
        bench.key(Key::Escape);
    }
}
