//! `samepoint shop`: every exit code, and the table.

use std::fs;

use crate::run::samepoint;

#[test]
fn the_invented_shop_is_listed() {
    // One of its 65 files is damaged on purpose: named, and the rest is done. One of the others is a
    // blind check of another session and counts in the list, not in the table.
    let run = samepoint(&["shop", "demo-data"]);
    assert_eq!(run.code, 1, "{}", run.err);
    assert!(run.err.contains("0412.samepoint") && run.err.lines().count() == 1, "{}", run.err);
    let out = run.out;
    for part in ["64 sessions", "housing", "Heron B", "Plover", "Bench 2", "KT", "Shop window"] {
        assert!(out.contains(part), "{part} is missing:\n{out}");
    }
}

#[test]
fn a_broken_session_is_named_and_the_rest_is_done() {
    let folder = tempfile::tempdir().unwrap();
    let sessions = folder.path().join("sessions");
    fs::create_dir(&sessions).unwrap();
    let whole = crate::run::root().join("tests/data/format1/whole-job.samepoint");
    fs::copy(whole, sessions.join("good.samepoint")).unwrap();
    fs::write(sessions.join("bad.samepoint"), "nonsense").unwrap();
    let csv = folder.path().join("shop.csv");
    let shop = folder.path().to_str().unwrap();
    let run = samepoint(&["shop", shop, "--csv", csv.to_str().unwrap()]);
    assert_eq!(run.code, 1, "{}", run.err);
    assert!(run.err.contains("bad.samepoint") && run.err.lines().count() == 1, "{}", run.err);
    assert!(run.out.contains("1 session,") && run.out.contains("1 of 1"), "{}", run.out);
    let table = fs::read_to_string(&csv).unwrap();
    assert_eq!(table.lines().count(), 2, "{table}");
    assert!(table.starts_with("file,practice,day,"), "{table}");
    // A table is replaced by a newer one.
    assert_eq!(samepoint(&["shop", shop, "--csv", csv.to_str().unwrap()]).code, 1);
}

#[test]
fn what_is_no_shop_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let empty = folder.path().to_str().unwrap();
    assert!(samepoint(&["shop", empty]).refused().contains("sessions"));
    samepoint(&["shop", "no such folder"]).refused();
    let other = folder.path().join("readings.csv");
    fs::write(&other, "channel,ring_deg,x_arcmin,y_arcmin\n").unwrap();
    let message = samepoint(&["shop", "demo-data", "--csv", other.to_str().unwrap()]).refused();
    assert!(message.contains("no table of a shop"), "{message}");
    samepoint(&["shop", "demo-data", "--csv", "shop.txt"]).refused();
}
