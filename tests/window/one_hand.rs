//! One hand, or none: the numeric keypad alone, foot pedals, and what was logged read back.

use std::time::{Duration, Instant};

use egui::{Event, Key, Modifiers, PointerButton, vec2};
use record::fact::{Lock, Purpose};
use samepoint::testing::{EntryField, Pedal, Press, Sheet, UiCommand};
use solver::Channel;

use crate::bench::Bench;
use crate::layout::everything_fits;
use crate::session::start;
use crate::whole_unit::tab_to;

/// A key of the keypad as the toolkit reports it with Num Lock on: the key, then its text.
fn keypad(bench: &mut Bench, keys: &str) {
    for letter in keys.chars() {
        if letter == '\n' {
            bench.key(Key::Enter);
            continue;
        }
        let key = match letter {
            '-' => Some(Key::Minus),
            '+' => Some(Key::Plus),
            '/' => Some(Key::Slash),
            '.' => Some(Key::Period),
            // It has no name for the keypad's *.
            '*' => None,
            digit => Key::from_name(&digit.to_string()),
        };
        if let Some(key) = key {
            bench.window.event(pressed(key, Some(key)));
        }
        bench.type_text(&letter.to_string());
    }
}

fn pressed(key: Key, physical_key: Option<Key>) -> Event {
    Event::Key { key, physical_key, pressed: true, repeat: false, modifiers: Modifiers::NONE }
}

fn facts(bench: &Bench) -> usize {
    bench.app().session().unwrap().file().facts().len()
}

/// From logging to confirming with the keypad alone.
#[test]
fn the_keypad_alone_logs_and_confirms() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    // Left at 0° and 60°, by the row's own step.
    keypad(&mut bench, "38.2\n14.3\n33.0\n-15.3\n");
    let last = bench.app().session().unwrap().log().rows(Channel::Left).next_back();
    assert_eq!(last.unwrap().reading.direction.y_arcmin, -15.3, "a typed minus is a minus");
    // The other channel and back; a field on and round.
    keypad(&mut bench, "/");
    assert_eq!(bench.app().entry().channel, Channel::Right);
    for field in [EntryField::Y, EntryField::Ring, EntryField::X] {
        keypad(&mut bench, "+");
        assert_eq!(bench.app().entry().at, field);
    }
    keypad(&mut bench, "/");
    assert_eq!(bench.app().entry().channel, Channel::Left);
    // Within a number none of them is a command, and none is lost.
    let before = facts(&bench);
    keypad(&mut bench, "1/2\n");
    assert_eq!(
        (bench.app().entry().channel, bench.app().entry().x.as_str()),
        (Channel::Left, "1/2")
    );
    assert!(bench.app().entry().refused.is_some());
    bench.keys(Modifiers::COMMAND, Key::A);
    keypad(
        &mut bench,
        "4.8\n-25.5\n-18.2\n-6.3\n/-25.9\n13.7\n-1.5\n22.6\n18.4\n5.9\n13.9\n-19.7\n",
    );
    assert_eq!(facts(&bench), before + 6);
    // * shows which key does what, one more does it: undo, meet, confirm, lock, dioptres, bench mode.
    keypad(&mut bench, "*");
    assert_eq!(*bench.app().front(), Sheet::Keypad);
    everything_fits(&bench, vec2(1280.0, 800.0), "the keypad's commands");
    keypad(&mut bench, "0");
    assert_eq!(*bench.app().front(), Sheet::Clear);
    let state = bench.app().session().unwrap().state();
    assert_eq!(state.round().unwrap().of(Channel::Right, Purpose::Log).count(), 3);
    keypad(&mut bench, "/13.9\n-19.7\n*3*4*6");
    assert_eq!(bench.app().entry().purpose, Purpose::Confirm);
    assert_eq!(bench.app().confirming().lock, Some(Lock::After));
    keypad(&mut bench, "*9");
    assert!(bench.app().confirming().at_zero());
    keypad(&mut bench, "*.");
    assert!(bench.app().bench_mode());
    keypad(&mut bench, "-14.3\n21.6\n*.");
    assert!(!bench.app().bench_mode());
    // A second * goes back, and so does what is no command.
    for away in ["**", "*\n"] {
        keypad(&mut bench, away);
        assert_eq!(*bench.app().front(), Sheet::Clear, "{away:?}");
    }
    keypad(&mut bench, "7");
    assert_eq!(bench.app().entry().x, "7", "the row has the keyboard again");
}

