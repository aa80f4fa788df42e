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
use samepoint::testing::UiCommand;

use crate::bench::Bench;
use crate::confirm::confirming;
use crate::session::start;
use crate::word_fields::WORDS;
use crate::{differences, practice, study, upkeep};

/// An O for a nought, an exponent that no hand means, an l for a one, a sign alone, two marks, and a number
/// that is too long to be one.
const SLIPS: [&str; 6] =
    ["2O.5", "1e3", "1l", "−", "1.2.3", "0.00000000000000000000000000000000000000000000012"];

/// What each kind of field does not take, with a part of the sentence; rings, clock positions and turns go
/// round, so that no number is beyond theirs. The first that a name holds counts.
const BEYOND: [(&str, &str, &str); 15] = [
    ("ring play", "870", "is beyond"),
    ("Ring step", "870", "less than a whole turn"),
    ("ring", "", ""),
    ("Clock", "", ""),
    ("Turned by", "", ""),
    ("clock position", "870", "is beyond"),
    ("ioptre", "87", "beyond"),
    ("Interpupillary", "870", "is beyond"),
    ("vergence ′", "0", "must be"),
    ("Boresight ′", "0", "must be"),
    ("Distance", "0", "more than 0 m"),
    ("Leaves", "87", "87"),
    ("Trials", "870", "rials"),
    ("Unit number", "8700000", "from 1 to 999,999"),
    ("Time limit", "870", "from 1 to 600"),
];

/// And these.
const ALSO_BEYOND: [(&str, &str, &str); 25] = [
    ("Threshold", "870", "up to 100 %"),
    ("metres", "870", "is beyond"),
    ("turned by", "", ""),
    ("per division", "0", "must be more than 0"),
    ("boresight x", "", ""),
    ("boresight y", "", ""),
    ("Scatter of a", "0", "must be more than 0"),
    ("Reference,", "-1", "must be 0 or more"),
    ("Lowest ", "30", "the second must be more"),
    ("Highest ", "5", "the second must be more"),
    ("Least ", "90", "the second must be more"),
    ("Greatest ", "5", "the second must be more"),
    ("Hinges apart", "", ""),
    ("Parallax", "2", "at most 1"),
    ("focal length", "-1", "must be more than 0"),
    ("pod axis", "0", "must be more than 0"),
    ("Read to", "0", "must be more than 0"),
    ("of its pictures", "0", "from 1 to 65535"),
    ("in the picture", "8700", "outside the picture"),
    ("A reading is read to", "0", "must be more than 0"),
    ("In common", "-1", "must be 0 or more"),
    ("Its standard unc", "-1", "must be 0 or more"),
    ("x, divisions", "87000", "read it again"),
    ("y, divisions", "87000", "read it again"),
    ("on the graticule", "8700000", "no place in a picture or on a graticule"),
];

/// What a thing that the shop keeps is changed in.
const FORM: &str = "a form";

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
    bench.rest();
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

/// Takes up what was typed in the field of this name.
type Take = Box<dyn Fn(&mut Bench, &str)>;

/// A screen with fields for numbers.
struct Screen {
    /// What it is called where something is wrong.
    name: &'static str,
    open: Box<dyn Fn(&Path) -> Bench>,
    /// Whether a field is one of this screen, and not of what stands beside it.
    is_here: fn(&str) -> bool,
    /// What goes into the others while one is tried; empty: nothing.
    others: fn(&str) -> &'static str,
    /// What takes up what was typed in a field.
    take: Take,
}

/// Fields of the entry row, which stands beside every sheet.
fn of_row(name: &str) -> bool {
    name.starts_with("Ring step") || (name.contains(" entry") && !name.contains("dioptre"))
}

fn not_of_row(name: &str) -> bool {
    !of_row(name)
}

