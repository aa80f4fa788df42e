//! Every field in which a number is typed: what cannot be read is refused with words that hold what was
//! typed, wherever it is, and nothing is taken up of it.
//!
//! The fields are found by what assistive technology is told of them, so that none can be left out: what is a
//! number is walked here, and every other field that any command, place or sheet shows is one for words.

use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

use egui::accesskit::Role;
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use record::practice::Grade;
use record::remedies::by_hand::Done;
use record::station::Shows;
use samepoint::ui_command::UiCommand;

use crate::bench::Bench;
use crate::confirm::confirming;
use crate::session::start;
use crate::{differences, practice, study, upkeep};

/// An O for a nought, an exponent that no hand means, an l for a one, a sign alone, two marks, and a number
/// that is too long to be one.
const SLIPS: [&str; 6] =
    ["2O.5", "1e3", "1l", "−", "1.2.3", "0.00000000000000000000000000000000000000000000012"];

/// What each kind of field does not take, with a part of the sentence; rings, clock positions and turns go
/// round, so that no number is beyond theirs. The first that a name holds counts.
const BEYOND: [(&str, &str, &str); 17] = [
    ("ring turn to", "", ""),
    ("ring angle", "", ""),
    ("clock", "", ""),
    ("Clock", "", ""),
    ("Turned by", "", ""),
    ("Ring step", "870", "less than a whole turn"),
    ("ioptre", "87", "beyond"),
    ("Interpupillary", "870", "is beyond"),
    ("vergence ′", "0", "must be"),
    ("Boresight ′", "0", "must be"),
    ("Distance", "0", "more than 0 m"),
    ("Leaves", "87", "87"),
    ("Trials", "870", "rials"),
    ("Unit number", "8700000", "from 1 to 999,999"),
    ("Time limit", "870", "from 1 to 600"),
    ("Threshold", "870", "up to 100 %"),
    ("metres", "870", "is beyond"),
];

/// Fields for words: everything typed in them is taken as it stands.
const WORDS: [&str; 0] = [];

/// Roles of fields for words.
const TEXTS: [Role; 3] = [Role::TextInput, Role::MultilineTextInput, Role::SearchInput];

/// The names of all fields of some roles that are there now.
fn fields(bench: &Bench, roles: &[Role]) -> BTreeSet<String> {
    let nodes = bench.window.query_all_by(|_| true);
    let named = nodes.filter_map(|node| {
        let node = node.accesskit_node();
        roles.contains(&node.role()).then(|| node.label().unwrap_or_default())
    });
    named.collect()
}

/// What stands in the last field of a name.
fn value(bench: &Bench, name: &str) -> String {
    let field = bench.window.query_all_by_label(name).last().expect(name);
    field.accesskit_node().value().unwrap_or_default()
}

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
    bench.window.query_all_by_label(name).last().expect(name).focus();
    bench.window.run();
}

fn fill(bench: &mut Bench, name: &str, text: &str) {
    to(bench, name);
    over(bench, text);
}

/// Every file of the shop and of the program's own folder, but what is remembered of the user.
fn stored(home: &Path) -> BTreeMap<PathBuf, Vec<u8>> {
    fn gather(folder: &Path, found: &mut BTreeMap<PathBuf, Vec<u8>>) {
        for entry in std::fs::read_dir(folder).unwrap().map(Result::unwrap) {
            let path = entry.path();
            match path.is_dir() {
                true if !path.ends_with("config") => gather(&path, found),
                false if path.extension().is_none_or(|end| end != "lock") => {
                    found.insert(path.clone(), std::fs::read(&path).unwrap());
                }
                _ => {}
            }
        }
    }
    let mut found = BTreeMap::new();
    gather(home, &mut found);
    found
}

/// A screen with fields for numbers.
struct Screen<'a> {
    open: &'a dyn Fn(&Path) -> Bench,
    /// What goes into the others while one is tried; empty: nothing.
    others: &'a dyn Fn(&str) -> &'static str,
    /// What takes up what was typed in a field.
    take: &'a dyn Fn(&mut Bench, &str),
}