/// Without Num Lock the keypad's keys are told from the others by their place, and type digits in the row;
/// keys of that name elsewhere stay what they are.
#[test]
fn the_keypad_types_without_num_lock() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let keys = [
        (Key::End, Key::Num1, '1'),
        (Key::ArrowDown, Key::Num2, '2'),
        (Key::PageDown, Key::Num3, '3'),
        (Key::ArrowLeft, Key::Num4, '4'),
        (Key::ArrowRight, Key::Num6, '6'),
        (Key::Home, Key::Num7, '7'),
        (Key::ArrowUp, Key::Num8, '8'),
        (Key::PageUp, Key::Num9, '9'),
        (Key::Insert, Key::Num0, '0'),
    ];
    let mut typed = String::new();
    for (sent, place, digit) in keys {
        bench.window.event(pressed(sent, Some(place)));
        bench.rest();
        typed.push(digit);
        assert_eq!(bench.app().entry().x, typed);
    }
    assert!(!bench.app().bench_mode(), "0 of the keypad is not Insert");
    bench.window.event(pressed(Key::Insert, Some(Key::Insert)));
    bench.rest();
    assert!(bench.app().bench_mode());
    assert_eq!(bench.app().entry().x, typed);
}

fn press_pedal(bench: &mut Bench, key: Key) {
    bench.window.event(pressed(key, Some(key)));
    bench.window.event(Event::Key {
        key,
        physical_key: Some(key),
        pressed: false,
        repeat: false,
        modifiers: Modifiers::NONE,
    });
    bench.rest();
}

fn press_button(bench: &mut Bench, button: PointerButton) {
    for pressed in [true, false] {
        bench.window.event(Event::PointerButton {
            pos: egui::pos2(640.0, 300.0),
            button,
            pressed,
            modifiers: Modifiers::NONE,
        });
    }
    bench.rest();
}

fn give(bench: &mut Bench, pedal: Pedal) {
    tab_to(bench, &format!("Give {}", pedal.command().text()));
    bench.key(Key::Space);
}

/// By keyboard and by pressing the pedal: given, refused with a sentence, kept for the next start, shown in
/// the help, let go.
#[test]
fn pedals_are_given_commands_and_keep_them() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.keys(Modifiers::ALT, Key::Y);
    everything_fits(&bench, vec2(1280.0, 800.0), "pedals");
    give(&mut bench, Pedal::Log);
    assert!(bench.says("Press the pedal for “Log reading” now"));
    for (key, why) in [
        (Key::B, "B types"),
        (Key::F12, "F12 is the key of “Sign…”"),
        (Key::Enter, "Enter is the key of “Log reading”"),
        (Key::Tab, "Tab works within fields"),
    ] {
        press_pedal(&mut bench, key);
        assert!(bench.says(why), "{why}");
        assert!(bench.app().preferences().pedals.is_empty());
    }
    assert!(
        matches!(bench.app().front(), Sheet::Pedals(_)),
        "what is waited for does nothing else"
    );
    press_pedal(&mut bench, Key::F13);
    give(&mut bench, Pedal::Undo);
    press_pedal(&mut bench, Key::F13);
    assert!(bench.says("F13 is given to “Log reading” already"));
    press_button(&mut bench, PointerButton::Extra1);
    give(&mut bench, Pedal::BenchMode);
    bench.key(Key::Escape);
    assert!(matches!(bench.app().front(), Sheet::Pedals(sheet) if sheet.waiting.is_none()));
    give(&mut bench, Pedal::BenchMode);
    press_pedal(&mut bench, Key::F24);
    bench.key(Key::Escape);
    assert_eq!(*bench.app().front(), Sheet::Clear);
    let given: Vec<(String, Pedal)> = bench
        .app()
        .preferences()
        .pedals
        .iter()
        .map(|(press, pedal)| (press.to_string(), *pedal))
        .collect();
    assert!(given.contains(&("F13".to_owned(), Pedal::Log)), "{given:?}");
    assert!(given.contains(&("mouse button 4".to_owned(), Pedal::Undo)), "{given:?}");
    drop(bench);

    // The next start knows them.
    let mut bench = Bench::open(home.path(), None);
    let before = facts(&bench);
    bench.type_text("38.2");
    bench.key(Key::Enter);
    bench.type_text("14.3");
    press_pedal(&mut bench, Key::F13);
    assert_eq!(facts(&bench), before + 1, "{:?}", bench.app().entry().refused);
    press_button(&mut bench, PointerButton::Extra1);
    assert_eq!(facts(&bench), before + 2, "undone by a fact of its own");
    press_pedal(&mut bench, Key::F24);
    assert!(bench.app().bench_mode());
    press_pedal(&mut bench, Key::F24);
    bench.key(Key::F1);
    assert!(bench.says("mouse button 4"));
    bench.key(Key::Escape);
    // A pedal that logs does not while something else is typed.
    bench.key(Key::F9);
    let before = facts(&bench);
    press_pedal(&mut bench, Key::F13);
    assert_eq!(facts(&bench), before);
    assert!(!matches!(bench.app().front(), Sheet::Clear));
    bench.key(Key::Escape);
    // Nor away from the bench.
    bench.keys(Modifiers::ALT, Key::H);
    press_button(&mut bench, PointerButton::Extra1);
    assert_eq!(facts(&bench), before);
    bench.keys(Modifiers::ALT, Key::B);
    bench.keys(Modifiers::ALT, Key::Y);
    tab_to(&mut bench, "Let go Log reading");
    bench.key(Key::Space);
    assert!(bench.app().preferences().pedals.values().all(|pedal| *pedal != Pedal::Log));
}

