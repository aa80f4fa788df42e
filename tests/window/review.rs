//! Review: a session is stepped through, supposed otherwise, laid beside another, answered; and nothing
//! but an answer is ever written.

use std::path::{Path, PathBuf};

use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use record::fact::{Body, Verdict};
use record::{AnswerKind, RealDisk, SignatureState, review};
use samepoint::testing::{Check, Place, Reviewed, Work};
use solver::Channel;

use crate::bench::Bench;
use crate::confirm::{confirm_all, confirming};
use crate::layout::everything_fits;

/// A unit signed as a pass by KT, with one reading withdrawn on the way; the bench at review.
pub(crate) fn signed(home: &Path) -> Bench {
    let mut bench = confirming(home);
    confirm_all(&mut bench);
    bench.key(Key::F12);
    bench.key(Key::Enter);
    bench.wait_saved().unwrap();
    bench.key(Key::Escape);
    bench.keys(Modifiers::ALT, Key::V);
    assert_eq!(bench.app().place(), Place::Review);
    bench
}

pub(crate) fn open(bench: &Bench) -> &Reviewed {
    bench.app().places().review.open.as_ref().expect("a session is looked over")
}

fn bytes(path: &Path) -> Vec<u8> {
    std::fs::read(path).unwrap()
}

#[test]
fn a_session_is_stepped_through_and_nothing_is_written() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = signed(home.path());
    let path = open(&bench).path.clone();
    let before = bytes(&path);
    assert!(bench.says("The readings give “pass”. What was stored follows from the readings."));
    assert!(bench.says("Signed “pass” by KT"));
    let last = open(&bench).last();
    assert_eq!(open(&bench).at(), last);
    // Back to the first fact: nothing is read yet; on to where both circles are known.
    bench.key(Key::Home);
    assert_eq!(open(&bench).at(), 1);
    assert!(open(&bench).stage.state.rounds.is_empty());
    assert!(bench.says("fact 1 of"));
    let circles = |bench: &Bench| {
        let solution = open(bench).stage.picture.solution.as_ref();
        solution.is_some_and(|solution| solution.both_fits().is_some())
    };
    let mut first_met = None;
    while open(&bench).at() < last {
        bench.key(Key::ArrowDown);
        if circles(&bench) {
            first_met = Some(open(&bench).at());
            break;
        }
    }
    // Two angles of each channel make a circle each: what stands there is the fold to that fact.
    let met = first_met.expect("both circles form");
    let state = record::fold_to(open(&bench).facts(), met);
    assert_eq!(open(&bench).stage.state, state);
    let logged = |channel: Channel| state.rounds[0].fitted(channel).count();
    assert_eq!((logged(Channel::Left), logged(Channel::Right)), (4, 2));
    bench.key(Key::End);
    assert_eq!(open(&bench).at(), last);
    // By the buttons, by a fact, by the slider.
    bench.press("One fact back");
    assert_eq!(open(&bench).at(), last - 1);
    bench.press("One fact on");
    let line = open(&bench).lines[4].clone();
    let (day, time) = (line.time.date(), line.time.time_of_day());
    let told = format!("{} · {day} {time} {} · ", line.seq, line.hand);
    let lines = bench.window.query_all_by_label_contains(&told);
    let label = |node: &egui_kittest::Node<'_>| node.accesskit_node().label().unwrap_or_default();
    lines.into_iter().find(|node| label(node).starts_with(&told)).unwrap().click_accesskit();
    bench.rest();
    assert_eq!(open(&bench).at(), 5);
    bench.window.get_by_label("Fact looked at").focus();
    bench.key(Key::ArrowRight);
    assert_eq!(open(&bench).at(), 6, "an arrow moves the slider by a fact");
    assert_eq!(bytes(&path), before, "looking writes nothing");
}

