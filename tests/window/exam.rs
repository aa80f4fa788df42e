//! An examination: whatever a trainee opens while it is sat, nothing tells the answer; a remedy is the
//! trainee's own; a unit that was seen is no examination.

use std::collections::BTreeSet;

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use paper::words;
use record::Value;
use record::fact::{Body, Purpose, Remedy};
use record::practice::Grade;
use samepoint::testing::{Aim, OpenSession, Place, Tone, UiCommand};
use solver::{Channel, Misalignment};

use crate::bench::Bench;
use crate::layout::everything_fits;
use crate::practice::{begin, log_round, read, session, to_practice, turn_to, unit};
use crate::whole_unit::tab_to;

/// Begins a unit as an examination.
fn sit(bench: &mut Bench, grade: Grade, number: u64) {
    to_practice(bench);
    bench.press("As an examination");
    begin(bench, grade, number);
}

/// As found, a round of both channels, and the unit confirmed with tight locks.
fn work(bench: &mut Bench) {
    read(bench);
    read(bench);
    bench.keys(Modifiers::COMMAND, Key::T);
    bench.keys(Modifiers::COMMAND, Key::J);
    log_round(bench);
    for channel in Channel::BOTH {
        turn_to(bench, channel, 211.0);
    }
    bench.keys(Modifiers::COMMAND, Key::Num6);
    bench.keys(Modifiers::COMMAND, Key::T);
    for _ in 0..4 {
        read(bench);
    }
}

/// Everything that is said: what assistive technology hears, and what the plot says under a pointer.
fn said(bench: &Bench) -> String {
    let mut said = String::new();
    for node in bench.window.query_all_by(|_| true) {
        let node = node.accesskit_node();
        let texts = [node.label(), node.value(), node.description()];
        for text in texts.into_iter().flatten() {
            said.push_str(&text);
            said.push('\n');
        }
    }
    for item in session(bench).picture().scene.items() {
        said.push_str(&item.told.words());
        said.push('\n');
    }
    said.replace('\u{a0}', " ")
}

/// Whether a line is about something else than what was read: where a virtual ring stands just now, or
/// another unit of the shop.
fn is_of_another(line: &str) -> bool {
    ["left ring, ", "right ring, "].iter().any(|ring| line.starts_with(ring))
        || line.contains(", housing ")
}

/// Whether a number stands in a text by itself, and not as a part of another.
fn stands_in(number: &str, text: &str) -> bool {
    text.match_indices(number).any(|(at, _)| {
        let before = text[..at].chars().next_back();
        let behind = text[at + number.len()..].chars().next();
        let inner = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit() || c == '.' || c == '−');
        !inner(before) && !inner(behind)
    })
}

/// The numbers that answer: where each ring goes, where the circles cross and how far out, misalignment and
/// window use there, as found and as confirmed; worked out here, from what was read.
fn answers(open: &OpenSession) -> BTreeSet<String> {
    let state = open.state();
    let round = state.round().unwrap();
    let problem = state.problem_as_read(round.id).unwrap();
    let solution = solver::solve(&problem).unwrap();
    let window = problem.window.unwrap();
    let mut answers = BTreeSet::new();
    for crossing in solution.meeting.unwrap().crossings() {
        answers.insert(words::direction(crossing.point));
        answers.insert(words::arcmin(crossing.boresight_arcmin));
        for channel in Channel::BOTH {
            answers.insert(words::ring(crossing.ring_deg[channel].unwrap(), 1.0));
        }
    }
    let setting = solution.setting.unwrap();
    answers.extend(Channel::BOTH.map(|of| words::ring(setting.ring_deg[of].unwrap(), 1.0)));
    for purpose in [Purpose::AsFound, Purpose::Confirm] {
        let mean = |channel| {
            let entries = state.rounds.iter().flat_map(|round| round.of(channel, purpose));
            let points: Vec<_> = entries
                .filter_map(|entry| match entry.value {
                    Some(Value::Direction { direction, .. }) => Some(direction),
                    _ => None,
                })
                .collect();
            let sum = points.iter().skip(1).fold(points[0], |sum, point| sum + *point);
            sum * (1.0 / points.len() as f64)
        };
        let (left, right) = (mean(Channel::Left), mean(Channel::Right));
        answers.insert(words::misalignment(Misalignment::between(left, right)));
        answers.insert(words::percent(window.used_by(left, right).worst()));
        answers.insert(words::arcmin(left.midpoint(right).boresight_arcmin()));
    }
    answers
}

