//! Files and shops: what happens beside the readings.

use std::fs;
use std::path::{Path, PathBuf};

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use record::{Access, ReadOnlyReason};
use samepoint::testing::{Ask, DialogAnswer, Sheet, Work};

use crate::bench::Bench;
use crate::session::{log_eight, start};

fn open_path(bench: &Bench) -> PathBuf {
    bench.app().session().unwrap().file().path().to_owned()
}

/// A session with eight readings, saved and closed; how many facts it has.
fn eight_closed(home: &Path) -> (PathBuf, usize) {
    let mut bench = start(home);
    log_eight(&mut bench);
    bench.wait_saved().unwrap();
    (open_path(&bench), bench.app().session().unwrap().file().facts().len())
}

/// The demo shop opens by itself, with its newest session ready to work in.
#[test]
fn the_first_start_opens_the_demo_shop() {
    let home = tempfile::tempdir().unwrap();
    let bench = Bench::open(home.path(), None);
    assert!(open_path(&bench).starts_with(home.path().join("data/demo-shop/sessions")));
    assert!(bench.app().session().unwrap().picture().setting.is_some());
    assert!(bench.app().warnings().is_empty(), "{:?}", bench.app().warnings());
}

/// A second window on the same session looks on: it is told who has it, and cannot log.
#[test]
fn a_second_window_is_read_only() {
    let home = tempfile::tempdir().unwrap();
    let mut first = start(home.path());
    log_eight(&mut first);
    first.wait_saved().unwrap();
    let path = open_path(&first);

    let other = tempfile::tempdir().unwrap();
    let mut second = Bench::open(other.path(), Some(path.clone()));
    let session = second.app().session().unwrap();
    assert!(matches!(session.file().access(), Access::ReadOnly(ReadOnlyReason::InUse(_))));
    assert_eq!(session.file().facts(), first.app().session().unwrap().file().facts());
    assert!(second.says("KT"), "it says who has it open");
    assert!(second.says("Read only"));
    let before = fs::read(&path).unwrap();
    second.keys(Modifiers::COMMAND, Key::Z);
    second.key(Key::F9);
    assert!(second.says("This session is read only here"), "{:?}", second.app().notice());
    assert_eq!(fs::read(&path).unwrap(), before);
    // The first goes on as before.
    first.enter("1.0");
    first.enter("2.0");
    first.wait_saved().unwrap();
    assert!(fs::read(&path).unwrap().len() > before.len());
}

/// A copy is byte for byte the same, and logging goes on in the session's own file.
#[test]
fn a_copy_is_kept_beside() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.wait_saved().unwrap();
    let copy = home.path().join("copy.samepoint");
    bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::S);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&copy.display().to_string());
    assert_eq!(bench.app().front(), &Sheet::Clear, "{:?}", bench.app().notice());
    let path = open_path(&bench);
    assert_eq!(fs::read(&copy).unwrap(), fs::read(&path).unwrap());
    assert_ne!(path, copy);
}

/// A report is written beside the session by keyboard; what is no report is not overwritten.
#[test]
fn a_report_is_written() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.wait_saved().unwrap();
    let letter = home.path().join("letter.pdf");
    fs::write(&letter, "dear customer").unwrap();
    // What the sheet offers is selected: typing takes its place.
    bench.keys(Modifiers::COMMAND, Key::P);
    bench.enter(&letter.display().to_string());
    bench.wait_written();
    let Sheet::Report(sheet) = bench.app().front() else { panic!("the sheet is gone") };
    assert!(sheet.path.refused.as_ref().unwrap().contains("no report"), "{sheet:?}");
    assert_eq!(fs::read_to_string(&letter).unwrap(), "dear customer");
    let report = home.path().join("report.pdf");
    // After a refusal the keyboard is still in the field.
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&report.display().to_string());
    bench.wait_written();
    assert_eq!(bench.app().front(), &Sheet::Clear, "{:?}", bench.app().notice());
    assert!(fs::read(&report).unwrap().starts_with(b"%PDF-"));
}

