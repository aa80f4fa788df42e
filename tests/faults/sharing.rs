//! Others at the same file, on a real disk: a second opener, a file replaced, deleted, grown or
//! cut under us, folders and files we may not write, places without locks or syncs.

use std::fs;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use record::{Access, Body, Error, Event, Fact, ReadOnlyReason, SaveState, SessionFile};

use crate::disk::{FaultyDisk, Plan};
use crate::power::{on, path, script};
use crate::support::*;

/// A session of the script's facts on the real disk, open for writing.
fn begun(folder: &Path) -> (PathBuf, SessionFile, Vec<Fact>) {
    let (path, script) = (folder.join("a.samepoint"), script());
    let Body::Header(header) = script[0].body.clone() else { panic!("a header") };
    let mut file = SessionFile::create(&path, header, HAND, real()).unwrap();
    for fact in &script[1..] {
        file.append(fact.body.clone(), fact.time, HAND).unwrap();
    }
    settle(&mut file);
    (path, file, script)
}

fn note(text: &str) -> Body {
    Body::Note(record::Note { text: text.to_owned(), about: None })
}

/// Adds a fact that must not get to the file, and says why it did not.
fn stopped(file: &mut SessionFile) -> Error {
    file.append(note("while it was gone"), stamp(50), HAND).unwrap();
    settle(file);
    match file.save_state() {
        SaveState::Stopped { why, waiting: 1 } => why,
        other => panic!("{other:?}"),
    }
}

/// Goes on in a new file, which must hold all facts, the unsaved one too.
fn goes_on(file: &SessionFile, folder: &Path) {
    let path = folder.join("b.samepoint");
    let mut next = file.continue_in(&path, "samepoint 0.1.0", HAND, real()).unwrap();
    assert_eq!(next.facts()[1..], file.facts()[1..]);
    let Body::Header(header) = &next.facts()[0].body else { panic!("a header") };
    let continues = header.continues.as_ref().unwrap();
    assert_eq!(
        (continues.file.as_str(), continues.facts),
        ("a.samepoint", file.facts().len() as u64)
    );
    next.append(note("goes on"), stamp(60), HAND).unwrap();
    next.finish().unwrap();
    drop(next);
    let again = SessionFile::open(&path, real()).unwrap();
    assert_eq!(again.facts().len(), file.facts().len() + 1);
}

#[test]
fn a_second_opener_looks_on_and_is_told_who_writes() {
    let folder = tempfile::tempdir().unwrap();
    let (path, mut file, script) = begun(folder.path());
    let mut options = real();
    options.opener.who = "M. Okafor".to_owned();
    let mut second = SessionFile::open(&path, options.clone()).unwrap();
    let Access::ReadOnly(ReadOnlyReason::InUse(holder)) = second.access() else {
        panic!("{}", second.access());
    };
    assert_eq!((holder.who.as_str(), holder.place.as_str()), (HAND, "bench-2"));
    assert_eq!(second.facts(), script);
    let words = second.append(note("no"), stamp(1), HAND).unwrap_err().to_string();
    assert!(
        words.contains("R. Voss at bench-2 since ") && words.contains(" on 2026-11-25"),
        "{words}"
    );
    assert!(matches!(second.save_state(), SaveState::ReadOnly));
    // The first goes on undisturbed, and once it is closed the second can write.
    file.append(note("yes"), stamp(2), HAND).unwrap();
    file.finish().unwrap();
    let third = SessionFile::open(&path, options).unwrap();
    assert!(matches!(third.access(), Access::Writing));
    assert_eq!(third.facts().len(), script.len() + 1);
    assert!(folder.path().join(".a.samepoint.lock").exists(), "the lock file is never deleted");
}

#[test]
fn a_file_that_is_there_is_never_begun_anew() {
    let folder = tempfile::tempdir().unwrap();
    let (path, file, _) = begun(folder.path());
    drop(file);
    let before = fs::read(&path).unwrap();
    let refused = SessionFile::create(&path, header(), HAND, real());
    assert!(matches!(refused, Err(Error::AlreadyThere { .. })), "{refused:?}");
    assert_eq!(fs::read(&path).unwrap(), before);
}