/// Commands that would end the round whose answer is looked for, or take readings away, or after which
/// nothing is added before somebody says who is at the bench.
const END_THE_ROUND: [UiCommand; 8] = [
    UiCommand::Who,
    UiCommand::Undo,
    UiCommand::Redo,
    UiCommand::Reseated,
    UiCommand::DioptreMoved,
    UiCommand::EyepieceOut,
    UiCommand::StationZeroed,
    UiCommand::Log,
];

/// Runs a command from the list of commands.
fn run(bench: &mut Bench, command: UiCommand) {
    bench.give(command);
}

/// Every command of the table, from every one of the steps, and every button that then is in sight to open
/// more: none tells an answer before the signature, and all are told after it.
#[test]
fn nothing_that_can_be_opened_answers_before_the_signature() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    sit(&mut bench, Grade::Second, 6);
    work(&mut bench);
    let answers = answers(session(&bench));
    let readings = session(&bench).state().readings_in_use();
    let mut told: Vec<String> = Vec::new();
    let mut look = |bench: &Bench, at: &str| {
        let text = said(bench);
        let lines: Vec<_> = text.lines().filter(|line| !is_of_another(line)).collect();
        let text = lines.join("\n");
        let of = answers.iter().filter(|answer| stands_in(answer, &text));
        told.extend(of.map(|answer| {
            let line = text.lines().find(|line| stands_in(answer, line)).unwrap_or_default();
            format!("{at}: {answer} in “{line}”")
        }));
    };
    for step in [UiCommand::Logging, UiCommand::Confirm, UiCommand::Remedies] {
        for command in UiCommand::ALL {
            if END_THE_ROUND.contains(&command) {
                continue;
            }
            run(&mut bench, step);
            look(&bench, step.text());
            run(&mut bench, command);
            look(&bench, &format!("{} from {}", command.text(), step.text()));
            for _ in 0..2 {
                bench.key(Key::Escape);
            }
            look(&bench, &format!("after {}", command.text()));
        }
    }
    assert!(told.is_empty(), "{} times: {told:#?}", told.len());
    assert_eq!(session(&bench).state().readings_in_use(), readings, "the round is as it was");
    for view in [UiCommand::ViewRingMap, UiCommand::ViewSwing, UiCommand::ViewSources] {
        run(&mut bench, view);
        assert_eq!(bench.app().notice(), Some(record::practice::WITHHELD), "{view:?}");
    }

    // The very same numbers are there to be told once it is signed.
    run(&mut bench, UiCommand::Sign);
    bench.press("your verdict: fail");
    bench.press("Sign “fail”");
    bench.wait_saved().unwrap();
    let mut after = String::new();
    for command in [UiCommand::ToBench, UiCommand::ViewField, UiCommand::Meet, UiCommand::Confirm] {
        run(&mut bench, command);
        after += &said(&bench);
    }
    let kept: Vec<_> = answers.iter().filter(|answer| !stands_in(answer, &after)).collect();
    assert!(kept.len() * 3 <= answers.len(), "of {answers:?} these are never told: {kept:?}");
}