/// The walk through one screen: every number field there is, every slip, and what is beyond.
fn walk(screen: &Screen) {
    let home = tempfile::tempdir().unwrap();
    let mut bench = (screen.open)(home.path());
    bench.wait_saved().unwrap();
    // Opening a shop notes what was missed in its ledger: not what a field did.
    bench.wait_noted();
    let mut names = fields(&bench, &[Role::NumberInput]);
    names.retain(|name| (screen.is_here)(name));
    assert!(!names.is_empty(), "{}: no number field is found", screen.name);
    for name in &names {
        let other = (screen.others)(name);
        if value(&bench, name).is_empty() && !other.is_empty() {
            fill(&mut bench, name, other);
        }
    }
    let before = (stored(home.path()), facts(&bench));
    let unchanged = |bench: &Bench, name: &str, slip: &str| {
        assert_eq!(facts(bench), before.1, "{name} took {slip}");
        let now = stored(home.path());
        let other = now.iter().filter(|(path, held)| before.0.get(*path) != Some(held));
        let other: Vec<_> = other.map(|(path, _)| path).collect();
        assert!(other.is_empty(), "{name} stored {slip} in {other:?}");
    };
    for name in &names {
        let stood = value(&bench, name);
        for slip in SLIPS {
            fill(&mut bench, name, slip);
            (screen.take)(&mut bench, name);
            // What is too long to be a number is told by its beginning.
            let told: String = slip.chars().take(32).collect();
            let says = bench.says(&format!("“{told}"));
            assert!(says, "{}: {name} says nothing of {slip}, {}", screen.name, said(&bench));
            unchanged(&bench, name, slip);
            fill(&mut bench, name, &stood);
        }
        let beyond = BEYOND.iter().chain(&ALSO_BEYOND).find(|(part, ..)| name.contains(part));
        // A part of nothing; what no graticule shows, and no viewer points to.
        let (_, typed, why) = beyond.copied().unwrap_or(match screen.name {
            FORM => ("", "0", "must be more than 0"),
            _ => ("", "87000", "3000′"),
        });
        if !typed.is_empty() {
            fill(&mut bench, name, typed);
            (screen.take)(&mut bench, name);
            let says = bench.says(why);
            assert!(says, "{}: {name} says nothing of {typed}, {}", screen.name, said(&bench));
            unchanged(&bench, name, typed);
            fill(&mut bench, name, &stood);
        }
    }
}

/// What is refused just now, for a failing test.
fn said(bench: &Bench) -> String {
    format!("{:?} {:?}", bench.app().entry().refused, bench.app().notice())
}

fn facts(bench: &Bench) -> usize {
    bench.app().session().map_or(0, |session| session.file().facts().len())
}

fn nothing(_: &str) -> &'static str {
    ""
}

fn one_but_ring(name: &str) -> &'static str {
    if name.to_lowercase().contains("ring") { "" } else { "1" }
}

fn enter(bench: &mut Bench, _: &str) {
    bench.key(Key::Enter);
}

/// Enter in the field, then in the last of the row: what can be told of one number is told at once, what only of
/// both when both are there.
fn enter_row(bench: &mut Bench, name: &str) {
    bench.key(Key::Enter);
    let last: Vec<String> = fields(bench, &[Role::NumberInput]).into_iter().collect();
    let last = last.iter().find(|other| other.contains("y ") || other.ends_with(" y"));
    if let Some(last) = last.filter(|last| *last != name && !name.starts_with("Ring step")) {
        to(bench, last);
        bench.key(Key::Enter);
    }
}

fn press(button: &'static str) -> Take {
    Box::new(move |bench, _| bench.press_anywhere(button))
}

fn entry_row() -> Screen {
    let open = Box::new(|home: &Path| start(home));
    let take = Box::new(enter_row);
    Screen { name: "entry row", open, is_here: of_row, others: one_but_ring, take }
}

fn differences_row(shows: Shows) -> Screen {
    let open = Box::new(move |home: &Path| differences::bench(home, shows, vec2(1280.0, 800.0)));
    let others = |name: &str| if name.contains("ring") { "0" } else { "1" };
    let take = Box::new(enter_row);
    Screen { name: "row of both channels", open, is_here: |_| true, others, take }
}

/// A dioptre goes with the reading that is logged beside it.
fn confirm() -> Screen {
    let open = Box::new(|home: &Path| confirming(home));
    let take = Box::new(|bench: &mut Bench, name: &str| {
        let left = name.starts_with("left");
        bench.key(if left { Key::F2 } else { Key::F3 });
        let channel = if left { "left" } else { "right" };
        for axis in ["x", "y"] {
            fill(bench, &format!("{channel} {axis} entry"), "1");
            bench.key(Key::Enter);
        }
    });
    Screen { name: "confirming", open, is_here: not_of_row, others: nothing, take }
}

fn set_up() -> Screen {
    let open = Box::new(|home: &Path| {
        let mut bench = start(home);
        bench.keys(Modifiers::COMMAND, Key::Num1);
        bench
    });
    let others = |name: &str| match name {
        _ if name.contains("Interpupillary") => "64",
        _ if name.contains("dioptre") => "0",
        _ => "10",
    };
    Screen { name: "set up", open, is_here: not_of_row, others, take: press("Change") }
}

fn looking() -> Screen {
    let open = Box::new(|home: &Path| {
        let mut bench = confirming(home);
        bench.key(Key::F11);
        bench.press("Fused");
        bench
    });
    let is_here = |name: &str| name.starts_with("Distance");
    Screen { name: "looking test", open, is_here, others: nothing, take: press("Note it") }
}