#[test]
fn a_file_replaced_under_us_stops_the_writing_and_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let (path, mut file, _) = begun(folder.path());
    let other = folder.path().join("other");
    fs::write(&other, fs::read(&path).unwrap()).unwrap();
    fs::rename(&other, &path).unwrap();
    let before = fs::read(&path).unwrap();
    assert!(matches!(stopped(&mut file), Error::FileReplaced { .. }));
    assert_eq!(fs::read(&path).unwrap(), before);
    file.try_again();
    settle(&mut file);
    assert!(matches!(file.save_state(), SaveState::Stopped { .. }), "it is still another file");
    goes_on(&file, folder.path());
    assert!(file.finish().is_err(), "closing says what was not saved");
    assert_eq!(file.unsaved().len(), 1);
}

#[test]
fn a_file_deleted_under_us_can_be_put_back() {
    let folder = tempfile::tempdir().unwrap();
    let (path, mut file, script) = begun(folder.path());
    let aside = folder.path().join("moved away");
    fs::rename(&path, &aside).unwrap();
    assert!(matches!(stopped(&mut file), Error::FileGone { .. }));
    assert!(!path.exists(), "nothing is made in its place");
    goes_on(&file, folder.path());
    fs::rename(&aside, &path).unwrap();
    file.try_again();
    settle(&mut file);
    assert!(matches!(file.save_state(), SaveState::Saved));
    drop(file);
    assert_eq!(SessionFile::open(&path, real()).unwrap().facts().len(), script.len() + 1);
}

#[test]
fn a_file_grown_or_cut_by_others_stops_the_writing() {
    for change in [1_i64, -1] {
        let folder = tempfile::tempdir().unwrap();
        let (path, mut file, _) = begun(folder.path());
        let length = fs::metadata(&path).unwrap().len();
        let other = fs::OpenOptions::new().write(true).open(&path);
        if cfg!(windows) {
            assert!(other.is_err(), "who would write to it is kept out there");
            continue;
        }
        let other = other.unwrap();
        other.set_len(length.checked_add_signed(change).unwrap()).unwrap();
        let before = fs::read(&path).unwrap();
        let why = stopped(&mut file);
        assert!(matches!(why, Error::LengthChanged { ours, .. } if ours == length), "{why}");
        assert_eq!(fs::read(&path).unwrap(), before, "the other's bytes are left alone");
        goes_on(&file, folder.path());
    }
}

#[test]
fn a_copy_is_the_same_bytes_and_does_not_switch() {
    let folder = tempfile::tempdir().unwrap();
    let (path, mut file, script) = begun(folder.path());
    let copy = folder.path().join("copy.samepoint");
    let copied = file.keep_copy(&copy).unwrap();
    assert_eq!(fs::read(&copy).unwrap(), fs::read(&path).unwrap());
    assert_eq!((copied.bytes, copied.in_memory), (fs::metadata(&path).unwrap().len(), 0));
    for taken in [&copy, &path] {
        assert!(matches!(file.keep_copy(taken), Err(Error::AlreadyThere { .. })));
    }
    assert_eq!(file.path(), path);
    file.append(note("on"), stamp(1), HAND).unwrap();
    file.finish().unwrap();
    assert_eq!(SessionFile::open_read_only(&copy, real()).unwrap().facts(), script);
}

#[test]
fn what_may_only_be_read_is_opened_for_reading_and_goes_on_elsewhere() {
    // Which call is refused: the lock file in a folder, or the file itself.
    let whole = FaultyDisk::new();
    whole.put(&path(), &crate::flips::lines_of(&script()));
    whole.plan(Plan::default());
    drop(SessionFile::open(&path(), on(&whole)).unwrap());
    for refused in ["lock", "open to append"] {
        let at = 1 + whole.log().iter().position(|call| call == refused).unwrap();
        let disk = FaultyDisk::new();
        disk.put(&path(), &crate::flips::lines_of(&script()));
        let failing = vec![(at, ErrorKind::PermissionDenied)];
        disk.plan(Plan { failing, ..Plan::default() });
        let file = SessionFile::open(&path(), on(&disk)).unwrap();
        let words = file.access().to_string();
        assert!(
            matches!(file.access(), Access::ReadOnly(ReadOnlyReason::NotPermitted(_))),
            "{words}"
        );
        assert!(words.contains("permission denied") && words.contains("continue in"), "{words}");
        assert_eq!(file.facts(), script());
        let folder = tempfile::tempdir().unwrap();
        goes_on(&file, folder.path());
    }
}

