//! Confirm and sign, by keyboard only.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use record::fact::{Body, Lock, Purpose, Signed, SwingStop, Verdict};
use record::{SignatureState, review};
use samepoint::testing::{Check, Sheet, Tone};
use solver::Channel;

use crate::bench::Bench;
use crate::session::{log_eight, start};

/// As found and logged, and the row turned to confirm.
pub(crate) fn confirming(home: &std::path::Path) -> Bench {
    turn_to_confirm(start(home))
}

/// The same after a session was begun.
pub(crate) fn turn_to_confirm(mut bench: Bench) -> Bench {
    log_eight(&mut bench);
    bench.keys(Modifiers::COMMAND, Key::Num6);
    assert_eq!(bench.app().entry().purpose, Purpose::Confirm);
    bench
}

/// One reading of each channel, x y as left, a tenth of an arcminute off on the right.
fn both(bench: &mut Bench, x: &str, right_x: &str) {
    for x in [x, right_x] {
        bench.enter(x);
        bench.enter("21.6");
    }
}

fn check(bench: &Bench) -> Check {
    bench.app().confirming().check
}

/// Tightens both locks, or opens them, and says so.
fn say_lock(bench: &mut Bench) {
    bench.keys(Modifiers::COMMAND, Key::T);
}

fn say_reseated(bench: &mut Bench) {
    bench.keys(Modifiers::ALT, Key::R);
}

fn say_next_stop(bench: &mut Bench) {
    bench.keys(Modifiers::ALT, Key::S);
}

fn verdict(bench: &Bench) -> &'static str {
    bench.app().session().unwrap().confirm().verdict
}

/// The whole list, asked for in turn, to a looking test: dioptres, locks open, tight, reseated,
/// both stops of the swing.
pub(crate) fn confirm_all(bench: &mut Bench) {
    assert_eq!(check(bench), Check::Dioptres);
    bench.keys(Modifiers::COMMAND, Key::B);
    assert_eq!(check(bench), Check::Open);
    both(bench, "-14.6", "-14.4");
    assert_eq!(check(bench), Check::Tight, "the locks are asked to be tightened by itself");
    say_lock(bench);
    assert_eq!(verdict(bench), "not measured", "nothing is judged with open locks");
    both(bench, "-14.3", "-14.2");
    assert_eq!(check(bench), Check::Tight, "more than once");
    assert_eq!(verdict(bench), "pass");
    both(bench, "-14.2", "-14.1");
    assert_eq!(check(bench), Check::Reseated);
    say_reseated(bench);
    both(bench, "-14.4", "-14.1");
    assert_eq!(check(bench), Check::Narrow);
    say_next_stop(bench);
    both(bench, "-14.4", "-10.1");
    assert_eq!(check(bench), Check::Wide);
    say_next_stop(bench);
    both(bench, "-14.4", "-16.1");
    assert_eq!(check(bench), Check::Looked);
    bench.key(Key::F11);
    bench.type_text("200");
    bench.press("Fused");
    bench.press("Note it");
}

/// A pass is green while its station can be shown to read right; else it is a pass, and says what was not shown.
#[test]
fn a_pass_at_a_station_that_was_not_shown_to_read_right_is_not_green() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    confirm_all(&mut bench);
    let confirm = |bench: &Bench| bench.app().session().unwrap().confirm().clone();
    let shown = confirm(&bench);
    assert_eq!((shown.verdict, shown.tone, shown.marks.len()), ("pass", Tone::Good, 0));
    assert!(shown.chart.as_ref().unwrap().answered);
    let say_check = |bench: &mut Bench, said: &str| {
        bench.keys(Modifiers::COMMAND, Key::Num1);
        bench.press_anywhere(said);
        bench.press_anywhere("Change");
        bench.keys(Modifiers::COMMAND, Key::Num6);
    };
    say_check(&mut bench, "read wrong just now");
    let wrong = confirm(&bench);
    assert_eq!((wrong.verdict, wrong.tone), ("pass", Tone::Look));
    assert!(wrong.marks[0].contains("check") && bench.says(&wrong.marks[0]), "{:?}", wrong.marks);
    assert!(!wrong.chart.as_ref().unwrap().answered);
    assert!(wrong.elsewhere.iter().all(|(tone, _)| *tone != Tone::Good), "{:?}", wrong.elsewhere);
    bench.key(Key::Insert);
    let green = |(tone, _): &(Tone, String)| *tone == Tone::Good;
    assert!(!bench.app().glance().state.iter().any(green), "{:?}", bench.app().glance().state);
    bench.key(Key::Insert);
    say_check(&mut bench, "read right just now");
    assert_eq!(confirm(&bench), shown);
}