/// Where a report was put is told with its name in sight, all of the place on hover and for a screen reader.
#[test]
fn a_report_is_told_with_its_place() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.wait_saved().unwrap();
    let folder = home.path().join("customers of the west coast").join("jobs of this November");
    fs::create_dir_all(&folder).unwrap();
    let report = folder.join("report.pdf");
    bench.keys(Modifiers::COMMAND, Key::P);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter(&report.display().to_string());
    bench.wait_written();
    assert_eq!(bench.app().front(), &Sheet::Clear, "{:?}", bench.app().notice());
    let whole = format!("Report written to {}", report.display());
    let shown =
        format!("Report written to …{}", Path::new("/jobs of this November/report.pdf").display());
    assert!(crate::glance::drawn(&bench, &shown, 1.0).is_some_and(|(_, whole)| whole), "{shown}");
    let told = bench.window.get_by_label(&whole).rect();
    let before = bench.window.query_all_by_label(&whole).count();
    bench.window.hover_at(told.center());
    for _ in 0..80 {
        bench.window.step();
    }
    assert!(bench.window.query_all_by_label(&whole).count() > before, "all of it on hover");

    // A short one is told as it is.
    bench.keys(Modifiers::COMMAND, Key::P);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("/tmp/samepoint-no-such-folder/r.pdf");
    bench.wait_written();
    assert!(bench.says("samepoint-no-such-folder"), "what could not be written says where");
}

/// Where no dialog service runs the sheet says so, and the path field still works.
#[test]
fn without_a_dialog_service_paths_are_typed() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let path = open_path(&bench);
    bench.keys(Modifiers::COMMAND, Key::O);
    bench.press("Choose with a file dialog…");
    assert!(bench.says("Type the path instead"));
    assert!(matches!(bench.dialogs.asked.lock().unwrap()[0], Ask::OpenSession { .. }));
    *bench.dialogs.next.lock().unwrap() =
        Some(DialogAnswer::Chosen(path.with_file_name("none.samepoint")));
    bench.press("Choose with a file dialog…");
    bench.press("Open");
    // The file is not there: it is said on the sheet, and the open session stays.
    assert!(bench.says("none.samepoint"));
    assert_eq!(open_path(&bench), path);
}

/// What is no session is refused with its name and reason; the bench stays usable.
#[test]
fn what_is_no_session_is_refused() {
    let home = tempfile::tempdir().unwrap();
    for (name, bytes) in [
        ("empty.samepoint", b"".as_slice()),
        ("text.samepoint", b"hello\n"),
        ("binary.samepoint", &[0, 159, 146, 150]),
    ] {
        let path = home.path().join(name);
        fs::write(&path, bytes).unwrap();
        let bench = Bench::open(home.path(), Some(path.clone()));
        let told = bench.app().warnings().join("\n")
            + &bench.app().session().map(|s| s.file().access().to_string()).unwrap_or_default();
        assert!(!told.is_empty(), "{name}: nothing was said");
        assert_eq!(fs::read(&path).unwrap(), bytes, "{name} was changed");
    }
}

