//! From an empty home to a signed unit with its report, by keyboard alone: how many keys, and how many minutes.

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use record::SignatureState;
use record::fact::Verdict;
use samepoint::testing::{Check, Sheet};
use solver::Channel;

use crate::bench::Bench;

/// A hand whose keys are counted: a letter is one, and so is a key with others held.
struct Hand {
    bench: Bench,
    keys: usize,
    /// Things thought about: a field, a reading, a choice.
    thoughts: usize,
}

impl Hand {
    fn types(&mut self, text: &str) {
        for letter in text.chars() {
            self.bench.type_text(&letter.to_string());
            self.keys += 1;
        }
        self.thoughts += 1;
    }

    fn key(&mut self, key: Key) {
        self.with(Modifiers::NONE, key);
    }

    fn with(&mut self, held: Modifiers, key: Key) {
        self.bench.keys(held, key);
        self.keys += 1;
    }

    fn enter(&mut self, text: &str) {
        self.types(text);
        self.key(Key::Enter);
    }

    /// Tab to a control by its name.
    fn tab_to(&mut self, name: &str) {
        for _ in 0..60 {
            let has_keyboard = {
                let mut named = self.bench.window.query_all_by_label(name);
                named.any(|node| node.accesskit_node().is_focused())
            };
            if has_keyboard {
                self.thoughts += 1;
                return;
            }
            self.key(Key::Tab);
        }
        panic!("Tab never comes to {name}");
    }

    fn fill(&mut self, name: &str, text: &str) {
        self.tab_to(name);
        self.with(Modifiers::COMMAND, Key::A);
        self.types(text);
    }

    /// A command by a part of its name.
    fn run(&mut self, words: &str) {
        self.with(Modifiers::COMMAND, Key::K);
        self.enter(words);
    }

    fn reads(&mut self, at: [f64; 2]) {
        for number in at {
            self.enter(&format!("{number:.1}"));
        }
    }
}

/// Seconds a key takes a hand that is used to typing, and a thought (Card, Moran and Newell, the keystroke-level model
/// of 1980: K 0.28 s, M 1.35 s; from memory). Turning rings is not in it, nor looking numbers up.
const KEY_S: f64 = 0.28;
const THOUGHT_S: f64 = 1.35;

/// The flip test, five deviations read to a tenth of a division of 1.5′, the certificate, the signature.
fn find_map(hand: &mut Hand) {
    hand.run("find station map");
    assert!(matches!(hand.bench.app().front(), Sheet::FindMap(_)));
    for channel in ["Left", "Right"] {
        for seen in ["to the right: x rose", "up: y rose"] {
            hand.tab_to(&format!("{channel}, {seen}"));
            hand.key(Key::Space);
        }
    }
    // Off by no more than a tenth, as a hand reads.
    let off = [[0.0, 0.1], [0.1, 0.0], [-0.1, 0.1], [0.0, -0.1], [0.1, 0.0]];
    for (place, [x, y]) in
        [[0.0, 0.0], [30.0, 0.0], [-30.0, 0.0], [0.0, 30.0], [0.0, -30.0]].into_iter().enumerate()
    {
        if place > 0 {
            hand.fill("Known x ′", &format!("{x}"));
            hand.fill("Known y ′", &format!("{y}"));
        }
        if place < 2 {
            hand.fill("Its standard uncertainty ′", "0.05");
            hand.fill("What is shown", if place == 0 { "no viewer" } else { "wedge 12" });
        }
        let [dx, dy] = off[place];
        for (name, value) in [
            ("Left x, divisions", x / 1.5 + dx),
            ("Left y, divisions", y / 1.5 + dy),
            ("Right x, divisions", x / 1.5 + dy),
            ("Right y, divisions", y / 1.5 + dx),
        ] {
            hand.fill(name, &format!("{value:.1}"));
        }
        hand.key(Key::Enter);
    }
    for (name, text) in [
        ("Certificate", "W-7"),
        ("A reading is read to, divisions", "0.1"),
        ("In common, x ′", "0.05"),
        ("In common, y ′", "0.05"),
    ] {
        hand.fill(name, text);
    }
    hand.key(Key::Enter);
    let Sheet::FindMap(sheet) = hand.bench.app().front() else {
        panic!("{:?}", hand.bench.app().front())
    };
    assert!(sheet.done.starts_with("Signed"), "{:?} {:?}", sheet.wrong, sheet.done);
    hand.key(Key::Escape);
}

