//! The entry row: what it refuses, how it reads units.

use egui::{Key, Modifiers};
use record::ReadingUnit;
use samepoint::app::entry::Field;
use solver::Channel;

use crate::bench::Bench;
use crate::session::start;

/// What is no number is refused in its field, with nothing logged and nothing lost.
#[test]
fn what_is_no_number_is_refused_in_place() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let facts = |bench: &Bench| bench.app().session().unwrap().file().facts().len();
    let before = facts(&bench);
    for text in ["1.2.3", "--4", "1e999", "."] {
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.enter(text);
        let refused = bench.app().entry().refused.clone().expect(text);
        assert_eq!(refused.0, Field::X, "{text}");
        assert_eq!(bench.app().entry().x, text, "what was typed is still there");
        assert_eq!(facts(&bench), before);
    }
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("5,5");
    assert!(bench.app().entry().refused.is_none());
    bench.enter("\u{2212}2.5");
    assert_eq!(facts(&bench), before + 1);
    let row = &bench.app().session().unwrap().picture().rows.left[1];
    assert_eq!((row.x.as_str(), row.y.as_str()), ("5,5", "\u{2212}2.5"), "stored as typed");
    assert_eq!(row.reading.direction.x_arcmin, 5.5);
}

/// A direction beyond the field is refused when it is logged, naming the limit.
#[test]
fn a_direction_beyond_the_field_is_refused() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.enter("4000");
    bench.enter("1");
    assert!(bench.says("3000"), "{:?}", bench.app().entry().refused);
}

/// The unit switch keeps each reading as typed, and shows what to expect in the unit being read.
#[test]
fn divisions_go_through_the_station() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.key(Key::F6);
    assert_eq!(bench.app().entry().unit, ReadingUnit::Divisions);
    bench.enter("10");
    bench.enter("0");
    let session = bench.app().session().unwrap();
    let row = &session.picture().rows.left[1];
    assert_eq!((row.x.as_str(), row.unit), ("10", ReadingUnit::Divisions));
    let map = &session.state().station().unwrap().map[Channel::Left];
    assert_eq!(row.reading.direction, map.direction_from_divisions([10.0, 0.0]));
}

/// The ring steps on by the preset after each reading, each channel its own.
#[test]
fn the_ring_steps_on() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    for _ in 0..2 {
        bench.enter("1");
        bench.enter("2");
    }
    let entry = bench.app().entry();
    assert_eq!((entry.ring.left.as_str(), entry.ring.right.as_str()), ("120", "0"));
}

/// F2 and F3 change channel without the mouse; the keyboard stays in the row.
#[test]
fn function_keys_change_channel() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.key(Key::F3);
    assert_eq!(bench.app().entry().channel, Channel::Right);
    bench.enter("7");
    assert_eq!(bench.app().entry().x, "7");
    bench.key(Key::F2);
    assert_eq!(bench.app().entry().channel, Channel::Left);
}
