//! Every field in which a number is typed: a letter within it is refused with words that hold what was typed,
//! wherever it is, and nothing is taken up of it.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;

use crate::bench::Bench;
use crate::confirm::confirming;
use crate::session::start;
use crate::{study, upkeep};

/// An O for a nought, an exponent that no hand means, an l for a one.
const SLIPS: [&str; 3] = ["2O.5", "1e3", "1l"];

/// Types letter by letter into what has the keyboard, over what stands there.
fn over(bench: &mut Bench, text: &str) {
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.key(Key::Backspace);
    for letter in text.chars() {
        bench.type_text(&letter.to_string());
    }
}

/// The last field of a name gets the keyboard.
fn to(bench: &mut Bench, name: &str) {
    let fields: Vec<_> = bench.window.query_all_by_label(name).collect();
    fields.last().unwrap_or_else(|| panic!("no field {name}")).focus();
    drop(fields);
    bench.window.run();
}

fn facts(bench: &Bench) -> usize {
    bench.app().session().map_or(0, |session| session.file().facts().len())
}

/// The walk through one form: each slip in each field, then what takes the form up.
fn refused(bench: &mut Bench, fields: &[&str], take: &dyn Fn(&mut Bench), good: &str) {
    let before = facts(bench);
    for field in fields {
        for slip in SLIPS {
            to(bench, field);
            over(bench, slip);
            take(bench);
            assert!(bench.says(&format!("“{slip}”")), "{field} took {slip}");
            assert_eq!(facts(bench), before, "{field} took {slip}");
        }
        to(bench, field);
        over(bench, good);
    }
}

fn enter(bench: &mut Bench) {
    bench.key(Key::Enter);
}

#[test]
fn the_entry_row_refuses_letters_in_every_field() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let before = facts(&bench);
    // By keys, from x backwards and forwards: ring, x, y.
    for (back, forward) in [(1, 0), (0, 0), (0, 1)] {
        for slip in SLIPS {
            for _ in 0..back {
                bench.keys(Modifiers::SHIFT, Key::Tab);
            }
            for _ in 0..forward {
                bench.key(Key::Tab);
            }
            over(&mut bench, slip);
            bench.key(Key::Enter);
            let (_, why) = bench.app().entry().refused.clone().expect(slip);
            assert!(why.contains(slip), "{why}");
            assert_eq!(facts(&bench), before);
            // Back to an empty row.
            over(&mut bench, "");
            bench.key(Key::Escape);
            for _ in 0..back {
                bench.key(Key::Tab);
            }
            for _ in 0..forward {
                bench.keys(Modifiers::SHIFT, Key::Tab);
            }
        }
    }
}

#[test]
fn the_set_up_and_a_window_refuse_letters() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.press_anywhere("Add a window to the shop…");
    for (name, text) in [("Name of the window", "Night work"), ("Source", "Shop rule 7")] {
        to(&mut bench, name);
        over(&mut bench, text);
    }
    let limits = ["Convergence ′", "Divergence ′", "Dipvergence ′"];
    for name in limits {
        to(&mut bench, name);
        over(&mut bench, "10");
    }
    let keep = |bench: &mut Bench| bench.press_anywhere("Keep in the shop");
    refused(&mut bench, &limits, &keep, "10");
}

#[test]
fn a_dioptre_and_a_distance_refuse_letters() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    bench.key(Key::F11);
    bench.press("Fused");
    let note = |bench: &mut Bench| bench.press("Note it");
    refused(&mut bench, &["Distance of the point, m"], &note, "30");
}

#[test]
fn checks_and_studies_refuse_letters_and_what_no_graticule_shows() {
    let home = tempfile::tempdir().unwrap();
    let folder = upkeep::shop(home.path(), &[("Bench A", "2027-03-01")]);
    let mut bench = upkeep::bench(home.path(), folder);
    bench.keys(Modifiers::ALT, Key::C);
    bench.type_text("target plate 1");
    for _ in 0..4 {
        bench.key(Key::Tab);
    }
    for slip in SLIPS {
        over(&mut bench, slip);
        bench.key(Key::Enter);
        over_and_enter(&mut bench, "0.5");
        assert!(bench.says(&format!("“{slip}”")), "the check took {slip}");
        assert!(bench.app().checks().unwrap().file().is_none(), "{slip}");
    }

    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    study::begun(&mut bench, "0147, 0152", "KT, MB", "2");
    for slip in SLIPS {
        over(&mut bench, slip);
        bench.key(Key::Enter);
        over_and_enter(&mut bench, "0.5");
        assert!(bench.says(&format!("“{slip}”")), "the study took {slip}");
        assert!(bench.says("(1 of 8)."), "{slip}");
    }
    // Bench 2's graticule ends at 60 divisions.
    over_and_enter(&mut bench, "87");
    over_and_enter(&mut bench, "1");
    assert!(bench.says("from −60 to 60") && bench.says("(1 of 8)."), "the study took 87");
}

fn over_and_enter(bench: &mut Bench, text: &str) {
    over(bench, text);
    enter(bench);
}