#[test]
fn what_if_is_worked_out_and_never_stored() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = signed(home.path());
    let path = open(&bench).path.clone();
    let before = bytes(&path);
    bench.press("What if");
    assert!(bench.says("Nothing is supposed."));
    bench.press("Simple rule");
    assert!(bench.says("If the rule were simple, the verdict would still be pass."));
    assert!(bench.says("Supposed, not on record."));
    // What that does to units as the shop makes them stands beside, once its sessions are read.
    let begun = std::time::Instant::now();
    while bench.app().places().shop.reading.is_going_on() {
        assert!(
            begun.elapsed() < std::time::Duration::from_secs(60),
            "the sessions are never read"
        );
        std::thread::sleep(std::time::Duration::from_millis(5));
        bench.rest();
    }
    let risk = open(&bench).risk.clone();
    let survey = bench.app().places().shop.survey.as_ref().expect("the shop is read");
    let found = survey.risk_for(&open(&bench).stage.state).unwrap();
    assert_eq!(risk, format!("In this shop: {}", found.words()));
    assert!(risk.contains("(simple rule)") && risk.contains("signed unit"), "{risk}");
    assert!(bench.says(&risk));
    bench.press("As it is");
    assert!(bench.says("Nothing is supposed.") && open(&bench).risk.is_empty());
    // Another window of the shop, worked out by the record's own what-if.
    bench.press("Supposed window");
    bench.press_anywhere("Strict window");
    let state = &open(&bench).account.session;
    let supposed = open(&bench).supposing.window.clone().unwrap();
    let supposing = record::Supposition { window: Some(supposed), ..Default::default() };
    let then = record::what_if(state, &supposing).unwrap();
    let verdict = then.conclusion.as_ref().unwrap().verdict.word();
    let now = record::conclude(state).unwrap().verdict.word();
    let told = if verdict == now {
        format!("If the window were Strict window, the verdict would still be {verdict}.")
    } else {
        format!(
            "If the window were Strict window, the verdict would be {verdict} instead of {now}."
        )
    };
    assert!(bench.says(&told), "{}", open(&bench).supposed);
    bench.press("As it is");
    // Without any confirm reading of the left channel nothing is measured.
    let facts = open(&bench).facts().to_vec();
    let lines = open(&bench).lines.clone();
    let mut left_out = 0;
    for (fact, line) in facts.iter().zip(&lines) {
        let Body::Reading(reading) = &fact.body else { continue };
        if reading.purpose == record::fact::Purpose::Confirm
            && reading.channel() == Some(Channel::Left)
        {
            bench.press_anywhere(&format!("{} · {}", line.seq, line.words));
            left_out += 1;
        }
    }
    assert!(left_out > 4, "{left_out} readings");
    assert!(bench.says("instead of pass."), "{}", open(&bench).supposed);
    assert_eq!(bytes(&path), before, "supposing writes nothing");
    // Stepping ends it.
    bench.press("Account");
    bench.key(Key::ArrowUp);
    assert!(open(&bench).supposing.is_nothing());
}