fn own_remedy(done: Done) -> Screen {
    let open = Box::new(move |home: &Path| {
        let mut bench = start(home);
        bench.keys(Modifiers::ALT, Key::F9);
        bench.press_anywhere(done.words());
        bench
    });
    let others = |name: &str| if name.contains("Leaves") { "0.1" } else { "130" };
    Screen { name: "a remedy", open, is_here: not_of_row, others, take: press("Record") }
}

fn check() -> Screen {
    let open = Box::new(|home: &Path| {
        let folder = upkeep::shop(home, &[("Bench A", "2027-03-01")]);
        let mut bench = upkeep::bench(home, folder);
        bench.keys(Modifiers::ALT, Key::C);
        bench.type_text("target plate 1");
        bench
    });
    let take = Box::new(enter_row);
    Screen { name: "check", open, is_here: not_of_row, others: one_but_ring, take }
}

fn study_plan() -> Screen {
    let open = Box::new(|home: &Path| {
        let mut bench = start(home);
        bench.keys(Modifiers::ALT, Key::U);
        bench.press("New study…");
        fill(&mut bench, "Units", "0147, 0152");
        fill(&mut bench, "Hands", "KT, MB");
        bench
    });
    let take = press("Draw the order and begin");
    Screen { name: "study plan", open, is_here: |_| true, others: nothing, take }
}

fn study_cell() -> Screen {
    let open = Box::new(|home: &Path| {
        let mut bench = start(home);
        study::begun(&mut bench, "0147, 0152", "KT, MB", "2");
        bench
    });
    let take = Box::new(enter_row);
    Screen { name: "study", open, is_here: |_| true, others: one_but_ring, take }
}

/// The number and the time limit begin a unit, or assign one.
fn practice_place(button: &'static str) -> Screen {
    let open = Box::new(|home: &Path| {
        let mut bench = Bench::open(home, None);
        practice::to_practice(&mut bench);
        bench.press_anywhere("As an examination");
        fill(&mut bench, "Trainee", "MB");
        bench
    });
    let others = |name: &str| if name.starts_with("Threshold") { "80" } else { "" };
    let take = Box::new(move |bench: &mut Bench, name: &str| {
        let threshold = name.starts_with("Threshold");
        bench.press_anywhere(if threshold { "Set threshold" } else { button });
    });
    Screen { name: "practice", open, is_here: |_| true, others, take }
}

fn virtual_rings() -> Screen {
    let open = Box::new(|home: &Path| {
        let mut bench = Bench::open(home, None);
        practice::begin(&mut bench, Grade::ALL[0], 3);
        // A tight lock is told of before a number.
        bench.keys(Modifiers::COMMAND, Key::T);
        bench
    });
    Screen {
        name: "virtual rings",
        open,
        is_here: not_of_row,
        others: nothing,
        take: Box::new(enter),
    }
}

fn explored() -> Screen {
    let open = Box::new(|home: &Path| {
        let mut bench = Bench::open(home, None);
        bench.keys(Modifiers::ALT, Key::E);
        bench
    });
    Screen { name: "explore", open, is_here: |_| true, others: nothing, take: Box::new(enter) }
}

/// A form of something new for the shop, all of it filled in so that only one number is wrong at a time.
fn form(command: UiCommand) -> Screen {
    let open = Box::new(move |home: &Path| {
        let mut bench = Bench::open(home, None);
        bench.give(command);
        for (name, text) in [
            ("Name of the window", "Night work"),
            ("Source", "Shop rule 7"),
            ("Name of the housing", "Plover"),
            ("Name of the station", "Bench 9"),
            ("Name of the camera map", "Left of the lamp"),
            ("Station it looks into", "Bench 2"),
            ("Width of its pictures, px", "640"),
            ("Height of its pictures, px", "480"),
        ] {
            if bench.window.query_all_by_label(name).next().is_some() {
                fill(&mut bench, name, text);
            }
        }
        if command == UiCommand::AddCamera {
            // Six of a perspective: one of them elsewhere in the picture is still a map.
            for (place, mark) in
                ["20 30 −8 6", "610 28 8 6", "612 450 8 −6", "25 455 −8 −6", "318 32 0 6"]
                    .into_iter()
                    .enumerate()
            {
                bench.press_anywhere("Add a mark");
                let names = [
                    "x in the picture, px",
                    "y in the picture, px",
                    "x on the graticule, divisions",
                    "y on the graticule, divisions",
                ];
                for (name, text) in names.into_iter().zip(mark.split(' ')) {
                    fill(&mut bench, &format!("Mark {}, {name}", place + 1), text);
                }
            }
        }
        if command == UiCommand::AddHousing {
            bench.press_anywhere("How the pods move: pods swing about hinges");
        }
        bench
    });
    let others = |name: &str| match name {
        _ if name.starts_with("Highest") => "20",
        _ if name.starts_with("Greatest") => "80",
        _ if name.starts_with("Parallax") => "1",
        _ => "10",
    };
    Screen { name: FORM, open, is_here: not_of_row, others, take: press("Keep") }
}