#[test]
fn the_checklist_fills_and_asks_by_itself() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    confirm_all(&mut bench);
    assert!(bench.app().confirming().lines.iter().all(|line| line.done));
    let session = bench.app().session().unwrap();
    let round = session.state().round().unwrap();
    let noted: Vec<_> = round
        .of(Channel::Right, Purpose::Confirm)
        .map(|entry| {
            let reading = &entry.reading;
            let dioptre = reading.dioptre.as_ref().map(record::Typed::text);
            (reading.lock, reading.reseated, reading.swing_stop, dioptre)
        })
        .collect();
    let (open, tight) = (Some(Lock::Before), Some(Lock::After));
    // The right channel is read second, in the same seating: the left one carries the reseating.
    assert_eq!(
        noted,
        [
            (open, false, None, Some("0")),
            (tight, false, None, Some("0")),
            (tight, false, None, Some("0")),
            (tight, false, None, Some("0")),
            (tight, false, Some(SwingStop::Narrow), Some("0")),
            (tight, false, Some(SwingStop::Wide), Some("0")),
        ]
    );
    let reseated = round.of(Channel::Left, Purpose::Confirm).filter(|e| e.reading.reseated);
    assert_eq!(reseated.count(), 1);
    // Nothing is left to say of careful work; the station was checked that morning.
    let confirm = session.confirm();
    // How far seatings scatter is seen where it was seated twice, and said not to be in the stops.
    assert_eq!((confirm.verdict, &confirm.marks), ("pass", &vec![]));
    let said = confirm.caveats.join(" ");
    assert_eq!(confirm.caveats.len(), 2, "{said}");
    for stop in ["not included at the narrow stop", "not included at the wide stop"] {
        assert!(said.contains(stop), "{said}");
    }
    // Left 0.3′ by tightening: −14.6 before, (−14.3 − 14.2)/2 = −14.25 after, before the reseating.
    assert!(confirm.shifts[0].contains("0.3′") || confirm.shifts[0].contains("0.4′"));
    for words in ["Verdict: pass", "both, at least", "as found", "as left"] {
        assert!(bench.says(words), "{words}");
    }
    assert!(bench.says("Misalignment against the window"));
}

/// Nothing blocks: the list is walked past, readings go in under what the hand says.
#[test]
fn the_checklist_never_blocks() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    for expected in [Check::Open, Check::Tight, Check::Reseated, Check::Narrow] {
        bench.keys(Modifiers::SHIFT, Key::F6);
        assert_eq!(check(&bench), expected);
    }
    // Walking past changes nothing that is recorded.
    let said = |bench: &Bench| {
        let confirming = bench.app().confirming();
        (confirming.lock, confirming.reseated, confirming.stop)
    };
    assert_eq!(said(&bench), (Some(Lock::Before), false, SwingStop::Working));
    for stop in [SwingStop::Narrow, SwingStop::Wide, SwingStop::Working] {
        say_next_stop(&mut bench);
        assert_eq!(bench.app().confirming().stop, stop);
    }
    say_lock(&mut bench);
    say_reseated(&mut bench);
    assert_eq!(said(&bench), (Some(Lock::After), true, SwingStop::Working));
    both(&mut bench, "-14.3", "5.8");
    // 20.1′ of divergence, 20′ allowed: one reading of each cannot tell.
    assert_eq!(verdict(&bench), "undecided");
    assert!(bench.says("would settle it"));
    let session = bench.app().session().unwrap();
    let sentences = session.confirm().caveats.join(" ");
    for limit in ["left dioptre was re-zeroed", "narrow stop", "wide stop", "looked through"] {
        assert!(sentences.contains(limit), "{limit}: {sentences}");
    }
    // Back to logging, the ring goes on where it left off.
    bench.key(Key::F4);
    bench.keys(Modifiers::COMMAND, Key::Num6);
    assert_eq!(bench.app().entry().ring.left, "");
}

