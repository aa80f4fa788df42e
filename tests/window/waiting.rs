//! Nothing typed is lost: facts that cannot be written hold the window open, are kept in a rescue file
//! meanwhile, and are offered at the next start; only a hand discards them, and only knowingly.

use std::fs;
use std::io::ErrorKind::{PermissionDenied, StorageFull};
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use eframe::App as _;
use egui::{Key, Modifiers, ViewportCommand, ViewportEvent, ViewportId, vec2};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use record::{Fact, SaveState, SessionFile};
use samepoint::testing::{Place, Sheet};

use crate::bench::Bench;
use crate::failing_disk::{FailingDisk, Fails};
use crate::layout::everything_fits;
use crate::session::start;

pub(crate) fn path_of(bench: &Bench) -> PathBuf {
    bench.app().session().unwrap().file().path().to_owned()
}

pub(crate) fn facts(bench: &Bench) -> Vec<Fact> {
    bench.app().session().unwrap().file().facts().to_vec()
}

pub(crate) fn waiting(bench: &Bench) -> usize {
    bench.app().session().map_or(0, |session| session.file().unsaved().len())
}

pub(crate) fn on_disk(path: &Path) -> Vec<Fact> {
    let opener = record::Opener::here("test");
    SessionFile::open_read_only(path, record::FileOptions::real(opener)).unwrap().facts().to_vec()
}

pub(crate) fn rescue_files(home: &Path) -> Vec<PathBuf> {
    record::rescue::rescue_files(&home.join("state/rescue"), &record::RealDisk).unwrap()
}

/// Whatever lies in the rescue folder, lock files too.
pub(crate) fn in_rescue_folder(home: &Path) -> usize {
    fs::read_dir(home.join("state/rescue")).map_or(0, Iterator::count)
}

/// Types readings until so many facts wait on a disk that fails.
pub(crate) fn type_waiting(bench: &mut Bench, count: usize, how: Fails) {
    bench.wait_saved().unwrap();
    let folder = path_of(bench).parent().unwrap().to_owned();
    bench.disk.fail(&folder, how);
    let begun = Instant::now();
    for number in 0..count {
        bench.enter(&format!("{}.5", number + 1));
        bench.enter("-2.25");
    }
    while !matches!(bench.app().session().unwrap().file().save_state(), SaveState::Stopped { .. }) {
        assert!(begun.elapsed() < Duration::from_secs(10), "writing never stops");
        bench.rest();
    }
    bench.rest();
    assert_eq!(waiting(bench), count);
}

/// Fourteen readings on a full disk.
pub(crate) fn fourteen(home: &Path) -> Bench {
    let mut bench = start(home);
    type_waiting(&mut bench, 14, Fails::Writing(StorageFull));
    bench
}

/// Asks the window to close, as its button, its window manager and the quit key do; whether it stays.
pub(crate) fn close(bench: &mut Bench) -> bool {
    let viewport = bench.window.input_mut().viewports.entry(ViewportId::ROOT).or_default();
    viewport.events.push(ViewportEvent::Close);
    bench.window.step();
    let stays = commands(bench).contains(&ViewportCommand::CancelClose);
    bench.rest();
    stays
}

pub(crate) fn commands(bench: &Bench) -> Vec<ViewportCommand> {
    bench.window.output().viewport_output[&ViewportId::ROOT].commands.clone()
}

/// Presses a button and says whether the window then asks to be closed.
pub(crate) fn press_closes(bench: &mut Bench, name: &str) -> bool {
    // The button of the sheet: the bar above may have one of the same name.
    bench.window.query_all_by_label(name).last().unwrap().click();
    (0..8).any(|_| {
        bench.window.step();
        commands(bench).contains(&ViewportCommand::Close)
    })
}