/// A calibration: the deviation is logged, the terms are signed.
fn finding() -> Screen {
    let open = Box::new(|home: &Path| {
        let mut bench = Bench::open(home, None);
        bench.keys(Modifiers::COMMAND, Key::K);
        bench.enter(UiCommand::FindMap.text());
        for (name, text) in
            [("What is shown", "wedge 12"), ("Certificate", "W-7"), ("Initials", "KT")]
        {
            fill(&mut bench, name, text);
        }
        bench
    });
    let take = Box::new(|bench: &mut Bench, name: &str| {
        let of_terms = name.starts_with("In common") || name.starts_with("A reading");
        bench.press_anywhere(if of_terms { "Sign and keep" } else { "Log deviation" });
    });
    Screen { name: "a calibration", open, is_here: not_of_row, others: |_| "1", take }
}

fn forms() -> [Screen; 4] {
    use UiCommand::{AddCamera, AddHousing, AddStation, AddWindow};
    [AddStation, AddWindow, AddHousing, AddCamera].map(form)
}

#[test]
fn what_a_shop_keeps_is_refused_where_it_cannot_be_read() {
    forms().iter().chain(&[finding()]).for_each(walk);
}

fn readings() -> [Screen; 4] {
    [entry_row(), differences_row(Shows::Relative), differences_row(Shows::Box), confirm()]
}

fn job() -> [Screen; 4] {
    [set_up(), looking(), own_remedy(Done::Shim), own_remedy(Done::TurnTube)]
}

fn upkeep_screens() -> [Screen; 3] {
    [check(), study_plan(), study_cell()]
}

fn practice_screens() -> [Screen; 3] {
    [practice_place("Start unit"), practice_place("Assign this unit"), virtual_rings()]
}

#[test]
fn readings_are_refused_where_they_cannot_be_read() {
    readings().iter().for_each(walk);
}

#[test]
fn the_job_and_what_is_done_to_a_unit_are_refused_where_they_cannot_be_read() {
    job().iter().for_each(walk);
}

#[test]
fn checks_and_studies_are_refused_where_they_cannot_be_read() {
    upkeep_screens().iter().for_each(walk);
}

#[test]
fn practice_is_refused_where_it_cannot_be_read() {
    practice_screens().iter().for_each(walk);
}

#[test]
fn what_is_explored_is_refused_where_it_cannot_be_read() {
    walk(&explored());
}

/// No field is left out: what any command shows, from each place, is walked above or is one for words.
#[test]
fn no_field_for_a_number_is_left_out() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    let (mut numbers, mut words) = (BTreeSet::new(), BTreeSet::new());
    for command in UiCommand::ALL {
        bench.give(command);
        numbers.extend(fields(&bench, &[Role::NumberInput]));
        words.extend(fields(&bench, &TEXTS));
        bench.key(Key::Escape);
    }
    let mut walked = BTreeSet::new();
    let screens = readings().into_iter().chain(job()).chain(upkeep_screens()).chain(forms());
    for screen in screens.chain(practice_screens()).chain([explored(), finding()]) {
        let home = tempfile::tempdir().unwrap();
        let bench = (screen.open)(home.path());
        let here = fields(&bench, &[Role::NumberInput]);
        walked.extend(here.into_iter().filter(|name| (screen.is_here)(name)));
        words.extend(fields(&bench, &TEXTS));
    }
    // Of a row that changes its channel the left one's fields are walked.
    let side = |names: BTreeSet<String>| -> BTreeSet<String> {
        names.iter().map(|name| name.trim_start_matches("right ").replace("left ", "")).collect()
    };
    let (numbers, walked) = (side(numbers), side(walked));
    let left_out: Vec<_> = numbers.difference(&walked).collect();
    assert!(left_out.is_empty(), "no walk above comes to {left_out:?}");
    let unknown: Vec<_> = words.iter().filter(|name| !WORDS.contains(&name.as_str())).collect();
    assert!(unknown.is_empty(), "for words or for a number? {unknown:?}");
}