#[test]
fn a_supervisor_countersigns_or_returns() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = signed(home.path());
    let path = open(&bench).path.clone();
    bench.press("Answer");
    assert!(!bench.says("You signed this yourself"), "nobody’s initials stand there");
    let bench_hand = bench.app().preferences().hand.clone();
    let hand = |bench: &mut Bench, initials: &str| {
        bench.fill("Supervisor", initials);
    };
    let signer = open(&bench).account.signature().unwrap().hand.clone();
    bench.press("Countersign");
    assert!(bench.says("Type the initials of whoever answers, under Supervisor."));
    hand(&mut bench, &signer);
    assert!(bench.says("You signed this yourself: somebody else should answer for it."));
    hand(&mut bench, "MB");
    assert!(!bench.says("You signed this yourself"));
    // A return needs a comment.
    bench.press("Return with comment");
    assert!(bench.says("Say what is to be done: a return needs a comment."));
    bench.focus("Comment");
    bench.type_text("read the right channel once more");
    let hash_before = open(&bench).account.last_hash.clone();
    bench.press("Return with comment");
    assert!(bench.says("Returned. The technician sees it when the shop is opened."));
    let answer = |path: &Path| {
        let account = review(path, &RealDisk).unwrap();
        let SignatureState::Signed(signature) = account.session.signature() else { panic!() };
        let answer = signature.answer.clone().unwrap();
        (answer.hand, answer.kind)
    };
    let (by, kind) = answer(&path);
    assert_eq!(by, "MB");
    assert!(
        matches!(&kind, AnswerKind::Returned(it) if it.comment == "read the right channel once more")
    );
    // The technician is told on opening the shop, in words and by a mark that stays.
    drop(bench);
    let folder = path.parent().unwrap().parent().unwrap().to_owned();
    let mut bench = Bench::open(home.path(), Some(folder));
    // One more is planted in the demo shop.
    assert!(bench.says("Go to, 2 sessions returned"));
    let told = &bench.app().places().shop.returned;
    let here = told.iter().find(|one| one.unit == "0171").unwrap();
    assert_eq!((here.by.as_str(), here.signed_by.as_str()), ("MB", signer.as_str()));
    assert_eq!(here.comment, "read the right channel once more");
    assert!(bench.says("Returned by MB: 0171 and 1 more."), "what this hand signed comes first");
    bench.keys(Modifiers::ALT, Key::V);
    // What was returned may be countersigned after all; it carries the last line it was looked at with.
    assert_eq!(open(&bench).path, path, "the newest session is the one returned");
    let hash = open(&bench).account.last_hash.clone();
    assert_ne!(hash, hash_before);
    bench.press("Answer");
    // Nor do the last answer's.
    bench.press("Countersign");
    assert!(bench.says("Type the initials of whoever answers, under Supervisor."));
    hand(&mut bench, "MB");
    bench.press("Countersign");
    assert_eq!(bench.app().preferences().hand, bench_hand, "the bench keeps its own hand");
    let (_, kind) = answer(&path);
    assert!(matches!(&kind, AnswerKind::Countersigned(it) if it.last_hash == hash));
    assert!(bench.says("Countersigned."));
    let account = review(&path, &RealDisk).unwrap();
    assert_eq!(account.verdict(), Some(Verdict::Pass));
    assert_eq!(account.exit_code(), 0);
}

/// Whoever has the session at the bench cannot miss that it came back, nor why, until it is signed anew.
#[test]
fn what_came_back_is_told_until_it_is_signed_anew() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = signed(home.path());
    let path = open(&bench).path.clone();
    bench.press("Answer");
    bench.fill("Supervisor", "MB");
    bench.focus("Comment");
    bench.type_text("read the right channel once more");
    bench.press("Return with comment");
    drop(bench);
    let mut bench = Bench::open(home.path(), Some(path));
    let told = |bench: &Bench| {
        bench.says("MB returned this session on")
            && bench.says("“read the right channel once more”. A new signature answers it.")
    };
    assert!(told(&bench));
    everything_fits(&bench, vec2(1280.0, 800.0), "a returned session");
    bench.key(Key::F12);
    assert!(told(&bench), "and again where it is signed");
    bench.key(Key::Escape);
    // The supervisor and the technician find it first among what is to be looked at.
    bench.keys(Modifiers::ALT, Key::H);
    bench.wait_read();
    bench.press("To look at");
    assert!(bench.says("Sent back, to be signed anew"));
    assert!(
        bench.says("0171, signed by KT, returned by MB today: “read the right channel once more”.")
    );
    bench.keys(Modifiers::ALT, Key::B);
    bench.key(Key::F12);
    bench.key(Key::Enter);
    bench.wait_saved().unwrap();
    bench.key(Key::Escape);
    assert!(!told(&bench), "it is signed anew");
}

