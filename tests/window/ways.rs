//! Ways of working: the list of commands, text size, tabs of a small window, steps.

use egui::accesskit::Role;
use egui::{Key, Modifiers, vec2};
use egui_kittest::kittest::Queryable as _;
use samepoint::testing::{Sheet, Tab, UiCommand};

use crate::bench::Bench;
use crate::session::{log_eight, start};

/// A part of a name, arrows, Enter; what cannot be done now says why.
#[test]
fn the_list_of_commands_runs_them() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.keys(Modifiers::COMMAND, Key::K);
    for command in [UiCommand::Log, UiCommand::Left] {
        assert!(bench.says(command.text()), "{command:?}");
    }
    bench.type_text("larger");
    bench.key(Key::Enter);
    assert_eq!(bench.app().preferences().scale, 1.1);
    assert_eq!(*bench.app().front(), Sheet::Clear);

    bench.keys(Modifiers::COMMAND, Key::K);
    bench.type_text("channel");
    bench.key(Key::ArrowDown);
    bench.key(Key::Enter);
    assert_eq!(bench.app().entry().channel, solver::Channel::Right);

    bench.run("bring back");
    assert!(bench.says("There is nothing to redo"));
    // The row has the keyboard again.
    bench.enter("7");
    assert_eq!(bench.app().entry().x, "7");
}

/// Text from its usual size to twice that, kept for the next start.
#[test]
fn text_grows_to_twice_its_size() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open(home.path(), None);
    for _ in 0..12 {
        bench.keys(Modifiers::COMMAND, Key::Plus);
    }
    assert_eq!(bench.app().preferences().scale, 2.0);
    assert_eq!(bench.window.ctx.zoom_factor(), 2.0);
    drop(bench);
    let mut bench = Bench::open(home.path(), None);
    assert_eq!(bench.window.ctx.zoom_factor(), 2.0);
    bench.keys(Modifiers::COMMAND, Key::Minus);
    assert_eq!(bench.app().preferences().scale, 1.9);
    bench.keys(Modifiers::COMMAND, Key::Num0);
    assert_eq!(bench.window.ctx.zoom_factor(), 1.0);
}

/// In a small window log, plot and rings take turns; the entry row and whether all is saved stay.
#[test]
fn a_small_window_has_tabs_and_keeps_the_row() {
    let home = tempfile::tempdir().unwrap();
    let mut first = start(home.path());
    log_eight(&mut first);
    first.wait_saved().unwrap();
    drop(first);
    let mut bench = Bench::open_sized(home.path(), None, vec2(640.0, 480.0), 1.0);
    let row = |bench: &Bench| {
        bench.window.get_by_role_and_label(Role::NumberInput, "left x entry").rect()
    };
    let place = row(&bench);
    assert_eq!(bench.app().tab(), Tab::Plot);
    let plot = bench.window.get_by_label_contains("Field plot.").rect();
    assert!(plot.height() > 150.0, "the plot has {plot:?}");
    assert!(!bench.says("right reading 4"));
    bench.key(Key::F10);
    assert!(bench.says("will read"), "where to turn each ring");
    bench.key(Key::F10);
    assert!(bench.says("right reading 4"), "the readings");
    assert_eq!(row(&bench), place);
    bench.press("Show Plot");
    assert_eq!(bench.app().tab(), Tab::Plot);
    assert!(bench.says("read only") || bench.says("facts"), "saved or not is always said");
    // A reading is logged as in any other window.
    let before = bench.app().session().unwrap().file().facts().len();
    bench.enter("1.0");
    bench.enter("2.0");
    assert_eq!(bench.app().session().unwrap().file().facts().len(), before + 1);
}

/// The steps say where the job stands and are walked in any order, by hand or by key.
#[test]
fn the_steps_are_walked_in_any_order() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    assert!(bench.says("Step As found: done"));
    assert!(bench.says("Step Log: here now"));
    bench.keys(Modifiers::COMMAND, Key::Num1);
    assert!(bench.says("Step Set up: done, here now"));
    bench.keys(Modifiers::COMMAND, Key::Num3);
    assert_eq!(*bench.app().front(), Sheet::Clear);
    log_eight(&mut bench);
    assert!(bench.says("Step Log: done"));
    assert!(bench.says("Step Meet: here now"));
    bench.press("Step Set up: done");
    assert!(matches!(bench.app().front(), Sheet::SetUp(_)));
    bench.press("Step Meet: open");
    assert_eq!(*bench.app().front(), Sheet::Clear);
}

/// Nothing in front keeps a reading from being logged.
#[test]
fn no_sheet_blocks_a_reading() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let facts = |bench: &Bench| bench.app().session().unwrap().file().facts().len();
    for command in [UiCommand::SetUp, UiCommand::Paste, UiCommand::NewRound, UiCommand::Keys] {
        bench.run(command.text());
        let before = facts(&bench);
        bench.window.get_by_role_and_label(Role::NumberInput, "left x entry").focus();
        bench.rest();
        bench.enter("1.0");
        bench.enter("2.0");
        assert_eq!(facts(&bench), before + 1, "{command:?}");
    }
}