/// Bench mode withholds what an examination does, reading by reading: no target, no other ring, nothing off, no
/// verdict and no green, in what it shows and in what is heard of it.
#[test]
fn bench_mode_tells_no_answer_either() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    sit(&mut bench, Grade::Second, 6);
    let mut seen: Vec<String> = Vec::new();
    let mut look = |bench: &mut Bench| {
        let before = bench.app().entry().channel;
        bench.key(Key::Insert);
        for channel in ["l", "r"] {
            bench.type_text(channel);
            let told = bench.app().glance();
            // A place to read next is the entry row's own; while confirming there is none.
            if let Aim::Place { lines, beside, .. } = &told.aim {
                assert_eq!(bench.app().entry().purpose, Purpose::Log);
                let row = bench.app().entry().ring[told.channel].clone();
                assert_eq!(lines, &[format!("{row}°")], "{told:?}");
                assert_eq!(beside, "the place to read next, as the entry row has it");
            }
            assert_eq!(told.other, None, "{told:?}");
            if let Some(off) = &told.off {
                assert!(off.name.contains(" reading ") && !off.name.contains("off"), "{told:?}");
                assert!(off.xy.iter().all(|text| !text.contains('±')), "{told:?}");
            }
            for (tone, text) in &told.state {
                assert_eq!(*tone, Tone::Plain, "{told:?}");
                let words = text.to_lowercase();
                let verdict = ["pass", "fail", "undecided", "inside", "outside", "fit"]
                    .into_iter()
                    .find(|word| words.contains(word));
                assert_eq!(verdict, None, "{told:?}");
            }
            seen.push(said(bench));
        }
        bench.type_text(&before.word()[..1]);
        bench.key(Key::Insert);
        assert!(!bench.app().bench_mode());
    };
    look(&mut bench);
    read(&mut bench);
    read(&mut bench);
    bench.keys(Modifiers::COMMAND, Key::T);
    bench.keys(Modifiers::COMMAND, Key::J);
    log_round(&mut bench);
    look(&mut bench);
    for channel in Channel::BOTH {
        turn_to(&mut bench, channel, 211.0);
    }
    bench.keys(Modifiers::COMMAND, Key::Num6);
    look(&mut bench);
    bench.keys(Modifiers::COMMAND, Key::T);
    for _ in 0..4 {
        read(&mut bench);
        look(&mut bench);
    }
    // The numbers that answer are known only now that all of it is read: none of them stood there.
    let answers = answers(session(&bench));
    for text in &seen {
        for line in text.lines().filter(|line| !is_of_another(line)) {
            let told = answers.iter().find(|answer| stands_in(answer, line));
            assert_eq!(told, None, "{line}");
        }
    }
    assert!(seen.iter().any(|text| text.contains(record::practice::WITHHELD)));
}

/// A remedy in an examination is chosen from what the seats take; nothing is listed or predicted, and the
/// next round opens.
#[test]
fn a_remedy_is_the_trainees_own() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    sit(&mut bench, Grade::Third, 1);
    read(&mut bench);
    read(&mut bench);
    bench.keys(Modifiers::COMMAND, Key::Num5);
    everything_fits(&bench, vec2(1280.0, 800.0), "a remedy of one's own");
    bench.keys(Modifiers::ALT, Key::Enter);
    assert!(bench.says("Say what you do"), "{:?}", bench.app().notice());
    bench.press_anywhere("Shims");
    bench.keys(Modifiers::ALT, Key::Enter);
    assert!(bench.says("Choose how thick a shim is to be."));
    bench.press_anywhere("right tube, shim 0.07 mm");
    bench.press_anywhere("right shim, full length");
    bench.press_anywhere("right shim at clock 135°");
    everything_fits(&bench, vec2(1280.0, 800.0), "a shim of one's own");
    let rounds = session(&bench).state().rounds.len();
    bench.keys(Modifiers::ALT, Key::Enter);
    let state = session(&bench).state();
    assert_eq!(state.rounds.len(), rounds + 1);
    let taken = session(&bench).file().facts().iter().find_map(|fact| match &fact.body {
        Body::RemedyTaken(taken) => Some(taken.clone()),
        _ => None,
    });
    let taken = taken.unwrap();
    assert_eq!(taken.prediction, None);
    let Remedy::Shim(shims) = taken.remedy else { panic!("{:?}", taken.remedy) };
    // 0.05 + 0.02: the fewest leaves, thickest first.
    assert_eq!((shims[0].channel, shims[0].shim.clock_deg), (Channel::Right, 135.0));
    assert_eq!(shims[0].shim.leaves_mm, [0.05, 0.02]);
    assert_eq!(state.unit().unwrap().shims.right.len(), 1);
    assert!(unit(&bench).is_sat());
}