/// A shop, its first hand, a window with its source, a housing and a station; then a unit, logged, met, confirmed,
/// looked through, signed and put on paper.
#[test]
#[expect(clippy::print_stdout, reason = "it tells what it counted")]
fn from_nothing_to_a_signed_unit_by_keyboard() {
    let home = tempfile::tempdir().unwrap();
    let bench = Bench::open_first(home.path(), vec2(1280.0, 800.0));
    let mut hand = Hand { bench, keys: 0, thoughts: 0 };
    hand.key(Key::Enter);
    hand.types("Sandpiper Optics");
    hand.fill("Address", "1 Quay, Harbour");
    hand.fill("Your initials", "KT");
    hand.key(Key::Enter);
    assert_eq!(*hand.bench.app().front(), Sheet::Keeps);

    hand.run("add station");
    hand.types("Bench 1");
    hand.fill("Scatter of a reading, ′", "0.5");
    hand.key(Key::Enter);
    find_map(&mut hand);
    hand.run("add window");
    hand.types("Night work");
    for (name, text) in [
        ("Source", "shop rule 7, table 2"),
        ("Convergence ′", "45"),
        ("Divergence ′", "20"),
        ("Dipvergence ′", "15"),
    ] {
        hand.fill(name, text);
    }
    hand.key(Key::Enter);
    hand.run("add housing");
    hand.types("Plover");
    hand.fill("Eyepiece focal length, mm", "27");
    hand.key(Key::Enter);
    assert_eq!(*hand.bench.app().front(), Sheet::Keeps);
    let offers = hand.bench.app().offers();
    assert_eq!((offers.stations.len(), offers.windows.len(), offers.housings.len()), (1, 1, 1));
    let set_up = hand.keys;
    let found_by = record::FoundBy::of(&offers.stations[0]).expect("the map was found");

    hand.with(Modifiers::COMMAND, Key::N);
    hand.types("0001");
    hand.key(Key::Tab);
    hand.with(Modifiers::COMMAND, Key::A);
    hand.enter("KT");
    let state = hand.bench.app().session().expect("a session is begun").state();
    assert_eq!(state.station().unwrap().name, "Bench 1");
    assert_eq!(
        record::FoundBy::of(state.station().unwrap()),
        Some(found_by),
        "the session says which"
    );
    assert_eq!(state.window().unwrap().source, "shop rule 7, table 2");
    // In divisions of 1.5′: centres (6, 3) and (−4, −2), radii 20 and 18, both circles crossing near boresight.
    for at in [[8.1, -2.4], [2.0, 4.2]] {
        hand.reads(at);
    }
    hand.with(Modifiers::COMMAND, Key::J);
    for (letter, [x, y], radius, zero_deg) in
        [("l", [6.0, 3.0], 20.0, 20.0_f64), ("r", [-4.0, -2.0], 18.0, 140.0)]
    {
        if letter == "r" {
            hand.types(letter);
        }
        for ring_deg in [0.0, 90.0, 180.0, 270.0, 360.0] {
            let (sin, cos) = (zero_deg - ring_deg).to_radians().sin_cos();
            hand.reads([x + radius * cos, y + radius * sin]);
        }
    }
    hand.with(Modifiers::COMMAND, Key::Num4);
    let setting = hand.bench.app().session().unwrap().picture().setting.unwrap();
    let station = hand.bench.app().session().unwrap().state().station().unwrap().clone();
    hand.with(Modifiers::COMMAND, Key::Enter);
    hand.with(Modifiers::COMMAND, Key::Num6);
    let mut readings = 0;
    for _ in 0..24 {
        match hand.bench.app().confirming().check {
            Check::Dioptres => hand.with(Modifiers::COMMAND, Key::B),
            Check::Looked => break,
            check => {
                match check {
                    Check::Tight if readings == 2 => hand.with(Modifiers::COMMAND, Key::T),
                    Check::Reseated => hand.with(Modifiers::ALT, Key::R),
                    Check::Narrow | Check::Wide => hand.with(Modifiers::ALT, Key::S),
                    _ => {}
                }
                for channel in Channel::BOTH {
                    hand.reads(
                        station.map[channel].divisions_from_direction(setting.points[channel]),
                    );
                }
                readings += 2;
            }
        }
    }
    hand.key(Key::F11);
    hand.enter("200f");
    hand.key(Key::F12);
    hand.key(Key::Enter);
    hand.bench.wait_saved().unwrap();
    let session = hand.bench.app().session().unwrap();
    let SignatureState::Signed(signature) = session.state().signature() else {
        panic!("{:?}", hand.bench.app().front())
    };
    assert_eq!((signature.signed.verdict, signature.hand.as_str()), (Verdict::Pass, "KT"));
    hand.key(Key::Escape);
    hand.with(Modifiers::COMMAND, Key::P);
    hand.key(Key::Enter);
    hand.bench.wait_written();
    let pdf = home.path().join("shop/sessions/2026-11-25 0001.pdf");
    assert!(pdf.metadata().is_ok_and(|file| file.len() > 10_000), "the report is written");
    let minutes = (hand.keys as f64 * KEY_S + hand.thoughts as f64 * THOUGHT_S) / 60.0;
    println!(
        "{} keys, {set_up} of them for the shop; no mouse; {minutes:.1} min of hand and eye",
        hand.keys
    );
    // A quarter of an hour is what a newcomer is promised.
    assert!(minutes < 15.0, "{minutes}");
}
