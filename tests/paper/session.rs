//! Sessions to report on.

use std::fs;
use std::path::{Path, PathBuf};

use paper::PaperSize;
use record::file::{scan, write_all_lines};
use record::{Account, Fact, RealDisk, review};

use crate::reading::Report;

pub(crate) const DEMO: &str = "demo-data/sessions/2026-11-23 0152.samepoint";
pub(crate) const WHOLE: &str = "tests/data/format1/whole-job.samepoint";

pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

pub(crate) fn account(name: &str) -> Account {
    review(&root().join(name), &RealDisk).unwrap()
}

pub(crate) fn report(account: &Account) -> Report {
    Report::read(&paper::report(account, None, PaperSize::A4).unwrap())
}

/// A session with its facts changed and numbered anew.
pub(crate) fn changed(name: &str, change: impl FnOnce(&mut Vec<Fact>)) -> Account {
    let bytes = fs::read(root().join(name)).unwrap();
    let mut facts = scan(Path::new(name), &bytes[..]).unwrap().facts;
    change(&mut facts);
    for (seq, fact) in (1..).zip(&mut facts) {
        fact.seq = seq;
    }
    let mut bytes = Vec::new();
    write_all_lines(&facts, &mut bytes).unwrap();
    kept(&bytes)
}

pub(crate) fn kept(bytes: &[u8]) -> Account {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("session.samepoint");
    fs::write(&path, bytes).unwrap();
    review(&path, &RealDisk).unwrap()
}