/// A unit that was practised is refused as an examination, and one that is being sat is not practised; other
/// initials are asked no more.
#[test]
fn an_examination_takes_a_unit_that_was_not_met() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    begin(&mut bench, Grade::First, 31);
    read(&mut bench);
    bench.wait_saved().unwrap();
    let ask = |bench: &mut Bench, number: &str, hand: &str| {
        to_practice(bench);
        for (name, text) in [("Unit number", number), ("Hand", hand)] {
            tab_to(bench, name);
            bench.keys(Modifiers::COMMAND, Key::A);
            bench.type_text(text);
        }
        bench.press("Start unit");
    };
    to_practice(&mut bench);
    bench.press("As an examination");
    ask(&mut bench, "31", "kt");
    assert!(bench.says("An examination wants a unit that you have not met: KT in practice"));
    everything_fits(&bench, vec2(1280.0, 800.0), "a unit that was met");
    // Another hand may sit it.
    ask(&mut bench, "31", "AB");
    assert_eq!(bench.app().place(), Place::Bench);
    bench.wait_saved().unwrap();
    ask(&mut bench, "31", "AB");
    assert!(bench.says("Begun already: AB as an examination"));
    // While it is sat nobody has its truth told by practising it.
    bench.press("As an examination");
    ask(&mut bench, "31", "CD");
    assert!(bench.says("This unit is being sat: AB as an examination"));
    // Nor what is assigned as an examination.
    bench.press("As an examination");
    tab_to(&mut bench, "Unit number");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text("32");
    tab_to(&mut bench, "Trainee");
    bench.type_text("CD");
    bench.press_anywhere("Assign this unit");
    bench.press("As an examination");
    ask(&mut bench, "32", "CD");
    assert!(bench.says("assigned to you as an examination"));
}

/// What was hidden opens at its head: the total is in sight, also where the sheet before, or this one the last
/// time, was scrolled to its end.
#[test]
fn what_was_hidden_opens_at_its_head() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    sit(&mut bench, Grade::Second, 6);
    work(&mut bench);
    run(&mut bench, UiCommand::Sign);
    bench.press("your verdict: fail");
    bench.press("Sign “fail”");
    bench.wait_saved().unwrap();
    let path = session(&bench).file().path().to_owned();
    drop(bench);
    let mut bench = Bench::open_sized(home.path(), Some(path), vec2(640.0, 480.0), 1.0);
    let head = |bench: &Bench| {
        let total = bench.window.get_by_label_contains("Exam unit 6").rect();
        total.min.y
    };
    bench.keys(Modifiers::ALT, Key::W);
    let first = head(&bench);
    assert!((0.0..300.0).contains(&first), "its head stands at {first}");
    // The keyboard at the last button brings the end into sight.
    bench.focus("To practice");
    bench.rest();
    let gone = bench.window.query_by_label_contains("Exam unit 6").map(|node| node.rect().min.y);
    assert!(gone.is_none_or(|y| y < first - 50.0), "it was not scrolled: {gone:?}");
    bench.key(Key::Escape);
    bench.keys(Modifiers::ALT, Key::W);
    assert_eq!(head(&bench), first);
}

/// An instructor finds files of practice in the shop: how many, by whom, each to be looked over; while it is sat
/// an examination is looked over without its answers.
#[test]
fn the_shop_lists_its_practice() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    sit(&mut bench, Grade::Second, 6);
    work(&mut bench);
    bench.wait_saved().unwrap();
    let answers = answers(session(&bench));
    bench.keys(Modifiers::ALT, Key::H);
    bench.wait_read();
    assert!(bench.says("sessions · 1 of practice left out"));
    bench.press_anywhere_first("Practice");
    assert_eq!(bench.app().place(), Place::Shop);
    assert!(bench.says("1 file of practice: 0 signed, 1 not signed, 0 passed over."));
    assert!(bench.says("KT: 0 units signed, 0 of them sat as examinations, 1 not signed."));
    everything_fits(&bench, vec2(1280.0, 800.0), "the shop's practice");
    let button = bench.window.get_by_label_contains("Look over ");
    button.click_accesskit();
    bench.rest();
    assert_eq!(bench.app().place(), Place::Review);
    let text = said(&bench);
    for answer in &answers {
        let line = text.lines().find(|line| stands_in(answer, line) && !is_of_another(line));
        assert_eq!(line, None, "{answer}");
    }
}