/// What is asked for is not what was done: a reading taken without a hand's word is of the same
/// seating, place and lock as the one before, and what is asked for stays asked for.
#[test]
fn what_is_asked_for_is_not_recorded_by_itself() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    bench.keys(Modifiers::COMMAND, Key::B);
    both(&mut bench, "-14.6", "-14.4");
    // Asked to tighten; read on with open locks.
    assert_eq!(check(&bench), Check::Tight);
    both(&mut bench, "-14.6", "-14.4");
    assert_eq!(verdict(&bench), "not measured");
    say_lock(&mut bench);
    both(&mut bench, "-14.3", "-14.2");
    both(&mut bench, "-14.2", "-14.1");
    // Asked to reseat; one more of the same seating.
    assert_eq!(check(&bench), Check::Reseated);
    both(&mut bench, "-14.3", "-14.2");
    assert_eq!(check(&bench), Check::Reseated, "nobody said that it was reseated");
    let caveats = bench.app().session().unwrap().confirm().caveats.join(" ");
    assert!(caveats.to_lowercase().contains("seating repeatability not included"), "{caveats}");
    let last = |bench: &Bench| {
        let facts = bench.app().session().unwrap().file().facts();
        let Some(Body::Reading(reading)) = facts.last().map(|fact| fact.body.clone()) else {
            panic!()
        };
        (reading.lock, reading.reseated, reading.swing_stop)
    };
    assert_eq!(last(&bench), (Some(Lock::After), false, None));
    // Pressed as the hint asks, it is.
    say_reseated(&mut bench);
    bench.enter("-14.3");
    bench.enter("21.6");
    assert_eq!(last(&bench), (Some(Lock::After), true, None));
    assert!(bench.says("Left read: lock tight, reseated, dioptre at 0. Now the right channel."));
    bench.enter("-14.3");
    bench.enter("21.6");
    // Asked for the narrow stop; read on where it was set up.
    assert_eq!(check(&bench), Check::Narrow);
    both(&mut bench, "-14.4", "-14.1");
    assert_eq!((check(&bench), last(&bench).2), (Check::Narrow, None));
    // The next round knows nothing of it.
    bench.key(Key::F9);
    bench.press("Open round");
    let after = bench.app().confirming();
    assert_eq!((after.lock, after.dioptre.left.as_str()), (None, ""));
}

/// What the switches and fields say a reading is taken under, as a hand or a screen reader has it.
fn shown(bench: &Bench) -> String {
    let is = |name: &str| bench.window.query_by_label(name).is_some();
    let one = |names: &[&'static str]| {
        let there: Vec<_> = names.iter().copied().filter(|name| is(name)).collect();
        assert_eq!(there.len(), 1, "of {names:?} one is shown, not {there:?}");
        there.first().copied().unwrap_or_default()
    };
    let lock = one(&["lock open", "lock tight", "lock not noted"]);
    let seating = one(&["reseated", "not reseated"]);
    let stop = one(&["narrow stop", "as set up", "wide stop"]);
    let approach = one(&["Approach not noted", "Approach clockwise", "Approach counter-clockwise"]);
    let channel = bench.app().entry().channel;
    let name = format!("{channel} dioptre entry");
    let dioptre = bench.window.get_by_label(&name).value().unwrap_or_default();
    format!("{channel}, {lock}, {seating}, {stop}, {approach}, dioptre “{dioptre}”")
}