#[test]
fn permission_lost_while_writing_keeps_the_facts() {
    let disk = FaultyDisk::new();
    let Body::Header(header) = script()[0].body.clone() else { panic!("a header") };
    let mut file = SessionFile::create(&path(), header, HAND, on(&disk)).unwrap();
    let always = (1..1000).map(|at| (at, ErrorKind::PermissionDenied)).collect();
    disk.plan(Plan { failing: always, ..Plan::default() });
    for fact in &script()[1..] {
        file.append(fact.body.clone(), fact.time, HAND).unwrap();
    }
    settle(&mut file);
    let SaveState::Stopped { why, waiting: 9 } = file.save_state() else { panic!("{file:?}") };
    assert!(why.to_string().contains("permission denied"), "{why}");
    disk.plan(Plan::default());
    file.try_again();
    file.finish().unwrap();
    drop(file);
    assert_eq!(SessionFile::open(&path(), on(&disk)).unwrap().facts(), script());
}

#[test]
fn without_locks_nothing_is_written_until_the_user_agrees() {
    let disk = FaultyDisk::new();
    disk.plan(Plan { no_locks: true, ..Plan::default() });
    let mut file = SessionFile::create(&path(), header(), HAND, on(&disk)).unwrap();
    let before = disk.bytes(&path());
    assert!(matches!(file.access(), Access::AskFirst { missing: "locked" }), "{}", file.access());
    assert!(matches!(file.append(note("no"), stamp(1), HAND), Err(Error::Unsupported { .. })));
    assert_eq!(disk.bytes(&path()), before);
    file.agree().unwrap();
    file.append(note("yes"), stamp(1), HAND).unwrap();
    assert!(matches!(settle(&mut file)[..], [Event::Saved { seq: 2 }]));
}

#[test]
fn without_sync_written_is_never_called_saved() {
    let disk = FaultyDisk::new();
    disk.plan(Plan { no_sync: true, ..Plan::default() });
    let mut file = SessionFile::create(&path(), header(), HAND, on(&disk)).unwrap();
    assert!(matches!(file.access(), Access::AskFirst { missing: "synced to disk" }));
    file.agree().unwrap();
    file.append(note("a"), stamp(1), HAND).unwrap();
    assert!(matches!(settle(&mut file)[..], [Event::Written { seq: 2 }]));
    assert!(matches!(file.save_state(), SaveState::Written));
    drop(file);
    // A session from elsewhere tells at its first fact.
    let mut file = SessionFile::open(&path(), on(&disk)).unwrap();
    file.append(note("b"), stamp(2), HAND).unwrap();
    let events = settle(&mut file);
    assert!(
        matches!(events[..], [Event::Stopped { seq: 3, why: Error::Unsupported { .. } }]),
        "{events:?}"
    );
    let length = disk.bytes(&path()).unwrap().len();
    file.agree().unwrap();
    assert!(matches!(settle(&mut file)[..], [Event::Written { seq: 3 }]));
    assert!(disk.bytes(&path()).unwrap().len() > length);
    file.finish().unwrap();
}

/// A new session where the folder cannot be synced begins, and asks; what is written then is called
/// written, since the file's name may be lost with the power.
#[test]
fn a_new_session_begins_where_its_folder_cannot_be_synced() {
    let disk = FaultyDisk::new();
    disk.plan(Plan { no_folder_sync: true, ..Plan::default() });
    let mut file = SessionFile::create(&path(), header(), HAND, on(&disk)).unwrap();
    assert!(matches!(file.access(), Access::AskFirst { missing: "synced to disk" }));
    assert!(file.asks_to_agree());
    file.agree().unwrap();
    file.append(note("a"), stamp(1), HAND).unwrap();
    assert!(matches!(settle(&mut file)[..], [Event::Written { seq: 2 }]));
    assert!(!file.asks_to_agree());
}