/// A damaged session opens read-only and goes on in a new file; the damaged one stays as it was.
#[test]
fn a_damaged_session_goes_on_in_a_new_file() {
    let home = tempfile::tempdir().unwrap();
    let (path, _) = eight_closed(home.path());
    let mut bytes = fs::read(&path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(&path, &bytes).unwrap();

    let mut bench = Bench::open(home.path(), Some(path.clone()));
    assert!(bench.says("read only"));
    let kept = bench.app().session().unwrap().file().facts().len();
    bench.press("Continue in a new file…");
    bench.press("Continue there");
    let session = bench.app().session().unwrap();
    assert!(session.is_writable());
    assert_eq!(session.file().facts().len(), kept + 1, "and the note that it was damaged");
    assert_eq!(session.state().marks(), [record::FileMarkKind::ContinuedInPart]);
    assert_ne!(session.file().path(), path);
    assert_eq!(fs::read(&path).unwrap(), bytes);
}

/// A session whose end is missing may have lost what was saved: it is looked at first, and goes on only on
/// the hand's word, with the torn bytes kept and the decision noted.
#[test]
fn a_missing_end_waits_for_the_hands_word() {
    let home = tempfile::tempdir().unwrap();
    let (path, _) = eight_closed(home.path());
    let mut bytes = fs::read(&path).unwrap();
    bytes.truncate(bytes.len() - 40);
    fs::write(&path, &bytes).unwrap();

    let mut bench = Bench::open(home.path(), Some(path.clone()));
    assert!(bench.says("the end is missing · read only"));
    assert!(bench.says("it may have been saved"));
    assert!(!bench.app().session().unwrap().is_writable());
    assert_eq!(fs::read(&path).unwrap(), bytes, "looking at it cut it");
    let kept = bench.app().session().unwrap().file().facts().len();
    bench.press("Set the torn bytes aside and go on");
    bench.wait_saved().unwrap();
    assert!(bench.says("are kept in"));
    let session = bench.app().session().unwrap();
    assert!(session.is_writable());
    assert_eq!(session.state().marks(), [record::FileMarkKind::EndSetAside]);
    assert_eq!(session.file().facts().len(), kept + 1);
    let torn = fs::read_dir(path.parent().unwrap()).unwrap().find_map(|entry| {
        let path = entry.unwrap().path();
        path.to_string_lossy().contains(".torn-").then(|| fs::read(path).unwrap())
    });
    assert!(bytes.ends_with(&torn.unwrap()));
}

/// A crash page is shown at the next start, once.
#[test]
fn a_crash_is_told_at_the_next_start() {
    let home = tempfile::tempdir().unwrap();
    let state = home.path().join("state");
    fs::create_dir_all(&state).unwrap();
    fs::write(state.join("crash-2026-11-24T18-02-11.txt"), "what it was doing").unwrap();
    let bench = Bench::open(home.path(), None);
    assert!(bench.says("stopped unexpectedly"));
    drop(bench);
    let bench = Bench::open(home.path(), None);
    assert!(!bench.says("stopped unexpectedly"));
}

/// A folder is a shop: its stations, housings and windows are what a new session offers.
#[test]
fn a_folder_opens_as_a_shop() {
    let home = tempfile::tempdir().unwrap();
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data");
    let shop = home.path().join("my-shop");
    for folder in ["stations", "windows", "housings"] {
        fs::create_dir_all(shop.join(folder)).unwrap();
        for file in fs::read_dir(demo.join(folder)).unwrap().flatten() {
            fs::copy(file.path(), shop.join(folder).join(file.file_name())).unwrap();
        }
    }
    fs::write(shop.join("stations/Broken.ron"), "(name: 3)").unwrap();
    let bench = Bench::open(home.path(), Some(shop));
    assert!(bench.app().session().is_none());
    assert!(matches!(bench.app().front(), Sheet::SetUp(_)), "an empty shop offers a new session");
    let offered = bench.window.query_all_by_value("Bench 2").next().is_some();
    assert!(offered, "the first station is offered");
    assert!(bench.says("Broken.ron"), "a broken file is named, and skipped");
}

/// A flipped bit costs its own line: the rest goes on in a new session, marked as salvaged.
#[test]
fn a_damaged_session_is_salvaged() {
    let home = tempfile::tempdir().unwrap();
    let (path, facts) = eight_closed(home.path());
    let mut bytes = fs::read(&path).unwrap();
    let middle = bytes.len() / 2;
    bytes[middle] ^= 1;
    fs::write(&path, &bytes).unwrap();

    let mut bench = Bench::open(home.path(), Some(path.clone()));
    assert!(bench.app().session().unwrap().file().facts().len() < facts);
    bench.press("Salvage into a new file");
    bench.wait_saved().unwrap();
    assert!(bench.says("verify") && bench.says("the damaged file stays as it is"));
    let session = bench.app().session().unwrap();
    assert!(session.is_writable());
    assert!(session.state().marks().contains(&record::FileMarkKind::Salvaged));
    assert_eq!(session.file().facts().len(), facts + 1, "every fact or a note in its place");
    // For ever, where everything else about the session stands.
    let mut told = bench.window.query_all_by_label_contains("salvaged, unsigned");
    assert!(told.any(|node| node.rect().bottom() < 48.0), "in the top bar");
    assert_eq!(fs::read(&path).unwrap(), bytes);
}

/// Where the first line is lost the file cannot be opened: what verifies behind it is offered, from the
/// sheet as from the start, and goes on as a marked session.
#[test]
fn a_session_whose_first_line_is_lost_is_salvaged() {
    let home = tempfile::tempdir().unwrap();
    let (path, facts) = eight_closed(home.path());
    let mut bytes = fs::read(&path).unwrap();
    bytes[..90].fill(0);
    fs::write(&path, &bytes).unwrap();

    let mut bench = Bench::open(home.path(), None);
    bench.keys(Modifiers::COMMAND, Key::O);
    bench.enter(&path.display().to_string());
    assert!(bench.says("Its first line is lost"), "it says what is lost");
    assert_eq!(bench.app().front(), &Sheet::Clear, "the offer is in sight");
    bench.press("Salvage the unreadable file into a new one");
    bench.wait_saved().unwrap();
    let session = bench.app().session().unwrap();
    assert!(session.is_writable());
    assert!(session.state().marks().contains(&record::FileMarkKind::Salvaged));
    let now = session.file().facts().len();
    assert_eq!(now, facts + 1, "a note for each fact that is lost, and the mark");
    assert_eq!(fs::read(&path).unwrap(), bytes, "the damaged file stays as it is");
    assert!(bench.window.query_by_label("Salvage the unreadable file into a new one").is_none());
    drop(bench);

    let mut bench = Bench::open(home.path(), Some(path.clone()));
    bench.press("Salvage the unreadable file into a new one");
    bench.wait_saved().unwrap();
    assert_ne!(bench.app().session().unwrap().file().path(), path);
}

/// Where nothing that verifies tells a real unit from practice, the hand must say so by the button.
#[test]
fn a_hand_says_that_the_lost_beginning_was_of_a_real_unit() {
    let home = tempfile::tempdir().unwrap();
    let (path, _) = eight_closed(home.path());
    let bytes = fs::read(&path).unwrap();
    let readings = bytes.windows(8).position(|at| at == b"reading(").unwrap();
    fs::write(&path, &bytes[readings..]).unwrap();
    let mut bench = Bench::open(home.path(), Some(path));
    bench.press("It was a real unit: salvage into a new file");
    bench.wait_saved().unwrap();
    assert!(bench.says("says so"));
    assert!(
        bench.app().session().unwrap().state().marks().contains(&record::FileMarkKind::Salvaged)
    );
}

/// The label's sheet says what will stand on it, refuses what is no day, and writes it by keyboard.
#[test]
fn a_label_is_written() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.wait_saved().unwrap();
    bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::P);
    bench.wait_written();
    let Sheet::Label(sheet) = bench.app().front() else { panic!("no sheet") };
    assert!(sheet.says.contains(&"NO VERDICT".to_owned()), "{:?}", sheet.says);
    let to = home.path().join("label.svg");
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text(&to.display().to_string());
    bench.key(Key::Tab);
    bench.enter("soon");
    let Sheet::Label(sheet) = bench.app().front() else { panic!("the sheet is gone") };
    assert!(sheet.path.refused.as_ref().unwrap().contains("soon"), "{:?}", sheet.path.refused);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.enter("2031-01-31");
    bench.wait_written();
    assert_eq!(bench.app().front(), &Sheet::Clear, "{:?}", bench.app().notice());
    assert!(fs::read_to_string(&to).unwrap().contains("samepoint unit label"));
}

/// Whoever puts the sheet away while its report is written is told above everything what became of it.
#[test]
fn a_report_whose_sheet_was_put_away_is_told() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.wait_saved().unwrap();
    let to = home.path().join("report.pdf");
    bench.keys(Modifiers::COMMAND, Key::P);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text(&to.display().to_string());
    bench.threads.hold(&[Work::Report]);
    bench.key(Key::Enter);
    assert!(bench.says("The report is being written…") && !to.exists());
    // The window goes on meanwhile, and the same is not begun twice.
    bench.key(Key::Enter);
    assert_eq!(bench.threads.times_begun(Work::Report), 1);
    bench.key(Key::Escape);
    assert_eq!(bench.app().front(), &Sheet::Clear);
    bench.threads.let_go();
    bench.wait_written();
    assert!(bench.says("Report written to") && to.is_file());
}