/// The same of a reading as recorded.
fn recorded(bench: &Bench) -> String {
    let facts = bench.app().session().unwrap().file().facts();
    let Some(Body::Reading(reading)) = facts.last().map(|fact| fact.body.clone()) else { panic!() };
    let record::Seen::Direction(seen) = &reading.seen else { panic!() };
    let lock = match reading.lock {
        None => "lock not noted",
        Some(Lock::Before) => "lock open",
        Some(Lock::After) => "lock tight",
    };
    let seating = if reading.reseated { "reseated" } else { "not reseated" };
    let stop = match reading.swing_stop {
        None => "as set up",
        Some(SwingStop::Narrow) => "narrow stop",
        Some(SwingStop::Wide) => "wide stop",
        Some(SwingStop::Working) => "working",
    };
    let approach = format!("Approach {}", seen.approach.word());
    let dioptre = reading.dioptre.as_ref().map_or("", record::Typed::text);
    format!("{}, {lock}, {seating}, {stop}, {approach}, dioptre “{dioptre}”", seen.channel)
}

/// Every combination of channel, lock, seating, stop, approach and dioptre, said by keys or by the
/// pointer: the fact is what the screen showed when Enter was pressed.
#[test]
fn what_is_recorded_is_what_the_screen_shows() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    let mut seen = std::collections::BTreeSet::new();
    for reading in 0..144_usize {
        let digit = |step: usize, of: usize| reading / step % of;
        // Approach, stop, lock, seating, dioptre: each stepped through at its own pace.
        if digit(1, 3) > 0 {
            bench.keys(Modifiers::COMMAND, Key::D);
        }
        if digit(3, 2) == 1 {
            say_next_stop(&mut bench);
        }
        if digit(2, 2) == 1 {
            say_lock(&mut bench);
        }
        if digit(5, 2) == 1 {
            let name = if bench.app().confirming().reseated { "reseated" } else { "not reseated" };
            bench.press(name);
        }
        if digit(7, 3) == 0 {
            bench.keys(Modifiers::COMMAND, Key::B);
        }
        if digit(11, 5) == 4 {
            bench.keys(Modifiers::SHIFT, Key::F6);
        }
        bench.type_text("-14.3");
        bench.key(Key::Enter);
        bench.type_text("21.6");
        let shown = shown(&bench);
        bench.key(Key::Enter);
        assert_eq!(recorded(&bench), shown, "reading {reading}");
        seen.insert(shown);
    }
    assert!(seen.len() > 50, "{} combinations", seen.len());
}

/// The looking test: double turns the pass into undecided, and says so.
#[test]
fn double_makes_a_pass_undecided() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    confirm_all(&mut bench);
    assert_eq!(verdict(&bench), "pass");
    bench.key(Key::F11);
    bench.press("Note it");
    assert!(bench.says("Say what was seen"));
    assert!(bench.says("do not walk or drive") || bench.says("Do not walk or drive"));
    bench.press("Double");
    bench.press("Note it");
    assert_eq!(verdict(&bench), "undecided");
    assert!(bench.says("The looking test showed double"));
}