#[test]
fn a_verdict_is_checked_blind() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = signed(home.path());
    let path = open(&bench).path.clone();
    bench.press("Answer");
    bench.press_anywhere("Confirm it blind…");
    assert_eq!(bench.app().place(), Place::Bench);
    let blind = bench.app().session().unwrap().file().path().to_owned();
    assert_ne!(blind, path);
    let state = bench.app().session().unwrap().state();
    assert!(state.rounds.iter().all(|round| round.readings.is_empty()), "nothing is shown");
    assert!(bench.says("What was signed is not shown here."));
    // Nobody said yet how the locks stand, and nothing says it for the hand.
    assert!(bench.says("lock not noted") && bench.says("Leave the rings as they are"));
    bench.keys(Modifiers::COMMAND, Key::B);
    assert!(bench.says("Leave rings and locks as they are"));
    let lines = &bench.app().confirming().lines;
    assert!(lines.iter().all(|line| line.check != Check::Open), "locks are not to be opened");
    let read_both = |bench: &mut Bench| {
        for x in ["-14.3", "-14.2"] {
            bench.enter(x);
            bench.enter("21.6");
        }
    };
    let locks = |bench: &Bench| {
        let round = bench.app().session().unwrap().state().round().unwrap();
        round.in_use().map(|entry| entry.reading.lock).collect::<Vec<_>>()
    };
    read_both(&mut bench);
    assert_eq!(locks(&bench), [None, None]);
    assert!(bench.app().session().unwrap().confirm().caveats.iter().any(|c| c.contains("lock")));
    bench.keys(Modifiers::COMMAND, Key::T);
    for _ in 0..3 {
        read_both(&mut bench);
    }
    assert_eq!(locks(&bench)[2..], [Some(record::fact::Lock::After); 6]);
    bench.wait_saved().unwrap();
    bench.keys(Modifiers::ALT, Key::V);
    assert_eq!(open(&bench).path, path, "what was looked over is still looked over");
    bench.press("Account");
    assert!(bench.says("Read blind:"));
    assert!(bench.says("KT signed and took the blind readings: they are not blind."));
    assert!(bench.says("they agree"), "{:?}", open(&bench).blind);
}

/// Blind readings that disagree stand at the head of the account and before a countersignature.
#[test]
fn blind_readings_that_disagree_cannot_be_missed() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = signed(home.path());
    bench.press("Answer");
    bench.press_anywhere("Confirm it blind…");
    bench.keys(Modifiers::COMMAND, Key::B);
    bench.keys(Modifiers::COMMAND, Key::T);
    for _ in 0..3 {
        for x in ["-14.3", "-44.2"] {
            bench.enter(x);
            bench.enter("21.6");
        }
    }
    bench.wait_saved().unwrap();
    bench.keys(Modifiers::ALT, Key::V);
    let blind = "disagree with what was signed.";
    assert!(bench.says(blind), "before the answer: {:?}", open(&bench).blind);
    bench.press("Account");
    let (tone, headline) = open(&bench).headline();
    assert_eq!(tone, samepoint::testing::Tone::Look);
    assert!(headline.contains("Blind readings in ") && headline.contains(blind), "{headline}");
}

#[test]
fn two_sessions_of_a_unit_are_laid_side_by_side() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    bench.keys(Modifiers::ALT, Key::V);
    bench.press("Compare");
    bench.focus("Compare with a session whose name has");
    bench.type_text("0152");
    bench.press("2026-11-23 0152");
    assert!(bench.says("Beside 2026-11-23 0152"));
    let told = &open(&bench).other.as_ref().unwrap().told;
    let units = told.iter().any(|said| said == "These are two units, 0152 and 0147.");
    assert!(units, "the earlier one is named first: {told:?}");
    let ghost = open(&bench).other.as_ref().unwrap().ghost.as_ref().unwrap();
    assert!(ghost.circles.left.is_some() && ghost.circles.right.is_some());
    assert!(open(&bench).stage.picture.telling.contains("2026-11-23 0152"), "told in words too");
    bench.press("Take it away");
    assert!(open(&bench).other.is_none());
}

#[test]
fn damage_is_said_first_and_cannot_be_countersigned() {
    let home = tempfile::tempdir().unwrap();
    let bench = signed(home.path());
    let path: PathBuf = open(&bench).path.clone();
    drop(bench);
    let mut damaged = bytes(&path);
    let middle = damaged.len() / 2;
    damaged[middle] ^= 1;
    let folder = home.path().join("other/sessions");
    std::fs::create_dir_all(&folder).unwrap();
    let copy = folder.join("damaged.samepoint");
    std::fs::write(&copy, damaged).unwrap();
    let mut bench = Bench::open(home.path(), Some(copy));
    bench.keys(Modifiers::ALT, Key::V);
    assert!(bench.says("Damaged:"));
    bench.press("Answer");
    assert!(open(&bench).not_to_countersign().is_some());
}