/// A press that the window needs, written into preferences by hand, is told of; the file is set aside.
#[test]
fn preferences_that_take_a_key_of_the_window_are_refused() {
    let home = tempfile::tempdir().unwrap();
    let config = home.path().join("config");
    std::fs::create_dir_all(&config).unwrap();
    std::fs::write(config.join("preferences.ron"), "(pedals: {\"Enter\": Undo})").unwrap();
    let bench = Bench::open(home.path(), None);
    assert!(bench.app().preferences().pedals.is_empty());
    let told = bench.app().warnings().join(" ");
    assert!(told.contains("Enter is the key of “Log reading”"), "{told}");
    let press: Press = "F13".parse().unwrap();
    assert_eq!(UiCommand::Log, Pedal::Log.command());
    assert_eq!(press.to_string(), "F13");
}

#[cfg(unix)]
mod speaking {
    use std::fs;
    use std::os::unix::fs::PermissionsExt as _;
    use std::path::{Path, PathBuf};

    use samepoint::testing::ReadBackWish;

    use super::*;

    /// A program of our own that speaks into a file: a line for each argument.
    fn speaker(home: &Path, text: &str) -> PathBuf {
        let program = home.join("speaks");
        fs::write(&program, format!("#!/bin/sh\n{text}\n")).unwrap();
        fs::set_permissions(&program, fs::Permissions::from_mode(0o755)).unwrap();
        program
    }

    /// A bench whose preferences name it.
    fn bench_that_reads_back(home: &Path, command: &str) -> Bench {
        let mut bench = start(home);
        bench.keys(Modifiers::ALT, Key::Y);
        tab_to(&mut bench, "Program that speaks its last argument");
        bench.type_text(command);
        tab_to(&mut bench, "Speak what is logged");
        bench.key(Key::Space);
        bench.key(Key::Escape);
        let wish = ReadBackWish { on: true, command: command.to_owned() };
        assert_eq!(bench.app().preferences().read_back, wish);
        bench
    }

    fn until(bench: &mut Bench, mut done: impl FnMut(&Bench) -> bool, what: &str) {
        let begun = Instant::now();
        while !done(bench) {
            assert!(begun.elapsed() < Duration::from_secs(20), "{what}");
            std::thread::sleep(Duration::from_millis(5));
            bench.rest();
        }
    }

    fn log(bench: &mut Bench, x: &str, y: &str) {
        bench.enter(x);
        bench.enter(y);
    }

