//! The entry row: what it refuses, how it reads units.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use record::ReadingUnit;
use record::fact::Purpose;
use samepoint::testing::EntryField;
use solver::Channel;

use crate::bench::Bench;
use crate::session::{begin, start};

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
        assert_eq!(refused.0, EntryField::X, "{text}");
        assert_eq!(bench.app().entry().x, text, "what was typed is still there");
        assert_eq!(facts(&bench), before);
    }
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("5,5");
    assert!(bench.app().entry().refused.is_none());
    bench.enter("\u{2212}2.5");
    assert_eq!(facts(&bench), before + 1);
    let row = &bench.app().session().unwrap().rows().left[1];
    assert_eq!((row.x.as_str(), row.y.as_str()), ("5,5", "\u{2212}2.5"), "stored as typed");
    assert_eq!(row.reading.direction.x_arcmin, 5.5);
}

/// A reading where the graticule has no lines is refused when it is logged, naming its reach: on Bench
/// 2 it ends at 60 divisions, which a hand cannot have read past.
#[test]
fn a_reading_off_the_graticule_is_refused() {
    for (x, y, axis) in [("87", "1", "87 divisions in x"), ("1", "-61", "−61 divisions in y")] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = start(home.path());
        let facts = |bench: &Bench| bench.app().session().unwrap().file().facts().len();
        let before = facts(&bench);
        bench.enter(x);
        bench.enter(y);
        assert!(bench.says(axis), "{:?}", bench.app().entry().refused);
        assert!(bench.says("from −60 to 60"), "{:?}", bench.app().entry().refused);
        assert_eq!(facts(&bench), before);
        assert_eq!((bench.app().entry().x.as_str(), bench.app().entry().y.as_str()), (x, y));
    }
}

/// A letter within a number is never taken away unseen: it stands in the field and is refused. Before a
/// number it is a command.
#[test]
fn a_letter_in_a_number_is_refused_in_place() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let before = bench.app().session().unwrap().file().facts().len();
    for typed in ["2O.5", "1e3", "1l", "3r5"] {
        bench.keys(Modifiers::COMMAND, Key::A);
        for letter in typed.chars() {
            bench.type_text(&letter.to_string());
        }
        assert_eq!(bench.app().entry().x, typed);
        bench.key(Key::Enter);
        let (field, why) = bench.app().entry().refused.clone().expect(typed);
        assert_eq!(field, EntryField::X, "{typed}");
        assert!(why.contains(typed), "{why}");
        assert_eq!(bench.app().entry().channel, Channel::Left, "{typed}");
    }
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text("r");
    assert_eq!(bench.app().entry().channel, Channel::Right, "before a number it is a command");
    assert_eq!(bench.app().session().unwrap().file().facts().len(), before);
}

/// In a small window a refusal longer than its room is seen whole all the same, over the log, and nothing moves.
#[test]
fn a_long_refusal_is_seen_whole() {
    let home = tempfile::tempdir().unwrap();
    let (width, height) = (640.0, 400.0);
    let mut bench = begin(Bench::open_sized(home.path(), None, egui::vec2(width, height), 1.0));
    let name = "Enter";
    let before = bench.window.get_by_label(name).rect();
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("1234567890.1234567890.123456789012345678");
    assert!(bench.app().entry().refused.is_some());
    let mut alerts = bench.window.query_all_by_role(egui::accesskit::Role::Alert);
    let alert = alerts.next().expect("the refusal is an alert").rect();
    let whole = egui::Rect::from_min_max(egui::Pos2::ZERO, egui::pos2(width, height));
    assert!(whole.contains_rect(alert), "{alert:?}");
    assert!(alert.height() > 40.0, "{alert:?} has more than one line");
    assert_eq!(bench.window.get_by_label(name).rect(), before);
}

/// Undo gives the row back as it stood: channel, purpose and ring angle of what was undone, so that what
/// is typed next is that reading again; redo goes on from it.
#[test]
fn undo_returns_the_row_to_what_it_undid() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let row = |bench: &Bench| {
        let entry = bench.app().entry();
        (entry.purpose, entry.channel, entry.ring.left.clone(), entry.ring.right.clone())
    };
    bench.enter("1");
    bench.enter("2");
    let (purpose, channel, ring, other) = row(&bench);
    assert_eq!((purpose, channel, ring.as_str()), (Purpose::Log, Channel::Left, "60"));
    bench.type_text("r");
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(row(&bench), (Purpose::Log, Channel::Left, "0".to_owned(), other.clone()));
    bench.keys(Modifiers::COMMAND, Key::Y);
    assert_eq!(row(&bench), (Purpose::Log, Channel::Left, "60".to_owned(), other.clone()));
    // Farther back: the right channel's reading as found.
    bench.keys(Modifiers::COMMAND, Key::Z);
    bench.keys(Modifiers::COMMAND, Key::Z);
    let (purpose, channel, ..) = row(&bench);
    assert_eq!((purpose, channel), (Purpose::AsFound, Channel::Right));
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
    let row = &session.rows().left[1];
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
