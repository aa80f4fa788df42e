//! A unit of 120 letters, taken by a hand of 60: wherever such names stand in a list they are shortened to the
//! room there is, whole on hover and whole to a reader; in a sentence they are broken.

use std::fs::File;
use std::io::ErrorKind::StorageFull;
use std::path::Path;
use std::time::{Duration, Instant};

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use record::fact::{Body, Signed, Verdict};
use record::file::write_all_lines;
use record::{Rule, Unit};
use samepoint::testing::{Place, Sheet};

use crate::bench::Bench;
use crate::failing_disk::Fails;
use crate::layout::{controls_inside, everything_fits};
use crate::many_readings::{ROUND, facts, wavering};
use crate::waiting::type_waiting;

fn unit() -> String {
    "W".repeat(120)
}

fn hand() -> String {
    "M".repeat(60)
}

/// A session of the unit by the hand, signed as a pass that its readings do not give.
fn write(path: &Path, more: Vec<Body>) {
    let readings = wavering(8).into_iter().chain(more).collect();
    let mut facts = facts(Unit { name: unit(), ..Unit::default() }, readings);
    for fact in &mut facts {
        fact.hand = hand();
    }
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    write_all_lines(&facts, File::create(path).unwrap()).unwrap();
}

fn signed() -> Body {
    Body::Signed(Signed {
        round: ROUND,
        verdict: Verdict::Pass,
        rule: Rule::Guarded,
        program: "test".to_owned(),
        window: None,
        station: Some(2),
        rests_on: Vec::new(),
        numbers: Vec::new(),
        statement: String::new(),
    })
}

/// Texts in sight with some words: how many are shortened, and how many hold them whole.
fn drawn(bench: &Bench, whole: &str) -> [usize; 2] {
    let mut found = [0; 2];
    for clipped in &bench.window.output().shapes {
        let mut shapes = vec![&clipped.shape];
        while let Some(shape) = shapes.pop() {
            match shape {
                egui::Shape::Vec(inner) => shapes.extend(inner),
                egui::Shape::Text(text) if text.galley.text().contains(whole) => {
                    found[usize::from(!text.galley.elided)] += 1;
                }
                _ => {}
            }
        }
    }
    found
}

/// The button of some words is shortened to the window, and shows them whole once the pointer is on it.
fn is_shortened(bench: &mut Bench, whole: &str) {
    let size = bench.window.ctx.content_rect().size();
    controls_inside(bench, size, whole);
    assert!(drawn(bench, whole)[0] > 0, "nothing is shortened");
    bench.window.query_all_by_label(whole).last().expect("a reader is told all of it").hover();
    let begun = Instant::now();
    while drawn(bench, whole)[1] == 0 {
        assert!(begun.elapsed() < Duration::from_secs(5), "it is nowhere whole");
        bench.rest();
    }
}

const SIZES: [egui::Vec2; 2] = [vec2(1280.0, 800.0), vec2(640.0, 480.0)];

#[test]
fn in_the_recent_list() {
    // In the least window the list lies below what is in sight of the menu, and is not drawn.
    let size = SIZES[0];
    let home = tempfile::tempdir().unwrap();
    let path = home.path().join(format!("{} recent.samepoint", unit()));
    write(&path, Vec::new());
    let mut bench = Bench::open_sized(home.path(), Some(path), size, 1.0);
    bench.press("Session");
    is_shortened(&mut bench, &format!("{} recent", unit()));
}

#[test]
fn among_what_a_supervisor_looks_at() {
    for size in SIZES {
        let home = tempfile::tempdir().unwrap();
        let shop = home.path().join("shop");
        write(&shop.join("sessions").join("one.samepoint"), vec![signed()]);
        let mut bench = Bench::open_sized(home.path(), Some(shop), size, 1.0);
        bench.keys(Modifiers::ALT, Key::H);
        let begun = Instant::now();
        while bench.app().places().shop.reading.is_going_on() {
            assert!(begun.elapsed() < Duration::from_secs(60), "the sessions are never read");
            std::thread::sleep(Duration::from_millis(5));
            bench.rest();
        }
        bench.press_anywhere_first("To look at");
        is_shortened(&mut bench, &format!("{} · 2026-11-25 · {}", unit(), hand()));
    }
}

#[test]
fn among_sessions_to_compare_with() {
    for size in SIZES {
        let home = tempfile::tempdir().unwrap();
        let sessions = home.path().join("shop").join("sessions");
        for name in ["one", "other"] {
            write(&sessions.join(format!("{} {name}.samepoint", unit())), Vec::new());
        }
        let path = sessions.join(format!("{} one.samepoint", unit()));
        let mut bench = Bench::open_sized(home.path(), Some(path), size, 1.0);
        bench.keys(Modifiers::ALT, Key::V);
        assert_eq!(bench.app().place(), Place::Review);
        bench.press_anywhere_first("Compare");
        is_shortened(&mut bench, &format!("{} other", unit()));
    }
}

/// In the offer they stand in sentences, which are broken and never cut.
#[test]
fn in_a_rescue_offer() {
    for size in SIZES {
        let home = tempfile::tempdir().unwrap();
        let path = home.path().join("sessions").join("long.samepoint");
        write(&path, Vec::new());
        let mut bench = Bench::open_sized(home.path(), Some(path), size, 1.0);
        type_waiting(&mut bench, 3, Fails::Writing(StorageFull));
        drop(bench);
        let bench = Bench::open_sized(home.path(), None, size, 1.0);
        assert_ne!(bench.app().front(), &Sheet::Clear);
        assert!(bench.says(&format!("3 facts of the session of “{}”", unit())));
        everything_fits(&bench, size, "the rescue");
    }
}