/// A demo unit that was shimmed: prediction beside measurement, setting beside what was confirmed.
#[test]
fn rounds_stand_side_by_side_with_what_was_predicted() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    let folder = bench.app().session().unwrap().file().path().parent().unwrap().to_owned();
    drop(bench);
    let shimmed = folder.join("2025-12-08 0301.samepoint");
    bench = Bench::open(home.path(), Some(shimmed.clone()));
    bench.keys(Modifiers::ALT, Key::V);
    bench.press("Rounds");
    assert!(bench.says("Round 1 · first round") && bench.says("Round 2 · after a remedy"));
    // The figures are the record's, of the round that the remedy opened.
    let account = review(&shimmed, &RealDisk).unwrap();
    let state = &account.session;
    let solved = account.rounds[1].solution.as_ref().unwrap().as_ref().unwrap();
    let compared = record::remedies::compared_in(state, &state.rounds[1], Some(solved));
    assert!(!compared.is_empty());
    for at in compared {
        let (predicted, measured) =
            (paper::words::direction(at.predicted), paper::words::direction(at.measured.unwrap()));
        assert!(bench.says(&format!("predicted {predicted}, measured {measured}")));
    }
    assert!(bench.says("left aimed at") && bench.says("right aimed at"));
}

#[test]
fn review_fits_every_size() {
    for size in [vec2(1280.0, 800.0), vec2(960.0, 600.0), vec2(640.0, 480.0)] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, 1.0);
        bench.keys(Modifiers::ALT, Key::V);
        for part in ["Account", "Rounds", "What if", "Compare", "Answer"] {
            if size.x < 960.0 {
                bench.press("Told");
            }
            bench.press(part);
            for sight in ["Facts", "Plot", "Told"] {
                if size.x < 960.0 {
                    bench.press(sight);
                }
                everything_fits(&bench, size, part);
            }
        }
    }
}

/// What is signed, returned and countersigned at the window is noted in the shop's ledger, each once; what
/// was cut off since is said when it is looked over and when the shop is.
#[test]
fn signatures_are_noted_in_the_ledger() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = signed(home.path());
    let path = open(&bench).path.clone();
    let shop = path.parent().unwrap().parent().unwrap().to_owned();
    let noted = |bench: &mut Bench, lines: usize| {
        bench.wait_noted();
        let account = review(&path, &RealDisk).unwrap();
        let says = account.ledger.clone().unwrap();
        assert!(says.findings.is_empty() && says.not_noted.is_empty(), "{}", account.words());
        assert_eq!(says.confirmed.len(), lines);
        assert!(!says.confirmed.iter().any(|noted| noted.entry.late), "{:?}", says.confirmed);
    };
    noted(&mut bench, 1);
    bench.press("Answer");
    bench.fill("Supervisor", "MB");
    bench.press("Countersign");
    noted(&mut bench, 2);
    drop(bench);
    // The countersignature is cut off: a whole line, so that the chain is intact.
    let text = std::fs::read_to_string(&path).unwrap();
    let kept: usize = text.lines().count() - 1;
    let cut: String = text.split_inclusive('\n').take(kept).collect();
    std::fs::write(&path, cut).unwrap();
    let mut bench = Bench::open(home.path(), Some(shop));
    bench.keys(Modifiers::ALT, Key::V);
    assert_eq!(open(&bench).path, path);
    assert!(bench.says("shows that the countersignature of MB"));
    assert_eq!(open(&bench).account.exit_code(), 3);
}

/// What nobody noted is noted late when a shop is opened, also where its sessions were read before and tell where that is.
#[test]
fn what_nobody_noted_is_noted_at_the_next_opening() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = signed(home.path());
    let path = open(&bench).path.clone();
    let shop = path.parent().unwrap().parent().unwrap().to_owned();
    for before in [false, true] {
        bench.wait_noted();
        if before {
            bench.keys(Modifiers::ALT, Key::H);
            bench.wait_read();
        }
        drop(bench);
        std::fs::remove_dir_all(shop.join("ledger")).unwrap();
        bench = Bench::open(home.path(), Some(shop.clone()));
        assert_eq!(bench.threads.times_begun(Work::Survey), usize::from(before));
        assert_eq!(bench.threads.times_begun(Work::Returns), usize::from(!before));
        bench.wait_noted();
        let says = review(&path, &RealDisk).unwrap().ledger.unwrap();
        assert_eq!((says.confirmed.len(), says.not_noted.len()), (1, 0));
        assert!(says.confirmed[0].entry.late);
    }
}