/// Signing appends what was shown; the record closes; a new round opens it again.
#[test]
fn a_signature_closes_the_record() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    confirm_all(&mut bench);
    let numbers = record::conclude(bench.app().session().unwrap().state()).unwrap().numbers();
    bench.key(Key::F12);
    assert!(
        bench.says("Rule: guarded")
            && bench.says("Binoculars, apparent field")
            && bench.says("Bench 2")
    );
    // The statement stands there already; Enter signs.
    bench.key(Key::Enter);
    let session = bench.app().session().unwrap();
    let SignatureState::Signed(signature) = session.state().signature() else { panic!() };
    let Signed { verdict, numbers: stored, statement, .. } = &signature.signed;
    assert_eq!((*verdict, stored, signature.hand.as_str()), (Verdict::Pass, &numbers, "KT"));
    assert!(!statement.is_empty() && !signature.outdated);
    bench.wait_saved().unwrap();
    let session = bench.app().session().unwrap();
    let hash = session.file().last_hash();
    assert!(bench.says(&hash[..32]) && bench.says(&hash[32..]));
    assert!(bench.says("Keep a copy…"));
    // A review works it out again and agrees.
    let account = review(session.file().path(), &record::RealDisk).unwrap();
    assert_eq!((account.exit_code(), account.last_hash), (0, hash));

    // Closed: nothing is logged, withdrawn or undone.
    bench.key(Key::Escape);
    let facts = |bench: &Bench| bench.app().session().unwrap().file().facts().len();
    let before = facts(&bench);
    assert!(bench.says("the record is closed"));
    bench.enter("1");
    bench.enter("2");
    bench.keys(Modifiers::COMMAND, Key::Z);
    bench.key(Key::F11);
    assert_eq!(*bench.app().front(), Sheet::Clear);
    assert_eq!(facts(&bench), before);
    // A new round opens it, and what follows needs a new signature.
    bench.key(Key::F9);
    bench.press("Open round");
    bench.enter("1");
    bench.enter("2");
    assert_eq!(facts(&bench), before + 2);
    let session = bench.app().session().unwrap();
    let SignatureState::Signed(signature) = session.state().signature() else { panic!() };
    assert!(signature.outdated);
}

/// Without initials nobody signs.
#[test]
fn a_signature_names_its_hand() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    bench.key(Key::F12);
    bench.key(Key::Tab);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.key(Key::Backspace);
    bench.key(Key::Enter);
    assert!(bench.says("Give your initials"));
    // Not measured can be signed too: it is what there is to say.
    bench.enter("RB");
    let session = bench.app().session().unwrap();
    let last = &session.file().facts().last().unwrap();
    assert!(matches!(&last.body, Body::Signed(signed) if signed.verdict == Verdict::NotMeasured));
    assert_eq!(last.hand, "RB");
}

/// After any run of commands the screen shows what the facts come to.
#[test]
fn the_fold_equals_the_screen() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    let commands: [(Modifiers, Key); 18] = [
        (Modifiers::COMMAND, Key::Num6),
        (Modifiers::SHIFT, Key::F6),
        (Modifiers::COMMAND, Key::T),
        (Modifiers::ALT, Key::R),
        (Modifiers::ALT, Key::S),
        (Modifiers::COMMAND, Key::B),
        (Modifiers::COMMAND, Key::Z),
        (Modifiers::COMMAND, Key::Y),
        (Modifiers::NONE, Key::F4),
        (Modifiers::NONE, Key::F11),
        (Modifiers::NONE, Key::F12),
        (Modifiers::NONE, Key::Escape),
        (Modifiers::NONE, Key::F2),
        (Modifiers::NONE, Key::F3),
        (Modifiers::COMMAND, Key::Num5),
        (Modifiers::ALT, Key::ArrowDown),
        (Modifiers::ALT, Key::Enter),
        (Modifiers::COMMAND, Key::Enter),
    ];
    // A linear congruence: the same run every time (Knuth, MMIX constants).
    let mut seed = 20_261_125_u64;
    for _ in 0..160 {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        let draw = (seed >> 33) as usize;
        if draw.is_multiple_of(2) && *bench.app().front() == Sheet::Clear {
            bench.enter(&format!("-{}.{}", 13 + draw / 2 % 3, draw / 6 % 10));
            bench.enter("21.5");
        } else {
            let (modifiers, key) = commands[draw / 2 % commands.len()];
            bench.keys(modifiers, key);
        }
    }
    let session = bench.app().session().unwrap();
    let folded = record::fold(session.file().facts());
    assert_eq!(session.state(), &folded);
    let shown = samepoint::testing::ConfirmView::new(
        &record::Derived::of(&folded),
        session.picture().solution.as_ref(),
        record::Beside::of(session.file().path()).as_ref(),
    );
    assert_eq!(session.confirm(), &shown);
    let rows = &session.rows();
    let shown: usize = rows.iter().map(|(_, rows)| rows.len()).sum();
    assert_eq!(shown, folded.round().unwrap().readings.len());
    let all = folded.rounds.iter().flat_map(record::Round::in_use);
    assert!(all.filter(|e| e.reading.purpose == Purpose::Confirm).count() > 5);
}