/// Closing is refused until the facts are on disk; then the window closes by itself.
#[test]
fn the_window_stays_open_until_what_waits_is_safe() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = fourteen(home.path());
    assert!(bench.says("NOT SAVED · 14 waiting"));
    assert!(bench.says("They are kept in the rescue file"));
    let all = facts(&bench);
    assert!(close(&mut bench), "it closes");
    assert!(matches!(bench.app().front(), Sheet::Waiting(_)), "{:?}", bench.app().front());
    assert!(bench.says("14 facts of “0171” are not on disk."));
    assert!(bench.says("Cannot append to"));
    assert!(!press_closes(&mut bench, "Try again"));
    bench.rest();
    assert!(bench.says("Still not"));
    assert_eq!(facts(&bench), all);
    everything_fits(&bench, vec2(1280.0, 800.0), "what waits");

    let folder = path_of(&bench).parent().unwrap().to_owned();
    bench.disk.mend(&folder);
    let path = path_of(&bench);
    let closes = press_closes(&mut bench, "Try again");
    assert!(closes, "what waited for the choice is not done");
    assert!(!close(&mut bench), "nothing waits any more");
    assert_eq!(on_disk(&path), all);
    assert_eq!(in_rescue_folder(home.path()), 0, "and the rescue file is gone");
}

/// A window with nothing waiting closes at once, and so does one whose last fact is on its way.
#[test]
fn what_is_on_its_way_is_waited_for() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.type_text("3.5");
    bench.window.key_press(Key::Enter);
    bench.window.step();
    bench.type_text("1.5");
    bench.window.key_press(Key::Enter);
    let before = facts(&bench).len();
    assert!(!close(&mut bench));
    assert_eq!(facts(&bench).len(), before + 1);
    assert_eq!(on_disk(&path_of(&bench)), facts(&bench));
}

/// Keys that wait for their field, since Enter moves the keyboard, are heard before the window closes.
#[test]
fn what_was_typed_behind_an_enter_is_heard_before_the_window_closes() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let before = facts(&bench).len();
    for number in ["3.5", "1.5"] {
        let events = &mut bench.window.input_mut().events;
        events.push(egui::Event::Text(number.to_owned()));
        events.push(egui::Event::Key {
            key: Key::Enter,
            physical_key: None,
            pressed: true,
            repeat: false,
            modifiers: Modifiers::NONE,
        });
    }
    let viewport = bench.window.input_mut().viewports.entry(ViewportId::ROOT).or_default();
    viewport.events.push(ViewportEvent::Close);
    // As the program's own loop does, and the test's does not: what comes in goes through the hook.
    let frame = |bench: &mut Bench| {
        let context = bench.window.ctx.clone();
        let mut input = std::mem::take(bench.window.input_mut());
        bench.window.state_mut().raw_input_hook(&context, &mut input);
        *bench.window.input_mut() = input;
        bench.window.step();
    };
    frame(&mut bench);
    assert!(commands(&bench).contains(&ViewportCommand::CancelClose), "keys are still to be heard");
    let mut closes = false;
    for _ in 0..8 {
        frame(&mut bench);
        closes |= commands(&bench).contains(&ViewportCommand::Close);
    }
    assert!(closes, "it closes behind them");
    assert_eq!(facts(&bench).len(), before + 1);
    assert_eq!(on_disk(&path_of(&bench)), facts(&bench));
}

/// What a hand does to get there, and what that is called.
type Way<'a> = (&'a str, &'a dyn Fn(&mut Bench));