/// The walk through one screen: every number field there is, every slip, and what is beyond. Returns which
/// they were.
fn walked(screen: &Screen<'_>) -> BTreeSet<String> {
    let home = tempfile::tempdir().unwrap();
    let mut bench = (screen.open)(home.path());
    bench.wait_saved().unwrap();
    let names = fields(&bench, &[Role::NumberInput]);
    assert!(!names.is_empty(), "no number field is found");
    for name in &names {
        let other = (screen.others)(name);
        if value(&bench, name).is_empty() && !other.is_empty() {
            fill(&mut bench, name, other);
        }
    }
    let before = (stored(home.path()), facts(&bench));
    let unchanged = |bench: &Bench, name: &str, slip: &str| {
        assert_eq!(facts(bench), before.1, "{name} took {slip}");
        assert!(stored(home.path()) == before.0, "{name} stored {slip}");
    };
    for name in &names {
        let stood = value(&bench, name);
        for slip in SLIPS {
            fill(&mut bench, name, slip);
            (screen.take)(&mut bench, name);
            // What is too long to be a number is told by its beginning.
            let told: String = slip.chars().take(32).collect();
            assert!(bench.says(&format!("“{told}")), "{name} says nothing of {slip}");
            unchanged(&bench, name, slip);
            fill(&mut bench, name, &stood);
        }
        let beyond = BEYOND.iter().find(|(part, ..)| name.contains(part));
        let (_, typed, why) = beyond.copied().unwrap_or(("", "870", "from −"));
        if !typed.is_empty() {
            fill(&mut bench, name, typed);
            (screen.take)(&mut bench, name);
            assert!(bench.says(why), "{name} says nothing of {typed}");
            unchanged(&bench, name, typed);
            fill(&mut bench, name, &stood);
        }
    }
    names
}

fn facts(bench: &Bench) -> usize {
    bench.app().session().map_or(0, |session| session.file().facts().len())
}

fn nothing(_: &str) -> &'static str {
    ""
}

fn enter(bench: &mut Bench, _: &str) {
    bench.key(Key::Enter);
}

/// Enter in the last number field of the screen, whichever it is.
fn enter_last(bench: &mut Bench, last: &str) {
    to(bench, last);
    bench.key(Key::Enter);
}

fn entry_row() -> BTreeSet<String> {
    walked(&Screen { open: &start, others: &nothing, take: &enter })
}

fn differences_row(shows: Shows) -> BTreeSet<String> {
    let open = |home: &Path| differences::bench(home, shows, vec2(1280.0, 800.0));
    walked(&Screen { open: &open, others: &nothing, take: &enter })
}

/// A dioptre goes with the reading that is logged beside it.
fn confirm() -> BTreeSet<String> {
    let take = |bench: &mut Bench, name: &str| {
        if !name.contains("dioptre") {
            return bench.key(Key::Enter);
        }
        let left = name.starts_with("left");
        bench.key(if left { Key::F2 } else { Key::F3 });
        let channel = if left { "left" } else { "right" };
        for axis in ["x", "y"] {
            fill(bench, &format!("{channel} {axis} entry"), "1");
            bench.key(Key::Enter);
        }
    };
    walked(&Screen { open: &confirming, others: &nothing, take: &take })
}

fn set_up() -> BTreeSet<String> {
    let open = |home: &Path| {
        let mut bench = start(home);
        bench.keys(Modifiers::COMMAND, Key::Num1);
        bench.press_anywhere("Add a window to the shop…");
        fill(&mut bench, "Name of the window", "Night work");
        fill(&mut bench, "Source", "Shop rule 7");
        bench
    };
    let others = |name: &str| match name {
        _ if name.contains("Interpupillary") => "64",
        _ if name.contains("dioptre") => "0",
        _ => "10",
    };
    let take = |bench: &mut Bench, name: &str| {
        let of_window = name.ends_with('′');
        bench.press_anywhere(if of_window { "Keep in the shop" } else { "Change" });
    };
    walked(&Screen { open: &open, others: &others, take: &take })
}

fn looking() -> BTreeSet<String> {
    let open = |home: &Path| {
        let mut bench = confirming(home);
        bench.key(Key::F11);
        bench.press("Fused");
        bench
    };
    walked(&Screen { open: &open, others: &nothing, take: &|bench, _| bench.press("Note it") })
}

fn own_remedy(done: Done) -> BTreeSet<String> {
    let open = |home: &Path| {
        let mut bench = start(home);
        bench.keys(Modifiers::ALT, Key::F9);
        bench.press_anywhere(done.words());
        bench
    };
    let others = |name: &str| if name.contains("Leaves") { "0.1" } else { "130" };
    walked(&Screen { open: &open, others: &others, take: &|bench, _| bench.press("Record") })
}

