//! A disk that is really full, and a folder that is really read-only: on a small tmpfs of our
//! own, which takes root to mount. Without it these two say that they were skipped; the same
//! faults are made on the disk double in any case.

use std::fs;
use std::io::ErrorKind;
use std::path::Path;
use std::process::Command;

use record::rescue::{Keeper, KeptWhere, take_into};
use record::{Access, Body, Error, Note, ReadOnlyReason, RealDisk, SaveState, SessionFile};

use crate::support::*;

/// A mounted tmpfs, unmounted when dropped.
struct Mounted(tempfile::TempDir);

impl Mounted {
    fn new(size: &str) -> Option<Self> {
        let folder = tempfile::tempdir().unwrap();
        let mounted = run("mount", &["-t", "tmpfs", "-o", size, "samepoint-test"], folder.path());
        if !mounted {
            #[expect(clippy::print_stderr, reason = "a skipped test says so")]
            {
                eprintln!("skipped: mounting a tmpfs takes root and the right to mount");
            }
        }
        mounted.then(|| Self(folder))
    }

    fn path(&self) -> &Path {
        self.0.path()
    }
}

impl Drop for Mounted {
    fn drop(&mut self) {
        run("umount", &["--lazy"], self.path());
    }
}

fn run(program: &str, arguments: &[&str], folder: &Path) -> bool {
    let mut command = Command::new(program);
    command.args(arguments).arg(folder).stderr(std::process::Stdio::null());
    command.status().is_ok_and(|status| status.success())
}

fn note() -> Body {
    Body::Note(Note { text: "a remark of some length ".repeat(10), about: None })
}

#[test]
fn a_full_disk_keeps_every_fact_and_goes_on_once_there_is_room() {
    let Some(disk) = Mounted::new("size=64k") else { return };
    let ballast = disk.path().join("ballast");
    fs::write(&ballast, [0; 16 * 1024]).unwrap();
    let path = disk.path().join("a.samepoint");
    let mut file = SessionFile::create(&path, header(), HAND, real()).unwrap();
    let mut second = 0;
    let why = loop {
        second += 1;
        assert!(second < 1000, "the disk never fills");
        file.append(note(), stamp(second), HAND).unwrap();
        settle(&mut file);
        if let SaveState::Stopped { why, .. } = file.save_state() {
            break why;
        }
    };
    let Error::Io { why: system, .. } = &why else { panic!("{why}") };
    assert_eq!(system.kind(), ErrorKind::StorageFull, "{why}");
    // More facts wait in memory, and what was acknowledged is in the file and nothing else.
    for _ in 0..5 {
        second += 1;
        file.append(note(), stamp(second), HAND).unwrap();
    }
    let waiting = file.unsaved().len();
    assert_eq!(waiting, 6);
    let seen = SessionFile::open_read_only(&path, real()).unwrap();
    assert_eq!(seen.facts(), &file.facts()[..file.facts().len() - waiting]);
    assert!(seen.notices().is_empty(), "cut back to the last acknowledged byte");
    fs::remove_file(&ballast).unwrap();
    file.try_again();
    file.finish().unwrap();
    let facts = file.facts().to_vec();
    drop(file);
    assert_eq!(SessionFile::open(&path, real()).unwrap().facts(), facts);
}

/// What a really full disk does not take is kept on another, and taken back once there is room.
#[test]
fn what_a_full_disk_refuses_is_rescued_on_another() {
    let Some(disk) = Mounted::new("size=64k") else { return };
    let state = tempfile::tempdir().unwrap();
    let ballast = disk.path().join("ballast");
    let path = disk.path().join("a.samepoint");
    let mut file = SessionFile::create(&path, header(), HAND, real()).unwrap();
    fs::write(&ballast, [0; 16 * 1024]).unwrap();
    let mut keeper = Keeper::default();
    // The disk's own folder comes first, and is as full as the session's.
    let folders = [disk.path().to_owned(), state.path().to_owned()];
    let mut second = 0;
    while file.unsaved().len() < 14 {
        second += 1;
        assert!(second < 1000, "the disk never fills");
        file.append(note(), stamp(second), HAND).unwrap();
        settle(&mut file);
        keeper.follow(&file, ("0147", HAND), &folders, &RealDisk, stamp(second), false);
    }
    let KeptWhere::InFile(rescue) = keeper.kept() else { panic!("{:?}", keeper.kept()) };
    assert!(rescue.starts_with(state.path()), "{}", rescue.display());
    let (rescue, facts) = (rescue.to_owned(), file.facts().to_vec());
    drop(file);
    keeper.forget();
    assert!(take_into(&rescue, &real(), false).is_err(), "the disk is still full");
    fs::remove_file(&ballast).unwrap();
    assert_eq!(take_into(&rescue, &real(), false).unwrap(), 14);
    assert_eq!(SessionFile::open(&path, real()).unwrap().facts(), facts);
    assert!(!rescue.exists());
}

#[test]
fn a_read_only_folder_is_read_and_the_session_goes_on_elsewhere() {
    let Some(disk) = Mounted::new("size=256k") else { return };
    let path = disk.path().join("a.samepoint");
    let mut file = SessionFile::create(&path, header(), HAND, real()).unwrap();
    file.append(note(), stamp(1), HAND).unwrap();
    file.finish().unwrap();
    let facts = file.facts().to_vec();
    drop(file);
    assert!(run("mount", &["-o", "remount,ro"], disk.path()));
    let file = SessionFile::open(&path, real()).unwrap();
    let words = file.access().to_string();
    assert!(matches!(file.access(), Access::ReadOnly(ReadOnlyReason::NotPermitted(_))), "{words}");
    assert!(words.contains("continue in a new file"), "{words}");
    assert_eq!(file.facts(), facts);
    let refused = SessionFile::create(&disk.path().join("b.samepoint"), header(), HAND, real());
    assert!(matches!(refused, Err(Error::Io { .. })), "{refused:?}");
    let elsewhere = tempfile::tempdir().unwrap();
    let next = elsewhere.path().join("b.samepoint");
    assert!(file.continue_in(&next, "samepoint 0.1.0", HAND, real()).is_ok());
}