/// Every way to another session or shop: refused while facts wait, and gone afterwards.
#[test]
fn nothing_takes_the_place_of_a_session_whose_facts_wait() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = fourteen(home.path());
    let all = facts(&bench);
    let shop = path_of(&bench).parent().unwrap().parent().unwrap().to_owned();
    let other = fs::read_dir(shop.join("sessions"))
        .unwrap()
        .map(|entry| entry.unwrap().path())
        .find(|path| {
            path.extension().is_some_and(|end| end == "samepoint") && *path != path_of(&bench)
        })
        .unwrap();
    let another_shop = home.path().join("another");
    record::Shop::lay_out(&another_shop).unwrap();
    let open = |bench: &mut Bench, path: &Path| {
        bench.keys(Modifiers::COMMAND, Key::O);
        bench.enter(&path.display().to_string());
    };
    let ways: [Way<'_>; 5] = [
        ("another session", &|bench| open(bench, &other)),
        ("the same shop", &|bench| open(bench, &shop)),
        ("another shop", &|bench| open(bench, &another_shop)),
        ("a new session", &|bench| {
            bench.keys(Modifiers::COMMAND, Key::N);
            bench.type_text("0999");
            bench.key(Key::Tab);
            bench.enter("KT");
        }),
        ("practice", &|bench| {
            bench.keys(Modifiers::ALT, Key::P);
            bench.press("Start unit");
        }),
    ];
    for (what, way) in ways {
        let sessions = fs::read_dir(shop.join("sessions")).unwrap().count();
        way(&mut bench);
        assert!(
            matches!(bench.app().front(), Sheet::Waiting(_)),
            "{what}: {:?}",
            bench.app().front()
        );
        assert_eq!(facts(&bench), all, "{what}");
        let now = fs::read_dir(shop.join("sessions")).unwrap().count();
        assert_eq!(now, sessions, "{what} made a file before it was asked");
        // Back: everything stays as it is.
        bench.key(Key::Escape);
        assert_eq!(waiting(&bench), 14, "{what}");
        while *bench.app().front() != Sheet::Clear || bench.app().place() != Place::Bench {
            bench.key(Key::Escape);
        }
    }
    // Opening the session that is open lets go of nothing.
    let here = path_of(&bench);
    open(&mut bench, &here);
    assert_eq!(waiting(&bench), 14);
    assert!(!matches!(bench.app().front(), Sheet::Waiting(_)));
    // Left in the rescue file on the way to another session.
    open(&mut bench, &other);
    bench.press("Leave them in the rescue file");
    assert_eq!(path_of(&bench), other, "{:?}", bench.app().warnings());
    let [rescue] = &rescue_files(home.path())[..] else { panic!() };
    assert_eq!(record::rescue::look(rescue, &record::RealDisk).unwrap().facts, 14);
}

/// Written elsewhere: every fact, never over a file that is there, and then the window closes.
#[test]
fn what_waits_is_written_elsewhere() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = fourteen(home.path());
    let (all, old) = (facts(&bench), path_of(&bench));
    assert!(close(&mut bench));
    bench.press("Write them elsewhere…");
    assert!(bench.says("The 14 facts that are only in memory come along."));
    let Sheet::Continue(sheet) = bench.app().front() else { panic!() };
    assert!(!Path::new(&sheet.path.path).starts_with(old.parent().unwrap()), "the full disk");
    let letter = home.path().join("letter.samepoint");
    fs::write(&letter, "dear customer").unwrap();
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&letter.display().to_string());
    assert!(bench.says("is there already and is left alone"));
    assert_eq!(fs::read_to_string(&letter).unwrap(), "dear customer");
    assert_eq!(waiting(&bench), 14);
    // Onto the full disk, and into a folder that is not there: refused, nothing lost.
    for bad in [old.with_file_name("b.samepoint"), home.path().join("none/b.samepoint")] {
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.enter(&bad.display().to_string());
        assert!(matches!(bench.app().front(), Sheet::Continue(_)));
        assert_eq!(waiting(&bench), 14);
        assert!(!bad.exists());
    }
    let new = home.path().join("elsewhere.samepoint");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text(&new.display().to_string());
    assert!(press_closes(&mut bench, "Continue there"), "{:?}", bench.app().front());
    assert!(!close(&mut bench));
    assert_eq!(on_disk(&new)[1..], all[1..]);
    assert_eq!(on_disk(&old).len(), all.len() - 14);
    assert_eq!(in_rescue_folder(home.path()), 0);
}