/// A set-up sheet left for another step keeps what was typed until it is asked for again; given up
/// with Esc it does not.
#[test]
fn a_half_typed_set_up_waits() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let unit = |bench: &Bench| match bench.app().front() {
        Sheet::SetUp(sheet) => sheet.unit.clone(),
        other => panic!("{other:?}"),
    };
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0188");
    for step in [Key::Num3, Key::Num4, Key::Num5, Key::Num6] {
        bench.keys(Modifiers::COMMAND, step);
        assert_eq!(*bench.app().front(), Sheet::Clear, "{step:?}");
        bench.keys(Modifiers::COMMAND, Key::N);
        assert_eq!(unit(&bench), "0188", "{step:?}");
    }
    bench.key(Key::Escape);
    bench.keys(Modifiers::COMMAND, Key::N);
    assert_eq!(unit(&bench), "");
}

/// What is typed on any sheet waits, whatever the hand turns to, and comes back when its sheet is
/// asked for again; the next round ends what was about the last one.
#[test]
fn what_is_half_typed_waits() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    let reason = |bench: &Bench| match bench.app().front() {
        Sheet::Withdraw(sheet) => sheet.reason.clone(),
        other => panic!("{other:?}"),
    };
    let distance = |bench: &Bench| match bench.app().front() {
        Sheet::Looking(sheet) => sheet.distance.clone(),
        other => panic!("{other:?}"),
    };
    bench.key(Key::F11);
    bench.type_text("450");
    bench.keys(Modifiers::COMMAND, Key::Num4);
    assert_eq!(*bench.app().front(), Sheet::Clear);
    bench.key(Key::F8);
    bench.type_text("lamp mov");
    bench.keys(Modifiers::ALT, Key::H);
    bench.keys(Modifiers::ALT, Key::B);
    assert_eq!(*bench.app().front(), Sheet::Clear);
    bench.key(Key::F8);
    assert_eq!(reason(&bench), "lamp mov");
    // In front of it, the keys: it waits behind them.
    bench.key(Key::F1);
    bench.key(Key::Escape);
    assert_eq!(reason(&bench), "lamp mov");
    bench.enter("ed");
    assert!(bench.says("Withdrawn: "));
    bench.key(Key::F11);
    assert_eq!(distance(&bench), "450");

    // Left again for a new round: what was looked at was the round before.
    bench.keys(Modifiers::COMMAND, Key::Num4);
    bench.key(Key::F9);
    bench.key(Key::Enter);
    assert!(bench.says("Next round"));
    bench.key(Key::F11);
    assert_eq!(distance(&bench), "");
}

/// The session menu is as high as the window at most: what has no room scrolls, and the keyboard takes it along to
/// the last of the recent sessions.
#[test]
fn the_session_menu_scrolls_in_a_small_window() {
    let size = vec2(640.0, 480.0);
    let home = tempfile::tempdir().unwrap();
    let mut bench = Bench::open_sized(home.path(), None, size, 1.0);
    for unit in ["0171", "0172", "0173"] {
        bench.keys(Modifiers::COMMAND, Key::N);
        bench.type_text(unit);
        bench.key(Key::Tab);
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.enter("KT");
        bench.wait_saved().unwrap();
        bench.key(Key::Escape);
    }
    let recent = bench.app().preferences().recent.last().unwrap().clone();
    let name = recent.file_stem().unwrap().to_string_lossy().into_owned();
    bench.press("Session");
    let room = egui::Rect::from_min_size(egui::Pos2::ZERO, size);
    let is_seen = |bench: &Bench| {
        let drawn = crate::glance::drawn(bench, &name, 1.0);
        drawn.is_some_and(|(_, whole)| whole)
    };
    assert!(!is_seen(&bench), "it had room: nothing is tried");
    let mut came = false;
    for _ in 0..60 {
        bench.key(Key::Tab);
        let focused = bench.window.ctx.memory(egui::Memory::focused);
        let rect = focused.and_then(|id| bench.window.ctx.read_response(id)).map(|it| it.rect);
        if let Some(rect) = rect {
            assert!(room.contains_rect(rect), "the keyboard is at {rect}, out of sight");
        }
        if is_seen(&bench) {
            came = true;
            break;
        }
    }
    assert!(came, "the keyboard never comes to “{name}”");
}

/// Words of the glossary where they stand: what they mean on hover, all words at a press; the hand and the
/// ellipse as the others.
#[test]
fn words_lead_to_the_glossary_where_they_stand() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    for (shown, word) in
        [("hand KT", "hand"), ("the crossing’s ellipse", "ellipse"), ("Slack", "slack")]
    {
        let at = bench.window.get_by_label_contains(shown).rect().center();
        bench.window.hover_at(at);
        for _ in 0..80 {
            bench.window.step();
        }
        let meaning = paper::glossary::meaning(word).unwrap();
        assert!(bench.says(meaning), "{word} is not explained");
        bench.window.get_by_label_contains(shown).click();
        bench.rest();
        assert_eq!(*bench.app().front(), Sheet::Glossary, "{word} leads nowhere");
        bench.key(Key::Escape);
    }
}
