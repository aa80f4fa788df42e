//! Sessions to report on.

use std::fs;
use std::path::{Path, PathBuf};

use paper::PaperSize;
use record::file::{scan, write_all_lines};
use record::{Account, Date, Fact, RealDisk, review};

use crate::reading::Report;

pub(crate) const DEMO: &str = "demo-data/sessions/2026-11-23 0152.samepoint";
/// Signed as a pass that does not follow from its readings.
pub(crate) const PASSED_NO_MORE: &str = "demo-data/sessions/2026-06-12 0431.samepoint";
/// Of a station that shows differences alone.
pub(crate) const DIFFERENCES: &str = "demo-data/sessions/2026-11-13 0460.samepoint";
pub(crate) const WHOLE: &str = "tests/data/format1/whole-job.samepoint";

pub(crate) fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../..")
}

pub(crate) fn account(name: &str) -> Account {
    review(&root().join(name), &RealDisk).unwrap()
}

/// The day on all these reports.
pub(crate) fn issued() -> Date {
    "2026-11-30".parse().unwrap()
}

pub(crate) fn report(account: &Account) -> Report {
    Report::read(&paper::report(account, None, PaperSize::A4, issued()).unwrap())
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