/// Discarding is asked for twice, names how many, and is never what Enter does.
#[test]
fn facts_are_discarded_only_knowingly() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = fourteen(home.path());
    let saved = facts(&bench).len() - 14;
    assert!(close(&mut bench));
    // Enter tries again, and again.
    bench.key(Key::Enter);
    assert_eq!(waiting(&bench), 14);
    bench.press("Discard 14 facts…");
    assert!(bench.says("14 facts would be lost for ever"));
    bench.key(Key::Enter);
    assert_eq!(waiting(&bench), 14, "Enter discarded them");
    assert!(!bench.says("would be lost"));
    bench.press("Discard 14 facts…");
    bench.key(Key::Delete);
    assert_eq!(waiting(&bench), 14, "Delete alone discarded them");
    // The press alone: its release would be a frame of its own, behind the one that closes.
    bench.window.event(egui::Event::Key {
        key: Key::Delete,
        physical_key: None,
        pressed: true,
        repeat: false,
        modifiers: Modifiers::COMMAND,
    });
    let closes = (0..8).any(|_| {
        bench.window.step();
        commands(&bench).contains(&ViewportCommand::Close)
    });
    assert!(closes);
    assert_eq!(in_rescue_folder(home.path()), 0);
    drop(bench);
    let bench = Bench::open(home.path(), None);
    assert_eq!((facts(&bench).len(), bench.app().front()), (saved, &Sheet::Clear));
}

/// Where the rescue folder takes nothing either, that is said, and nothing pretends otherwise.
#[test]
fn facts_in_memory_only_are_said_to_be() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.disk.fail(&home.path().join("state"), Fails::Writing(PermissionDenied));
    type_waiting(&mut bench, 3, Fails::Writing(StorageFull));
    assert!(bench.says("in memory only"));
    assert!(close(&mut bench));
    assert!(bench.window.query_by_label("Leave them in the rescue file").is_none());
    assert!(bench.says("3 facts of “0171” are not on disk."));
}

/// Where files cannot be synced, the hand can agree: found out in mid-session, or before a session is
/// begun. The mark never says more than is so.
#[test]
fn where_nothing_syncs_the_hand_can_agree() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    type_waiting(&mut bench, 2, Fails::Syncing);
    let sessions = path_of(&bench).parent().unwrap().to_owned();
    bench.press("Write all the same");
    let begun = Instant::now();
    while waiting(&bench) > 0 && begun.elapsed() < Duration::from_secs(10) {
        bench.rest();
    }
    assert!(bench.says("written, but a power cut may lose it"), "{:?}", bench.app().warnings());
    assert_eq!(on_disk(&path_of(&bench)), facts(&bench));
    assert_eq!(in_rescue_folder(home.path()), 0);
    assert!(!close(&mut bench));

    let count = || {
        let entries = fs::read_dir(&sessions).unwrap().flatten();
        entries.filter(|entry| !entry.file_name().to_string_lossy().starts_with('.')).count()
    };
    let before = count();
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0999");
    bench.key(Key::Tab);
    bench.enter("KT");
    assert!(matches!(bench.app().front(), Sheet::SetUp(_)), "what was typed stays");
    assert_eq!(count(), before, "an empty session is left behind");
    bench.press("Write all the same");
    assert_eq!(bench.app().session().unwrap().title(), "0999", "{:?}", bench.app().front());
    let begun = Instant::now();
    while waiting(&bench) > 0 && begun.elapsed() < Duration::from_secs(10) {
        bench.rest();
    }
    assert!(bench.says("written, but a power cut may lose it"));
    assert_eq!(count(), before + 1);
}

