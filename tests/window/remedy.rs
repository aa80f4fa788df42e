//! Remedies by keyboard: the ranked list, taking one, prediction beside measurement.

use std::time::{Duration, Instant};

use egui::{Key, Modifiers};
use record::fact::{Body, RoundReason};
use record::{Remedy, RoundOpened};

use crate::bench::Bench;

/// The demo unit whose circles do not meet (demo-data/README.md: 0163, 6.5′ apart).
pub(crate) fn apart(home: &std::path::Path) -> Bench {
    drop(Bench::open(home, None));
    let sessions = home.join("data/demo-shop/sessions");
    let found = std::fs::read_dir(sessions).unwrap().flatten().map(|entry| entry.path());
    let path = found.into_iter().find(|path| path.to_string_lossy().ends_with("0163.samepoint"));
    Bench::open(home, path)
}

/// Waits for the search, which has a thread of its own.
pub(crate) fn wait_for_list(bench: &mut Bench) {
    let begun = Instant::now();
    while bench.says("Working out what would help") || !bench.says("As it is") {
        assert!(begun.elapsed() < Duration::from_secs(9), "no list");
        std::thread::sleep(Duration::from_millis(5));
        bench.rest();
    }
}

#[test]
fn a_remedy_is_considered_taken_and_measured() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = apart(home.path());
    bench.keys(Modifiers::COMMAND, Key::Num5);
    wait_for_list(&mut bench);
    assert!(bench.says("open a unit only as its maintenance manual directs"));
    // Nothing is recorded by looking.
    let facts = |bench: &Bench| bench.app().session().unwrap().file().facts().len();
    let before = facts(&bench);
    bench.keys(Modifiers::ALT, Key::Enter);
    assert_eq!(facts(&bench), before, "none is chosen yet");
    bench.keys(Modifiers::ALT, Key::ArrowDown);
    bench.keys(Modifiers::ALT, Key::ArrowDown);
    bench.keys(Modifiers::ALT, Key::ArrowUp);
    assert_eq!(bench.app().remedying().considered, Some(0));
    assert_eq!(facts(&bench), before);
    assert!(bench.app().session().unwrap().picture().telling.contains("Predicted"));

    bench.keys(Modifiers::ALT, Key::Enter);
    let session = bench.app().session().unwrap();
    let added: Vec<&Body> = session.file().facts()[before..].iter().map(|f| &f.body).collect();
    let [Body::RemedyTaken(taken), Body::RoundOpened(opened), Body::Unit(unit)] = added[..] else {
        panic!("{added:?}")
    };
    let RoundOpened { why, .. } = opened;
    assert_eq!(*why, RoundReason::Remedy);
    let prediction = taken.prediction.as_ref().unwrap();
    if let Remedy::Shim(shims) = &taken.remedy {
        let built = shims.iter().all(|under| unit.shims[under.channel].contains(&under.shim));
        assert!(built, "the unit is built as the remedy leaves it");
    }
    // The session folds to what is on screen.
    assert_eq!(session.state(), &record::fold(session.file().facts()));

    // The next round measures it: here, exactly what was predicted, on circles of three readings.
    let circles = prediction.circles;
    for (letter, circle) in [("l", circles.left), ("r", circles.right)] {
        let circle = circle.unwrap();
        bench.type_text(letter);
        for deg in [0.0_f64, -60.0, -120.0, -180.0] {
            let (sin, cos) = deg.to_radians().sin_cos();
            let [x, y] = circle.centre_arcmin;
            bench.enter(&format!("{:.3}", x + circle.radius_arcmin * cos));
            bench.enter(&format!("{:.3}", y + circle.radius_arcmin * sin));
        }
    }
    bench.keys(Modifiers::COMMAND, Key::Num5);
    wait_for_list(&mut bench);
    let state = bench.app().session().unwrap();
    let compared = record::remedies::compared(state.state(), state.picture().solution.as_ref());
    assert!(compared.len() >= 2);
    for row in &compared {
        // Readings typed to 0.001′.
        assert!(row.difference().unwrap().boresight_arcmin() < 0.01, "{row:?}");
    }
    for words in ["The remedy: predicted, measured", "measured", "apart"] {
        assert!(bench.says(words), "{words}");
    }
}