/// Another name of the same file, or its lock file gone: the file itself is locked.
#[test]
fn a_second_writer_by_another_name_is_kept_out() {
    let folder = tempfile::tempdir().unwrap();
    let (path, mut file, script) = begun(folder.path());
    let other = folder.path().join("another name.samepoint");
    fs::hard_link(&path, &other).unwrap();
    let kept_out = |path: &Path| {
        let second = SessionFile::open(path, real()).unwrap();
        let inuse = matches!(second.access(), Access::ReadOnly(ReadOnlyReason::InUse(_)));
        assert!(inuse, "{}: {}", path.display(), second.access());
        assert_eq!(second.facts().len(), script.len(), "and can be looked at");
        assert!(record::review(path, &record::RealDisk).is_ok(), "and reviewed");
    };
    kept_out(&other);
    let lock = folder.path().join(".a.samepoint.lock");
    if cfg!(windows) {
        // A lock that is held can be neither moved nor deleted there.
        assert!(fs::rename(&lock, folder.path().join("moved away")).is_err());
    } else {
        fs::rename(&lock, folder.path().join("moved away")).unwrap();
        kept_out(&path);
        fs::remove_file(&lock).unwrap();
    }
    kept_out(&path);
    file.append(note("the first goes on"), stamp(2), HAND).unwrap();
    file.finish().unwrap();
    let third = SessionFile::open(&other, real()).unwrap();
    assert!(matches!(third.access(), Access::Writing), "{}", third.access());
}

/// Where nothing can be locked, somebody else's bytes are found out at whichever moment they come,
/// before anything is called saved, and left alone.
#[test]
fn bytes_that_came_between_are_found_out_before_anything_is_called_saved() {
    let begun = || {
        let disk = FaultyDisk::new();
        disk.plan(Plan { no_locks: true, ..Plan::default() });
        let mut file = SessionFile::create(&path(), header(), HAND, on(&disk)).unwrap();
        file.agree().unwrap();
        disk.plan(Plan { no_locks: true, ..Plan::default() });
        (disk, file)
    };
    let (disk, mut file) = begun();
    file.append(note("a"), stamp(1), HAND).unwrap();
    settle(&mut file);
    let calls = disk.calls();
    assert!(calls >= 6, "looked at before and after: {:?}", disk.log());
    for at in 1..=calls {
        let (disk, mut file) = begun();
        disk.plan(Plan { no_locks: true, intruder_at: Some(at), ..Plan::default() });
        file.append(note("a"), stamp(1), HAND).unwrap();
        settle(&mut file);
        let SaveState::Stopped { why, waiting: 1 } = file.save_state() else {
            panic!("call {at} of {:?}: {:?}", disk.log(), file.save_state())
        };
        assert!(matches!(why, Error::LengthChanged { .. }), "{why}");
        let bytes = disk.bytes(&path()).unwrap();
        let theirs = crate::disk::INTRUDER;
        assert!(bytes.windows(theirs.len()).any(|window| window == theirs), "call {at}");
    }
}

#[test]
fn the_writer_wakes_its_caller_for_every_fact() {
    let folder = tempfile::tempdir().unwrap();
    let (wakes, woken) = std::sync::mpsc::channel();
    let mut options = real();
    options.wake = std::sync::Arc::new(move || {
        let _ = wakes.send(());
    });
    let path = folder.path().join("a.samepoint");
    let mut file = SessionFile::create(&path, header(), HAND, options).unwrap();
    for second in 1..=3 {
        file.append(note("a"), stamp(second), HAND).unwrap();
        woken.recv_timeout(std::time::Duration::from_secs(5)).unwrap();
    }
    assert_eq!(file.poll().len(), 3);
}
