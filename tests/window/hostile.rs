//! What the window opens and is given may be anything: it opens, says what is wrong, and stays quick.

use std::fs::{self, File};
use std::os::unix::fs::symlink;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::mpsc;
use std::time::{Duration, Instant};

use egui::{Event, Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use record::file::write_all_lines;
use samepoint::testing::Sheet;

use crate::bench::Bench;
use crate::hostile_texts::{corpus, nothing_hides_in, with_texts};
use crate::session::{log_eight, start};
use crate::told_numbers::numbers_mean_something;

/// What takes longer hangs, even unoptimised on a busy machine: a bench opens in a second.
const PATIENCE: Duration = Duration::from_secs(60);

/// Fails where `work` does not end.
fn ends(work: impl FnOnce() + Send + 'static) {
    let (done, ended) = mpsc::channel();
    let thread = std::thread::spawn(move || {
        work();
        let _ = done.send(());
    });
    match ended.recv_timeout(PATIENCE) {
        Err(mpsc::RecvTimeoutError::Timeout) => panic!("it hangs"),
        _ => thread.join().unwrap_or_else(|why| std::panic::resume_unwind(why)),
    }
}

fn fifo(path: &Path) {
    assert!(Command::new("mkfifo").arg(path).status().unwrap().success());
}

/// Everything on screen is on one line and shows its marks.
#[track_caller]
fn nothing_hidden(bench: &Bench) {
    for node in bench.window.query_all_by(|_| true) {
        let node = node.accesskit_node();
        for text in [node.label(), node.value()].into_iter().flatten() {
            nothing_hides_in(&text);
            let forged = |line: &str| line.starts_with("Signed “pass” by SH");
            assert!(!text.lines().any(forged), "{text:?}");
            numbers_mean_something(&text);
        }
    }
}

/// Whatever lies where the preferences belong, the bench opens and what was there is kept.
#[test]
fn preferences_of_any_kind_are_set_aside() {
    ends(|| {
        type Trap = (&'static str, fn(&Path));
        let traps: [Trap; 9] = [
            ("pipe", fifo),
            ("folder", |path| fs::create_dir(path).unwrap()),
            ("zeros", |path| symlink("/dev/zero", path).unwrap()),
            ("round", |path| symlink("preferences.ron", path).unwrap()),
            ("bytes", |path| fs::write(path, [0xff, 0, 1]).unwrap()),
            ("deep", |path| fs::write(path, "(".repeat(100_000)).unwrap()),
            ("other", |path| fs::write(path, "(format: 1, station: ())").unwrap()),
            ("mark", |path| fs::write(path, "(hand: \"KT\", \u{202e}x: 1)").unwrap()),
            ("huge", |path| File::create(path).unwrap().set_len(1 << 40).unwrap()),
        ];
        for (name, trap) in traps {
            let home = tempfile::tempdir().unwrap();
            let config = home.path().join("config");
            fs::create_dir_all(&config).unwrap();
            trap(&config.join("preferences.ron"));
            let mut bench = Bench::open(home.path(), None);
            let warned = bench.app().warnings().iter().any(|why| why.contains("set aside"));
            assert!(warned, "{name}: {:?}", bench.app().warnings());
            assert!(bench.app().session().is_some(), "{name}: the demo opens all the same");
            nothing_hidden(&bench);
            let aside = |name: &str| name.starts_with("preferences.ron.broken-");
            let kept = fs::read_dir(&config).unwrap().flatten();
            let kept = kept.filter(|entry| aside(&entry.file_name().to_string_lossy())).count();
            assert_eq!(kept, 1, "{name}");
            bench.keys(Modifiers::COMMAND, Key::K);
            assert!(matches!(bench.app().front(), Sheet::Commands(_)), "{name}: it works");
        }
    });
}

/// Remembered paths that now lead to traps are passed over.
#[test]
fn remembered_traps_are_passed_over() {
    ends(|| {
        let home = tempfile::tempdir().unwrap();
        let config = home.path().join("config");
        fs::create_dir_all(&config).unwrap();
        let pipe = home.path().join("pipe.samepoint");
        fifo(&pipe);
        let recent = format!(
            "(recent: [{pipe:?}, \"/dev/zero\", \"\", \"\\u{{202e}}\"], shop: Some(\"/dev\"))"
        );
        fs::write(config.join("preferences.ron"), recent).unwrap();
        let bench = Bench::open(home.path(), None);
        assert!(
            bench.app().warnings().iter().all(|why| !why.contains("set aside")),
            "{:?}",
            bench.app().warnings()
        );
        nothing_hidden(&bench);
    });
}

/// What is no session and no shop is refused in words, at the start and from the sheet.
#[test]
fn paths_that_are_traps_are_refused() {
    ends(|| {
        let home = tempfile::tempdir().unwrap();
        let at = |name: &str| home.path().join(name);
        fifo(&at("pipe.samepoint"));
        symlink("/dev/zero", at("zeros.samepoint")).unwrap();
        symlink("round.samepoint", at("round.samepoint")).unwrap();
        fs::write(at("empty.samepoint"), "").unwrap();
        File::options().append(true).open(at("empty.samepoint")).unwrap().set_len(1 << 40).unwrap();
        fs::write(at("two\nlines\u{202e}.samepoint"), "no session").unwrap();
        let names = ["pipe", "zeros", "round", "empty", "two\nlines\u{202e}", "not there"];
        let paths: Vec<PathBuf> =
            names.iter().map(|name| at(&format!("{name}.samepoint"))).collect();
        let bench = Bench::open(home.path(), Some(paths[0].clone()));
        assert!(bench.app().warnings().iter().any(|why| why.contains("this is a pipe")));
        assert!(bench.says("this is a pipe"));
        drop(bench);

        let mut bench = Bench::open(home.path(), None);
        let before = bench.app().session().unwrap().file().path().to_owned();
        for path in &paths {
            bench.keys(Modifiers::COMMAND, Key::O);
            let text = path.display().to_string();
            bench.window.event(Event::Paste(text));
            bench.rest();
            bench.key(Key::Enter);
            let Sheet::Open(sheet) = bench.app().front() else { panic!("it stays open") };
            assert!(sheet.refused.is_some(), "{path:?}");
            bench.key(Key::Escape);
        }
        assert_eq!(bench.app().session().unwrap().file().path(), before);
        for name in [".pipe.samepoint.lock", ".zeros.samepoint.lock"] {
            assert!(!at(name).exists(), "{name}");
        }
    });
}

/// Millions of letters pasted anywhere are cut, said so, and answered at once.
#[test]
fn a_flood_is_cut() {
    ends(|| {
        let home = tempfile::tempdir().unwrap();
        let mut bench = start(home.path());
        let before = bench.app().session().unwrap().file().facts().len();
        let rows = "L\t0\t1\t2\n".repeat(600_000);
        for flood in [
            &rows,
            &"9".repeat(5_000_000),
            &"\n".repeat(5_000_000),
            &"\u{202e}\0\u{1b}[2J".repeat(100_000),
        ] {
            // Into the entry row, then into every sheet with a field of its own.
            let began = Instant::now();
            bench.window.event(Event::Paste(flood.clone()));
            bench.rest();
            let took = began.elapsed();
            assert!(took < Duration::from_secs(20), "{took:?}");
            assert!(
                bench.app().notice().is_some_and(|why| why.contains("pasted")),
                "{:?}",
                bench.app().notice()
            );
            if let Sheet::Paste(sheet) = bench.app().front() {
                assert!(sheet.text.len() <= 50_000);
            }
            bench.key(Key::Escape);
            for key in [Key::O, Key::K, Key::N] {
                bench.keys(Modifiers::COMMAND, key);
                bench.window.event(Event::Paste(flood.clone()));
                bench.rest();
                bench.key(Key::Escape);
                bench.key(Key::Escape);
            }
        }
        assert_eq!(
            bench.app().session().unwrap().file().facts().len(),
            before,
            "nothing is logged unseen"
        );
    });
}

/// A shop and its sessions with names that could mislead.
#[test]
fn a_shop_of_strange_names_opens() {
    ends(|| {
        let home = tempfile::tempdir().unwrap();
        let mut bench = start(home.path());
        bench.wait_saved().unwrap();
        let session = bench.app().session().unwrap().file().path().to_owned();
        drop(bench);
        let shop = home.path().join("two\nlines \u{202e}pohs");
        fs::create_dir_all(shop.join("sessions")).unwrap();
        fs::create_dir_all(shop.join("stations")).unwrap();
        for name in ["a\nb", "left\u{202e}tniopemas", "\u{1b}[2J", "\u{2028}"] {
            fs::copy(&session, shop.join("sessions").join(format!("{name}.samepoint"))).unwrap();
            fs::write(shop.join("stations").join(format!("{name}.ron")), "\u{202e}").unwrap();
        }
        let mut bench = Bench::open(home.path(), Some(shop.clone()));
        assert!(bench.app().session().unwrap().file().path().starts_with(&shop));
        assert_eq!(bench.app().warnings().len(), 4, "{:?}", bench.app().warnings());
        nothing_hidden(&bench);
        bench.keys(Modifiers::COMMAND, Key::O);
        nothing_hidden(&bench);
    });
}

/// A session that somebody else filled with what is no name: it opens, and nothing is moved by it.
/// (Marks that turn the reading direction do nothing here: the window draws letters as they come.)
#[test]
fn texts_of_a_session_move_nothing() {
    ends(|| {
        let home = tempfile::tempdir().unwrap();
        let mut bench = start(home.path());
        log_eight(&mut bench);
        bench.wait_saved().unwrap();
        let facts = bench.app().session().unwrap().file().facts().to_vec();
        let row = |bench: &Bench| bench.window.get_by_label_contains(" x entry").rect();
        let (path, wanted) = (home.path().join("other.samepoint"), row(&bench));
        drop(bench);
        for text in corpus() {
            write_all_lines(&with_texts(&facts, &text), File::create(&path).unwrap()).unwrap();
            let bench = Bench::open_on_any_letters(home.path(), path.clone());
            assert_eq!(
                bench.app().session().unwrap().file().facts().len(),
                facts.len(),
                "{:?}",
                bench.app().warnings()
            );
            assert_eq!(row(&bench), wanted, "{}", text.chars().take(20).collect::<String>());
            nothing_hidden(&bench);
            let mut bench = bench;
            bench.keys(Modifiers::ALT, Key::V);
            nothing_hidden(&bench);
        }
    });
}

/// A shop of such sessions: its table, its charts and what there is to look at.
#[test]
fn texts_of_a_shop_hide_nothing() {
    ends(|| {
        let home = tempfile::tempdir().unwrap();
        let mut bench = start(home.path());
        log_eight(&mut bench);
        bench.wait_saved().unwrap();
        let facts = bench.app().session().unwrap().file().facts().to_vec();
        drop(bench);
        let shop = home.path().join("shop");
        fs::create_dir_all(shop.join("sessions")).unwrap();
        for (number, text) in corpus().into_iter().enumerate() {
            let path = shop.join("sessions").join(format!("{number}\u{202e}.samepoint"));
            write_all_lines(&with_texts(&facts, &text), File::create(path).unwrap()).unwrap();
        }
        let mut bench = Bench::open_on_any_letters(home.path(), shop);
        bench.keys(Modifiers::ALT, Key::H);
        let begun = Instant::now();
        while bench.app().places().shop.reading.is_going_on() {
            assert!(begun.elapsed() < PATIENCE, "the sessions are never read");
            std::thread::sleep(Duration::from_millis(5));
            bench.rest();
        }
        nothing_hidden(&bench);
        for view in [
            "Circle centres",
            "Stations",
            "Shims",
            "Differences",
            "Locks",
            "Boresight",
            "To look at",
        ] {
            bench.press(view);
            nothing_hidden(&bench);
        }
    });
}