/// What is on no list can be said too: refused by field, recorded with the unit as it is built then.
#[test]
fn a_remedy_of_the_hands_own_is_noted_by_keyboard() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = apart(home.path());
    let facts = |bench: &Bench| bench.app().session().unwrap().file().facts().len();
    let before = facts(&bench);
    bench.keys(Modifiers::ALT, Key::F9);
    assert!(bench.says("Nothing is predicted of it") && bench.says("maintenance manual"));
    bench.type_text("130");
    bench.key(Key::Enter);
    assert!(bench.says("Type the leaves, such as 0.10 or 0.10 + 0.05."));
    assert_eq!(facts(&bench), before, "nothing is recorded of what is refused");
    bench.keys(Modifiers::SHIFT, Key::Tab);
    bench.key(Key::Space);
    bench.key(Key::Tab);
    bench.key(Key::Tab);
    bench.type_text("0.10 + 0.05");
    bench.key(Key::Enter);
    let session = bench.app().session().unwrap();
    let added: Vec<&Body> = session.file().facts()[before..].iter().map(|f| &f.body).collect();
    let [Body::RemedyTaken(taken), Body::RoundOpened(opened), Body::Unit(unit)] = added[..] else {
        panic!("{added:?}")
    };
    assert_eq!(opened.why, RoundReason::Remedy);
    assert!(taken.prediction.is_none());
    let Remedy::Shim(shims) = &taken.remedy else { panic!("{taken:?}") };
    assert_eq!(shims[0].channel, record::Channel::Right);
    assert_eq!(unit.shims.right.last(), Some(&shims[0].shim));
    assert_eq!(shims[0].shim.leaves_mm, [0.10, 0.05]);
    assert!(bench.says("Recorded: a tube shimmed. A new round is open"));
    // One key takes it all back, fact by fact.
    for _ in 0..3 {
        bench.keys(Modifiers::COMMAND, Key::Z);
    }
    assert!(bench.app().session().unwrap().state().unit().unwrap().shims.right.is_empty());
}

/// A unit that its rings bring inside is told first that none is needed.
#[test]
fn none_is_needed_is_said_first() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = crate::session::start(home.path());
    crate::session::log_eight(&mut bench);
    let picture = bench.app().session().unwrap().picture();
    assert_eq!(picture.verdict.tone, samepoint::testing::Tone::Good, "{}", picture.verdict.text);
    bench.keys(Modifiers::COMMAND, Key::Num5);
    wait_for_list(&mut bench);
    let lines = bench.app().remedy_lines();
    assert!(lines.none_needed && lines.baseline.starts_with("None is needed."), "{lines:?}");
    assert!(bench.says("None is needed."));
}

/// Where a shim goes is drawn and told; front and rear twins are one line, and the hand says which end it took.
#[test]
fn shims_are_drawn_and_twins_are_one_line() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = apart(home.path());
    bench.keys(Modifiers::COMMAND, Key::Num5);
    wait_for_list(&mut bench);
    let lines = bench.app().remedy_lines();
    for (k, line) in lines.remedies.iter().enumerate() {
        let twin = line.hands.replace("front end only", "rear end only");
        let same = lines.remedies.iter().filter(|other| other.hands == twin).count();
        assert!(twin == line.hands || same == 0, "{k}: {line:?}");
    }
    let shimmed =
        lines.remedies.iter().position(|line| !line.faces.is_empty()).expect("a shim plan");
    for _ in 0..=shimmed {
        bench.keys(Modifiers::ALT, Key::ArrowDown);
    }
    assert_eq!(bench.app().remedying().considered, Some(shimmed));
    for face in &lines.remedies[shimmed].faces {
        assert!(bench.says(&face.telling()), "{}", face.telling());
    }
    let Some(either) = lines.remedies.iter().position(|line| line.either_end) else { return };
    for _ in shimmed..either {
        bench.keys(Modifiers::ALT, Key::ArrowDown);
    }
    assert!(bench.says("either does the same"));
    bench.press_anywhere("Take this remedy, shims at the rear end");
    let facts = bench.app().session().unwrap().file().facts();
    let taken = facts.iter().rev().find_map(|fact| match &fact.body {
        Body::RemedyTaken(taken) => Some(taken),
        _ => None,
    });
    let Remedy::Shim(shims) = &taken.unwrap().remedy else { panic!("{taken:?}") };
    assert!(shims.iter().any(|under| under.shim.ends == record::ShimEnds::Rear), "{shims:?}");
}