/// The mark of what is saved is never covered: whatever the unit is called, at every size and zoom.
#[test]
fn a_long_name_never_covers_the_saved_mark() {
    let name = "0171 with a name so long that nobody would ever write it on a housing but here it stands all of it";
    for (size, zoomed) in [
        (vec2(1280.0, 800.0), 0),
        (vec2(640.0, 480.0), 0),
        (vec2(640.0, 480.0), 10),
        (vec2(1280.0, 800.0), 10),
    ] {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_with(home.path(), None, size, 1.0, FailingDisk::default());
        bench.keys(Modifiers::COMMAND, Key::N);
        bench.type_text(name);
        bench.key(Key::Tab);
        bench.enter("KT");
        for _ in 0..zoomed {
            bench.keys(Modifiers::COMMAND, Key::Plus);
        }
        for full in [false, true] {
            if full {
                type_waiting(&mut bench, 2, Fails::Writing(StorageFull));
            } else {
                bench.wait_saved().unwrap();
            }
            let mark = bench.app().session().unwrap().saved().words().to_owned();
            let across = size.x / bench.app().preferences().scale;
            let node = bench.window.get_by_label(&mark);
            let rect = node.rect();
            assert!(rect.left() >= 0.0 && rect.right() <= across + 0.5, "{mark} {rect:?} {size:?}");
            assert!(rect.width() > 20.0, "{mark} {rect:?} {size:?} at {zoomed}");
            let over = |label: &str, other: egui::Rect| {
                let into = other.intersect(rect);
                let covers = into.width() > 0.5 && into.height() > 0.5;
                assert!(!covers, "{label} {other:?} covers {rect:?} at {size:?} {zoomed}");
            };
            for title in bench.window.query_all_by_label(name) {
                over("the name", title.rect());
            }
            for button in bench.window.query_all_by_role(egui::accesskit::Role::Button) {
                let label = button.accesskit_node().label().unwrap_or_default();
                over(&label, button.rect());
            }
        }
    }
}

/// Waits until a file's writing has stopped with facts waiting, or all is saved.
pub(crate) fn until(bench: &mut Bench, what: &str, done: impl Fn(&Bench) -> bool) {
    let begun = Instant::now();
    while !done(bench) {
        assert!(begun.elapsed() < Duration::from_secs(10), "{what}");
        bench.rest();
        std::thread::sleep(Duration::from_millis(2));
    }
    bench.rest();
}

