//! How many keys a unit takes from set-up to signature, without the mouse.

use egui::{Key, Modifiers};
use record::SignatureState;
use record::fact::Verdict;
use samepoint::testing::Check;
use solver::{Channel, Direction, PerChannel};

use crate::bench::Bench;

/// A hand whose keys are counted: a letter is one, and so is a key with others held.
struct Hand {
    bench: Bench,
    keys: usize,
    of_numbers: usize,
}

impl Hand {
    fn types(&mut self, text: &str) {
        for letter in text.chars() {
            self.bench.type_text(&letter.to_string());
            self.keys += 1;
        }
    }

    fn key(&mut self, held: Modifiers, key: Key) {
        self.bench.keys(held, key);
        self.keys += 1;
    }

    fn enter(&mut self, text: &str) {
        self.types(text);
        self.key(Modifiers::NONE, Key::Enter);
    }

    fn reads(&mut self, [x, y]: [f64; 2]) {
        let before = self.keys;
        for number in [x, y] {
            self.enter(&format!("{number:.1}"));
        }
        self.of_numbers += self.keys - before;
    }

    fn reads_both(&mut self, points: &PerChannel<Direction>) {
        for channel in Channel::BOTH {
            self.reads([points[channel].x_arcmin, points[channel].y_arcmin]);
        }
    }
}

/// Seconds a key takes a practised hand, and a reading its eye and head (Card, Moran and Newell, the
/// keystroke-level model of 1980: K 0.28 s, M 1.35 s; from memory). Turning rings is not in it.
const KEY_S: f64 = 0.28;
const READING_S: f64 = 1.35;

/// Set up with hand, distance and dioptres; as found; each ring read at four places and back at the first; met;
/// confirmed as the checklist asks; looked through; signed. No mouse anywhere.
#[test]
#[expect(clippy::print_stdout, reason = "it tells what it counted")]
fn a_unit_takes_few_keys_and_no_mouse() {
    let home = tempfile::tempdir().unwrap();
    let mut hand = Hand { bench: Bench::open(home.path(), None), keys: 0, of_numbers: 0 };
    let mut readings = 0;
    hand.key(Modifiers::COMMAND, Key::N);
    hand.types("0171");
    hand.key(Modifiers::NONE, Key::Tab);
    hand.enter("KT");
    for at in [[12.1, -3.4], [4.0, 7.2]] {
        hand.reads(at);
        readings += 1;
    }
    // Centres (10, 4) and (−6, −3), radii 30 and 26, φ 20° and 140°: they cross inside the demo's window.
    for (letter, [x, y], radius, zero_deg) in
        [("l", [10.0, 4.0], 30.0, 20.0_f64), ("r", [-6.0, -3.0], 26.0, 140.0)]
    {
        if letter == "r" {
            hand.types(letter);
        } else {
            // A quarter turn a step, for both; the row keeps it for the next unit.
            hand.key(Modifiers::COMMAND, Key::J);
        }
        for ring_deg in [0.0, 90.0, 180.0, 270.0, 360.0] {
            let (sin, cos) = (zero_deg - ring_deg).to_radians().sin_cos();
            hand.reads([x + radius * cos, y + radius * sin]);
            readings += 1;
        }
    }
    hand.key(Modifiers::COMMAND, Key::Num4);
    let points = hand.bench.app().session().unwrap().picture().setting.unwrap().points;
    hand.key(Modifiers::COMMAND, Key::Enter);
    hand.key(Modifiers::COMMAND, Key::Num6);
    for _ in 0..20 {
        match hand.bench.app().confirming().check {
            Check::Dioptres => hand.key(Modifiers::COMMAND, Key::B),
            Check::Looked => break,
            check => {
                match check {
                    Check::Tight if readings == 14 => hand.key(Modifiers::COMMAND, Key::T),
                    Check::Reseated => hand.key(Modifiers::ALT, Key::R),
                    Check::Narrow | Check::Wide => hand.key(Modifiers::ALT, Key::S),
                    _ => {}
                }
                hand.reads_both(&points);
                readings += 2;
            }
        }
    }
    hand.key(Modifiers::NONE, Key::F11);
    hand.types("200f");
    hand.key(Modifiers::NONE, Key::Enter);
    hand.key(Modifiers::NONE, Key::F12);
    hand.key(Modifiers::NONE, Key::Enter);
    hand.bench.wait_saved().unwrap();
    let session = hand.bench.app().session().unwrap();
    let SignatureState::Signed(signature) = session.state().signature() else { panic!() };
    assert_eq!((signature.signed.verdict, signature.hand.as_str()), (Verdict::Pass, "KT"));
    let minutes = (hand.keys as f64 * KEY_S + f64::from(readings) * READING_S) / 60.0;
    println!(
        "{} keys ({} of them numbers and their Enter), {readings} readings, no mouse; {minutes:.1} min of \
         hand and eye",
        hand.keys, hand.of_numbers
    );
    // Before: about 330 keys, and four steps with the mouse.
    assert!(hand.keys <= 300, "{} keys", hand.keys);
    assert!(hand.keys - hand.of_numbers <= 40, "{} beside numbers", hand.keys - hand.of_numbers);
}