fn check() -> BTreeSet<String> {
    let open = |home: &Path| {
        let folder = upkeep::shop(home, &[("Bench A", "2027-03-01")]);
        let mut bench = upkeep::bench(home, folder);
        bench.keys(Modifiers::ALT, Key::C);
        bench.type_text("target plate 1");
        bench
    };
    let others = |name: &str| if name.contains("ring") { "" } else { "1" };
    walked(&Screen { open: &open, others: &others, take: &|bench, _| enter_last(bench, "y entry") })
}

fn study_plan() -> BTreeSet<String> {
    let open = |home: &Path| {
        let mut bench = start(home);
        bench.keys(Modifiers::ALT, Key::U);
        bench.press("New study…");
        fill(&mut bench, "Units", "0147, 0152");
        fill(&mut bench, "Hands", "KT, MB");
        bench
    };
    let take = |bench: &mut Bench, _: &str| bench.press("Draw the order and begin");
    walked(&Screen { open: &open, others: &nothing, take: &take })
}

fn study_cell() -> BTreeSet<String> {
    let open = |home: &Path| {
        let mut bench = start(home);
        study::begun(&mut bench, "0147, 0152", "KT, MB", "2");
        bench
    };
    let others = |name: &str| if name.contains("ring") { "" } else { "1" };
    walked(&Screen { open: &open, others: &others, take: &|bench, _| enter_last(bench, "y entry") })
}

/// The number and the time limit begin a unit, or assign one.
fn practice_place(button: &'static str) -> BTreeSet<String> {
    let open = |home: &Path| {
        let mut bench = Bench::open(home, None);
        practice::to_practice(&mut bench);
        bench.press_anywhere("As an examination");
        fill(&mut bench, "Trainee", "MB");
        bench
    };
    let others = |name: &str| if name == "Threshold, per cent" { "80" } else { "" };
    let take = |bench: &mut Bench, name: &str| {
        let threshold = name.starts_with("Threshold");
        bench.press_anywhere(if threshold { "Set threshold" } else { button });
    };
    walked(&Screen { open: &open, others: &others, take: &take })
}

fn virtual_rings() -> BTreeSet<String> {
    let open = |home: &Path| {
        let mut bench = Bench::open(home, None);
        practice::begin(&mut bench, Grade::ALL[0], 3);
        bench
    };
    walked(&Screen { open: &open, others: &nothing, take: &enter })
}

fn explored() -> BTreeSet<String> {
    let open = |home: &Path| {
        let mut bench = Bench::open(home, None);
        bench.keys(Modifiers::ALT, Key::E);
        bench
    };
    walked(&Screen { open: &open, others: &nothing, take: &enter })
}

#[test]
fn readings_are_refused_where_they_cannot_be_read() {
    entry_row();
    differences_row(Shows::Relative);
    differences_row(Shows::Box);
    confirm();
}

#[test]
fn the_job_and_what_is_done_to_a_unit_are_refused_where_they_cannot_be_read() {
    set_up();
    looking();
    own_remedy(Done::Shim);
    own_remedy(Done::TurnTube);
}

#[test]
fn checks_and_studies_are_refused_where_they_cannot_be_read() {
    check();
    study_plan();
    study_cell();
}

#[test]
fn practice_is_refused_where_it_cannot_be_read() {
    practice_place("Start unit");
    practice_place("Assign this unit");
    virtual_rings();
    explored();
}

/// No field is left out: what any command shows, from each place, is walked above or is one for words.
#[test]
fn no_field_for_a_number_is_left_out() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    let mut numbers = BTreeSet::new();
    let mut words = BTreeSet::new();
    for command in UiCommand::ALL {
        bench.keys(Modifiers::COMMAND, Key::K);
        bench.enter(&format!("{} {}", command.text(), command.tip()));
        for _ in 0..2 {
            bench.window.run();
        }
        numbers.extend(fields(&bench, &[Role::NumberInput]));
        words.extend(fields(&bench, &TEXTS));
        bench.key(Key::Escape);
    }
    println!("{numbers:#?} {words:#?}");
    let unknown: Vec<_> = words.iter().filter(|name| !WORDS.contains(&name.as_str())).collect();
    assert!(unknown.is_empty(), "for words or for a number? {unknown:?}");
}