/// The check file and the study are files of facts too: they hold the window open and are rescued.
#[test]
fn checks_and_studies_are_kept_alike() {
    let home = tempfile::tempdir().unwrap();
    let stations = [("Bench A", "2027-03-01"), ("Bench B", "2027-03-01")];
    let folder = crate::upkeep::shop(home.path(), &stations);
    let mut bench = crate::upkeep::bench(home.path(), folder.clone());
    bench.keys(Modifiers::ALT, Key::C);
    bench.type_text("target plate 1");
    for _ in 0..4 {
        bench.key(Key::Tab);
    }
    bench.enter("0.1");
    bench.enter("-0.2");
    let checks = |bench: &Bench| {
        let open = bench.app().checks()?;
        open.file().map(|file| (file.path().to_owned(), file.unsaved().len(), file.save_state()))
    };
    until(&mut bench, "never saved", |bench| {
        checks(bench).is_some_and(|(_, unsaved, _)| unsaved == 0)
    });
    bench.disk.fail(&folder.join("checks"), Fails::Writing(StorageFull));
    bench.enter("0.2");
    bench.enter("-0.1");
    let stopped = |state: &SaveState| matches!(state, SaveState::Stopped { .. });
    until(&mut bench, "never stops", |bench| {
        checks(bench).is_some_and(|(_, _, state)| stopped(&state))
    });
    let (check_path, ..) = checks(&bench).unwrap();
    let before = record::Shop::load(&folder).unwrap().checks(&record::RealDisk).unwrap().0;
    assert_eq!(before[0].checks.comparable().count(), 1);

    bench.key(Key::Escape);
    crate::study::begun(&mut bench, "1,2", "A, B", "2");
    let study = |bench: &Bench| {
        let open = bench.app().places().study.open.as_ref()?;
        Some((open.file().path().to_owned(), open.file().unsaved().len(), open.file().save_state()))
    };
    until(&mut bench, "never saved", |bench| {
        study(bench).is_some_and(|(_, unsaved, _)| unsaved == 0)
    });
    bench.disk.fail(&folder.join("studies"), Fails::Writing(StorageFull));
    bench.enter("0.2");
    bench.enter("-0.1");
    until(&mut bench, "never stops", |bench| {
        study(bench).is_some_and(|(_, _, state)| stopped(&state))
    });
    let (study_path, ..) = study(&bench).unwrap();
    assert!(bench.says("1 fact of “checks of Bench A” waits to be written."));
    assert!(bench.says("1 fact of “study of Bench A” waits to be written."));

    assert!(close(&mut bench));
    assert!(bench.says("1 fact of “checks of Bench A” is not on disk."));
    bench.key(Key::Escape);
    // Another study would take the place of this one.
    bench.press("New study…");
    bench.type_text("1,2");
    bench.key(Key::Tab);
    bench.type_text("A, B");
    bench.key(Key::Tab);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("2");
    assert!(
        bench.says("1 fact of “study of Bench A” is not on disk."),
        "{:?}",
        bench.app().front()
    );
    assert_eq!(study(&bench).unwrap().1, 1);
    drop(bench);
    assert_eq!(rescue_files(home.path()).len(), 2);

    let mut bench = Bench::open(home.path(), Some(folder.clone()));
    for _ in 0..2 {
        let told = ["check file", "study"]
            .into_iter()
            .filter(|kind| bench.says(&format!("1 fact of the {kind} of “Bench A”")));
        assert_eq!(told.count(), 1);
        bench.press("Take them in");
    }
    assert_eq!(in_rescue_folder(home.path()), 0);
    assert_eq!(*bench.app().front(), Sheet::Clear);
    let after = record::Shop::load(&folder).unwrap().checks(&record::RealDisk).unwrap().0;
    assert_eq!((after[0].path.clone(), after[0].checks.comparable().count()), (check_path, 2));
    let options = record::FileOptions::real(record::Opener::here("test"));
    let study = record::studies::StudyFile::open_read_only(&study_path, options).unwrap();
    assert_eq!(study.facts().len(), 2, "its plan and the cell");
}

/// The sheets about what waits fit every size and zoom.
#[test]
fn what_waits_fits_every_size() {
    for (size, zoomed) in
        [(vec2(640.0, 480.0), 0), (vec2(1280.0, 800.0), 10), (vec2(1920.0, 1080.0), 0)]
    {
        let home = tempfile::tempdir().unwrap();
        let mut bench = Bench::open_sized(home.path(), None, size, 1.0);
        bench.keys(Modifiers::COMMAND, Key::N);
        bench.type_text("0171");
        bench.key(Key::Tab);
        bench.enter("KT");
        for _ in 0..zoomed {
            bench.keys(Modifiers::COMMAND, Key::Plus);
        }
        type_waiting(&mut bench, 2, Fails::Writing(StorageFull));
        let room = bench.window.ctx.content_rect().size();
        assert!(close(&mut bench));
        everything_fits(&bench, room, "what waits");
        bench.press_anywhere("Discard 2 facts…");
        everything_fits(&bench, room, "discarding");
        bench.press_anywhere("Keep them");
        bench.press_anywhere("Write them elsewhere…");
        everything_fits(&bench, room, "elsewhere");
        drop(bench);
        let bench = Bench::open_sized(home.path(), None, size, 1.0);
        assert!(matches!(bench.app().front(), Sheet::Rescue(_)));
        let room = bench.window.ctx.content_rect().size();
        everything_fits(&bench, room, "the rescue");
    }
}
