//! A run that ends too early harms nothing: every file is whole, old or new, and the next run goes on.

use std::cell::Cell;
use std::fs;
use std::io;
use std::num::NonZeroUsize;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;

use tables::manifest::{MANIFEST, Manifest};
use tables::output::{OutputDisk, RealStore};
use tables::{Table, TablesRefusal, make};

use crate::read_back::{bytes, copy_of_demo, files, made, parts, rows};

/// A disk that is full after so many files.
struct FullAfter(Cell<usize>);

impl OutputDisk for FullAfter {
    fn put(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
        let Some(left) = self.0.get().checked_sub(1) else {
            return Err(io::ErrorKind::StorageFull.into());
        };
        self.0.set(left);
        RealStore.put(path, bytes)
    }

    fn remove(&self, path: &Path) -> io::Result<()> {
        if self.0.get() == 0 {
            Err(io::ErrorKind::PermissionDenied.into())
        } else {
            RealStore.remove(path)
        }
    }
}

fn manifest(to: &Path) -> Option<Manifest> {
    Manifest::read(&fs::read(to.join(MANIFEST)).ok()?)
}

/// Every file that lies there can be read to its end.
fn all_are_whole(to: &Path) {
    for table in Table::ALL {
        for path in parts(to, table) {
            assert!(tables::file::is_ours(&path, table), "{}", path.display());
        }
        rows(to, table);
    }
}

#[test]
fn a_full_disk_is_told_and_the_next_run_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let shop = copy_of_demo(&folder.path().join("shop"));
    let shops = [shop.clone()];
    let want = folder.path().join("want");
    made(&[&shop], &want);
    let to = folder.path().join("to");
    for room in [0, 1, 2, 30, 80, 81, 82] {
        let store = FullAfter(Cell::new(room));
        let why = make(&shops, &to, NonZeroUsize::MIN, &store);
        // One for each file, one for the manifest before them and one behind.
        match why {
            Err(TablesRefusal::NotWritten { why, .. }) => {
                assert_eq!(why.kind(), io::ErrorKind::StorageFull, "{room}");
                assert!(manifest(&to).is_none_or(|manifest| !manifest.whole), "{room}");
            }
            other => assert!(other.is_ok() && room >= 3, "{room}: {other:?}"),
        }
        all_are_whole(&to);
    }
    assert!(made(&[&shop], &to).code == 1 && bytes(&to) == bytes(&want));
    assert!(manifest(&to).unwrap().whole);
}

/// What is to leave and cannot is told; it leaves the next time.
#[test]
fn what_cannot_be_taken_away_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let shop = copy_of_demo(&folder.path().join("shop"));
    let to = folder.path().join("to");
    made(&[&shop], &to);
    for path in files(&shop.join("sessions")) {
        fs::remove_file(path).unwrap();
    }
    struct Kept;
    impl OutputDisk for Kept {
        fn put(&self, path: &Path, bytes: &[u8]) -> io::Result<()> {
            RealStore.put(path, bytes)
        }
        fn remove(&self, _: &Path) -> io::Result<()> {
            Err(io::ErrorKind::PermissionDenied.into())
        }
    }
    let refused = make(std::slice::from_ref(&shop), &to, NonZeroUsize::MIN, &Kept).unwrap_err();
    assert!(refused.to_string().contains("cannot be written"), "{refused}");
    assert!(!manifest(&to).unwrap().whole);
    made(&[&shop], &to);
    assert!(rows(&to, Table::Sessions).is_empty() && manifest(&to).unwrap().whole);
}

/// What was not put in place goes, beside the manifest as in a month; what only begins alike stays.
#[test]
fn what_an_interrupted_run_left_is_cleared_away() {
    let folder = tempfile::tempdir().unwrap();
    let shop = copy_of_demo(&folder.path().join("shop"));
    let to = folder.path().join("to");
    made(&[&shop], &to);
    let month = parts(&to, Table::Readings)[0].parent().unwrap().to_owned();
    let left = [to.join(".samepoint-tables-a1B2c3"), month.join(".samepoint-tables-d4E5f6")];
    for path in &left {
        fs::write(path, b"half of it").unwrap();
    }
    let other = to.join(".samepoint-tables.txt");
    fs::write(&other, b"somebody's").unwrap();
    made(&[&shop], &to);
    assert!(left.iter().all(|path| !path.exists()), "{:?}", files(&to));
    assert!(other.exists());
}

/// Killed at whatever moment: what lies there is whole, and the next run makes it what it is to be.
#[test]
fn a_run_that_is_killed_leaves_whole_files() {
    let folder = tempfile::tempdir().unwrap();
    let shop = copy_of_demo(&folder.path().join("shop"));
    let want = folder.path().join("want");
    made(&[&shop], &want);
    let to = folder.path().join("to");
    for wait in (0..12).map(|step| Duration::from_millis(40 + 60 * step)) {
        let mut child = Command::new(env!("CARGO_BIN_EXE_samepoint-tables"))
            .arg(&shop)
            .arg("--to")
            .arg(&to)
            .stdout(Stdio::null())
            .stderr(Stdio::null())
            .spawn()
            .unwrap();
        std::thread::sleep(wait);
        child.kill().unwrap();
        child.wait().unwrap();
        all_are_whole_but_unfinished(&to);
        // Each time from other beginnings.
        if let Some(path) = parts(&to, Table::Readings).first() {
            fs::remove_file(path).unwrap();
        }
    }
    made(&[&shop], &to);
    assert!(bytes(&to) == bytes(&want));
    let left: Vec<_> = files(&to)
        .into_iter()
        .filter(|path| {
            path.file_name().unwrap().to_str().unwrap().starts_with(".samepoint-tables-")
        })
        .collect();
    assert!(left.is_empty(), "unfinished files are cleared away: {left:?}");
}

fn all_are_whole_but_unfinished(to: &Path) {
    for table in Table::ALL {
        for path in parts(to, table) {
            let name = path.file_name().unwrap().to_str().unwrap();
            let ours = tables::file::is_ours(&path, table);
            assert!(ours || name.starts_with(".samepoint-tables-"), "{}", path.display());
        }
    }
}

/// A limit on how large files may grow ends no run by a signal.
#[cfg(unix)]
#[test]
fn a_limit_on_the_size_of_files_is_told() {
    let folder = tempfile::tempdir().unwrap();
    let shop = copy_of_demo(&folder.path().join("shop"));
    let to = folder.path().join("to");
    let done = Command::new("sh")
        .arg("-c")
        .arg("ulimit -f 8; exec \"$0\" \"$@\"")
        .arg(env!("CARGO_BIN_EXE_samepoint-tables"))
        .arg(&shop)
        .arg("--to")
        .arg(&to)
        .output()
        .unwrap();
    let said = String::from_utf8(done.stderr).unwrap();
    assert_eq!(done.status.code(), Some(2), "{said}");
    assert!(said.contains("cannot be written") && said.lines().count() == 1, "{said}");
    all_are_whole(&to);
    assert_eq!(made(&[&shop], &to).code, 1);
}