/// While rings are set their targets stay in sight, and each reading says how far it is from what was
/// predicted; one 8.5′ off its own circle is pointed at where it was read.
#[test]
fn each_confirm_reading_says_how_far_off_it_is() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    let session = bench.app().session().unwrap();
    let setting = session.picture().setting.unwrap();
    for channel in Channel::BOTH {
        let target = paper::words::ring(setting.ring_deg[channel].unwrap(), 1.0);
        assert!(bench.says(&target), "{channel}: {target}");
    }
    assert!(bench.says("will read") && bench.says("Verdict: not measured"));
    bench.keys(Modifiers::COMMAND, Key::B);
    // The left circle of these readings is about (10, 4), 30′ wide: 8.5′ outwards of its crossing.
    let at = setting.points.left;
    let centre = solver::Direction::new(10.0, 4.0);
    let out = at - centre;
    let off = at + out * (8.5 / out.boresight_arcmin());
    bench.enter(&format!("{:.1}", off.x_arcmin));
    bench.enter(&format!("{:.1}", off.y_arcmin));
    assert!(bench.says("outside its own circle"));
    let notice = bench.app().notice().unwrap_or_default();
    assert!(notice.contains("Off by") && notice.contains("more than is explained"), "{notice}");
    let [line] = bench.app().session().unwrap().confirm().off_by.as_slice() else { panic!() };
    // In tenths as typed, and the demo's readings are scattered by a few tenths.
    let across: f64 = line.cells[0].parse().unwrap();
    assert!((across - 8.5).abs() < 0.6, "{line:?}");
    // The reading that ends a line of the checklist says it too.
    bench.enter(&format!("{:.1}", setting.points.right.x_arcmin));
    bench.enter(&format!("{:.1}", setting.points.right.y_arcmin));
    assert_eq!(check(&bench), Check::Tight);
    let notice = bench.app().notice().unwrap_or_default();
    assert!(notice.contains("Off by") && !notice.contains("explained"), "{notice}");
}

/// While a stop is asked for, the targets stay in sight, with what is to be read there and what where the unit was
/// set up; a reading at a stop is not where a ring is.
#[test]
fn a_stop_keeps_targets_and_says_what_is_read_there() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    bench.keys(Modifiers::COMMAND, Key::B);
    let before = bench.app().session().unwrap().picture().rings.clone();
    for _ in 0..2 {
        say_next_stop(&mut bench);
        for channel in Channel::BOTH {
            let samepoint::testing::Target::Ring(target) = &before[channel].target else {
                panic!("{:?}", before[channel].target)
            };
            assert!(bench.says(target), "{channel}");
        }
        // This session does not say the interpupillary distance: what a swing does is not known, and said so.
        let stop = bench.app().confirming().stop_words();
        assert!(
            bench.says(&format!("where it was set up; at the {stop} that is not known")),
            "{stop}"
        );
    }
    let place = bench.app().session().unwrap().picture().place;
    bench.enter("1");
    bench.enter("2");
    assert_eq!(bench.app().session().unwrap().picture().place, place);
    assert_eq!(bench.app().session().unwrap().picture().rings, before);
}

/// Whoever signs has what limits the verdict in sight before Enter, at the smallest usual window too.
#[test]
fn what_limits_the_verdict_is_in_sight_before_signing() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    confirm_all(&mut bench);
    bench.key(Key::F12);
    assert!(bench.says("You declare"));
    let caveat = bench.app().session().unwrap().confirm().caveats.first().unwrap().clone();
    let places: Vec<_> = bench.window.query_all_by_label(&caveat).map(|node| node.rect()).collect();
    let sign = bench.window.query_all_by_label_contains("Sign “").next().unwrap().rect();
    assert!(
        places.iter().any(|at| at.min.y >= 0.0 && at.max.y <= sign.min.y),
        "{caveat}: {places:?}, the button at {sign:?}"
    );
}