    /// What was logged is its last argument, whole, whatever a shell would make of it; off until a hand
    /// switches it on.
    #[test]
    fn what_was_logged_is_spoken() {
        let home = tempfile::tempdir().unwrap();
        assert!(!Bench::open(home.path(), None).app().preferences().read_back.on);
        let heard = home.path().join("heard");
        let program = speaker(
            home.path(),
            &format!("for word in \"$@\"; do echo \"[$word]\" >> '{}'; done", heard.display()),
        );
        let command = format!("{} -s $(id)", program.display());
        let mut bench = bench_that_reads_back(home.path(), &command);
        log(&mut bench, "38.2", "-14.3");
        let read = || fs::read_to_string(&heard).unwrap_or_default();
        until(&mut bench, |_| read().contains("y minus 14.3"), "it is never spoken");
        assert_eq!(read(), "[-s]\n[$(id)]\n[Left, ring 0, x 38.2, y minus 14.3.]\n");
        assert!(bench.app().warnings().is_empty());
    }

    /// While one is spoken only the newest waits; a window that closes ends what speaks, and nothing of it is
    /// left.
    #[test]
    fn the_newest_waits_and_all_ends_with_the_window() {
        let home = tempfile::tempdir().unwrap();
        let [heard, go] = ["heard", "go"].map(|name| home.path().join(name));
        let program = speaker(
            home.path(),
            &format!(
                "echo $$ \"$1\" >> '{}'\nwhile [ ! -e '{}' ]; do sleep 0.01; done",
                heard.display(),
                go.display()
            ),
        );
        let mut bench = bench_that_reads_back(home.path(), &program.display().to_string());
        let read = || fs::read_to_string(&heard).unwrap_or_default();
        log(&mut bench, "1.0", "1.0");
        until(&mut bench, |_| read().contains("x 1.0"), "the first is never spoken");
        for x in ["2.0", "3.0", "4.0"] {
            log(&mut bench, x, "1.0");
        }
        fs::write(&go, "").unwrap();
        until(&mut bench, |_| read().contains("x 4.0"), "the newest is never spoken");
        assert!(!read().contains("x 2.0") && !read().contains("x 3.0"), "{}", read());
        std::thread::sleep(Duration::from_millis(100));
        bench.rest();
        fs::remove_file(&go).unwrap();
        log(&mut bench, "5.0", "1.0");
        until(&mut bench, |_| read().contains("x 5.0"), "the last is never spoken");
        let pid: u32 = read().lines().last().unwrap().split(' ').next().unwrap().parse().unwrap();
        let running = || Path::new(&format!("/proc/{pid}")).exists();
        assert!(running() || !Path::new("/proc").exists());
        eframe::App::on_exit(bench.window.state_mut(), None);
        let begun = Instant::now();
        while running() {
            assert!(begun.elapsed() < Duration::from_secs(5), "it outlives the window");
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    /// What fails is told once, with what to do; readings are logged all the same.
    #[test]
    fn what_fails_is_told_once() {
        let home = tempfile::tempdir().unwrap();
        let program = speaker(home.path(), "exit 3");
        let mut bench = bench_that_reads_back(home.path(), &program.display().to_string());
        let before = facts(&bench);
        for x in ["1.0", "2.0", "3.0"] {
            log(&mut bench, x, "1.0");
            std::thread::sleep(Duration::from_millis(150));
            bench.rest();
        }
        until(&mut bench, |bench| !bench.app().warnings().is_empty(), "it is never told");
        std::thread::sleep(Duration::from_millis(200));
        bench.rest();
        let told = bench.app().warnings().to_vec();
        assert_eq!(told.len(), 1, "{told:?}");
        assert!(
            told[0].contains("ended with exit status: 3") && told[0].contains("Alt+Y"),
            "{told:?}"
        );
        assert_eq!(facts(&bench), before + 3);

        let mut bench = {
            drop(bench);
            let home = home.path().join("other");
            bench_that_reads_back(&home, "/no/such/program --loud")
        };
        log(&mut bench, "1.0", "1.0");
        until(&mut bench, |bench| !bench.app().warnings().is_empty(), "it is never told");
        assert!(bench.app().warnings()[0].contains("/no/such/program cannot be run"));
    }
}
