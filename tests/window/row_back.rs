//! Undo gives the entry row back as it stood for every kind of reading, so that what is typed next is that
//! reading again: channel, purpose, rings, and what a confirm reading is taken under.

use egui::{Key, Modifiers, vec2};
use record::fact::{Lock, Purpose, Seen, SwingStop};
use record::station::Shows;
use solver::Channel;

use crate::bench::Bench;
use crate::confirm::confirming;
use crate::differences;

fn undo(bench: &mut Bench) {
    bench.keys(Modifiers::COMMAND, Key::Z);
}

fn rings(bench: &Bench) -> (String, String, Channel) {
    let entry = bench.app().entry();
    (entry.ring.left.clone(), entry.ring.right.clone(), entry.channel)
}

/// The right channel at the wide stop with locks tight: the retyped reading is that again.
#[test]
fn a_confirm_reading_comes_back_with_all_it_was_taken_under() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = confirming(home.path());
    bench.keys(Modifiers::COMMAND, Key::B);
    bench.keys(Modifiers::COMMAND, Key::T);
    bench.keys(Modifiers::ALT, Key::S);
    bench.keys(Modifiers::ALT, Key::S);
    bench.type_text("r");
    let last = |bench: &Bench| {
        let facts = bench.app().session().unwrap().file().facts();
        facts
            .iter()
            .rev()
            .find_map(|fact| match &fact.body {
                record::Body::Reading(reading) => Some(reading.clone()),
                _ => None,
            })
            .unwrap()
    };
    bench.enter("-4.2");
    bench.enter("21.6");
    let first = last(&bench);
    assert_eq!(
        (first.channel(), first.purpose, first.swing_stop),
        (Some(Channel::Right), Purpose::Confirm, Some(SwingStop::Wide))
    );
    // Everything changes, then it is taken back and typed anew.
    bench.type_text("l");
    bench.keys(Modifiers::ALT, Key::S);
    bench.keys(Modifiers::COMMAND, Key::T);
    undo(&mut bench);
    let confirming = bench.app().confirming();
    assert_eq!((confirming.stop, confirming.lock), (SwingStop::Wide, first.lock));
    assert_eq!(first.lock, Some(Lock::After));
    assert_eq!(
        (bench.app().entry().purpose, bench.app().entry().channel),
        (Purpose::Confirm, Channel::Right)
    );
    bench.enter("-4.1");
    bench.enter("21.5");
    let again = last(&bench);
    assert_eq!(
        (again.channel(), again.lock, again.swing_stop, again.reseated, again.dioptre),
        (first.channel(), first.lock, first.swing_stop, first.reseated, first.dioptre)
    );
}

/// A difference: both rings as read, and the same ring steps on after it is typed anew.
#[test]
fn a_difference_comes_back_with_both_rings() {
    let home = tempfile::tempdir().unwrap();
    let size = vec2(1280.0, 800.0);
    let mut bench = differences::bench(home.path(), Shows::Relative, size);
    for number in ["11.5", "-0.5", "12", "0"] {
        bench.enter(number);
    }
    for _ in 0..3 {
        let before = rings(&bench);
        bench.enter("22");
        bench.enter("10");
        let after = rings(&bench);
        assert_ne!(before, after);
        undo(&mut bench);
        assert_eq!(rings(&bench), before);
        bench.enter("21");
        bench.enter("9");
        assert_eq!(rings(&bench), after, "the same ring went on");
    }
}

/// A box reading likewise.
#[test]
fn a_box_comes_back_with_both_rings() {
    let home = tempfile::tempdir().unwrap();
    let size = vec2(1280.0, 800.0);
    let mut bench = differences::bench(home.path(), Shows::Box, size);
    bench.press("In the box");
    let before = rings(&bench);
    bench.press("Outside");
    let after = rings(&bench);
    undo(&mut bench);
    assert_eq!((rings(&bench), bench.app().entry().purpose), (before, Purpose::Log));
    bench.press("In the box");
    assert_eq!(rings(&bench), after);
    // As found, farther back.
    undo(&mut bench);
    undo(&mut bench);
    assert_eq!(bench.app().entry().purpose, Purpose::AsFound);
    bench.press("Outside");
    let round = bench.app().session().unwrap().state().round().unwrap();
    let entry = round.in_use().last().unwrap();
    assert_eq!(entry.reading.purpose, Purpose::AsFound);
    assert!(matches!(&entry.reading.seen, Seen::Box(read) if !read.inside));
}
