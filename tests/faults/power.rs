//! The power is cut before every call in turn, and every unsynced byte dropped or torn; and every
//! call fails in turn. What was acknowledged is there, the rest is whole or gone, and the session
//! goes on.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use record::file::scan;
use record::{Access, Body, Error, Fact, FileOptions, Note, Notice, SaveState, SessionFile};

use crate::disk::{FaultyDisk, Plan, Tear};
use crate::support::*;

pub(crate) fn path() -> PathBuf {
    PathBuf::from("/shop/sessions/a.samepoint")
}

pub(crate) fn on(disk: &FaultyDisk) -> FileOptions {
    FileOptions { disk: Arc::new(disk.clone()), opener: opener(), wake: Arc::new(|| ()) }
}

/// Ten facts whose lines are quick to read, for they are read many thousand times.
pub(crate) fn script() -> Vec<Fact> {
    let mut bodies = long_session(10);
    for body in &mut bodies[1..6] {
        *body = Body::Note(Note { text: "in order".to_owned(), about: None });
    }
    facts_of(&bodies)
}

/// Plays the script for as long as facts are saved; how many were acknowledged.
fn play(disk: &FaultyDisk, script: &[Fact]) -> (usize, Option<SessionFile>) {
    let Body::Header(header) = script[0].body.clone() else { panic!("a header") };
    let Ok(mut file) = SessionFile::create(&path(), header, HAND, on(disk)) else {
        return (0, None);
    };
    for fact in &script[1..] {
        file.append(fact.body.clone(), fact.time, HAND).unwrap();
        settle(&mut file);
    }
    (file.facts().len() - file.unsaved().len(), Some(file))
}

const TEARS: [Tear; 9] = [
    Tear::Dropped,
    Tear::Kept,
    Tear::Prefix(3),
    Tear::Prefix(500),
    Tear::Prefix(997),
    Tear::Zeros,
    Tear::Hole(3),
    Tear::Hole(500),
    Tear::Hole(997),
];

/// Opens what is left, checks it against what was acknowledged, and goes on to the script's end.
fn recover(disk: &FaultyDisk, script: &[Fact], acknowledged: usize, told: &str) {
    let mut file = match SessionFile::open(&path(), on(disk)) {
        Ok(file) => file,
        Err(Error::Io { .. } | Error::WrongFile { .. }) if acknowledged == 0 => return,
        Err(other) => panic!("{told}: {other}"),
    };
    assert!(matches!(file.access(), Access::Writing), "{told}: {}", file.access());
    let found = file.facts().len();
    assert!(found >= acknowledged, "{told}: {acknowledged} acknowledged, {found} there");
    assert_eq!(file.facts(), &script[..found], "{told}");
    for fact in &script[found..] {
        file.append(fact.body.clone(), fact.time, HAND).unwrap();
    }
    file.finish().unwrap();
    drop(file);
    let again = SessionFile::open(&path(), on(disk)).unwrap();
    assert_eq!(again.facts(), script, "{told}");
    assert!(again.notices().is_empty(), "{told}: {:?}", again.notices());
}

#[test]
fn a_power_cut_before_any_call_loses_nothing_acknowledged() {
    let script = script();
    let whole = FaultyDisk::new();
    assert_eq!(play(&whole, &script).0, script.len());
    let calls = whole.calls();
    assert!(calls > 3 * script.len(), "{calls}");
    for cut in 1..=calls {
        let disk = FaultyDisk::new();
        disk.plan(Plan { power_cut_at: Some(cut), ..Plan::default() });
        let (acknowledged, file) = play(&disk, &script);
        assert!(acknowledged < script.len());
        for tear in TEARS {
            let after = disk.after_power_cut(tear);
            let told = format!("cut at {cut} of {calls} ({:?}), {tear:?}", disk.log().last());
            recover(&after, &script, acknowledged, &told);
        }
        drop(file);
    }
}

#[test]
fn a_power_cut_while_a_torn_tail_is_set_aside_loses_no_byte_of_it() {
    let script = script();
    let good = crate::flips::lines_of(&script);
    let tail = b"(\"0123456789abcdef, the start of a line";
    let torn = [&good[..], tail].concat();
    let whole = FaultyDisk::new();
    whole.put(&path(), &torn);
    whole.plan(Plan::default());
    drop(SessionFile::open(&path(), on(&whole)).unwrap());
    let calls = whole.calls();
    for cut in 1..=calls {
        let disk = FaultyDisk::new();
        disk.put(&path(), &torn);
        disk.plan(Plan { power_cut_at: Some(cut), ..Plan::default() });
        drop(SessionFile::open(&path(), on(&disk)));
        for tear in TEARS {
            let after = disk.after_power_cut(tear);
            let told = format!("cut at {cut} of {calls}, {tear:?}");
            let left = after.bytes(&path()).unwrap();
            let asides = after.names().into_iter().filter(|name| is_aside(name));
            let kept = asides.filter_map(|name| after.bytes(&name)).any(|bytes| bytes == tail);
            assert!(left == torn || (left == good && kept), "{told}: {} bytes", left.len());
            recover(&after, &script, script.len(), &told);
        }
    }
}

fn is_aside(name: &Path) -> bool {
    name.to_string_lossy().contains(".torn-")
}

#[test]
fn any_call_may_fail_and_the_facts_wait_for_another_try() {
    let script = script();
    let whole = FaultyDisk::new();
    play(&whole, &script);
    let calls = whole.calls();
    let (mut stopped, mut refused) = (0, 0);
    for first in 1..=calls {
        // One call alone, or it and the next: the one that should put things right.
        for run in 1..=2 {
            for kind in [ErrorKind::StorageFull, ErrorKind::PermissionDenied] {
                let disk = FaultyDisk::new();
                let failing = (first..first + run).map(|at| (at, kind)).collect();
                disk.plan(Plan { failing, ..Plan::default() });
                let told = format!("call {first} of {calls} and {run} in all, {kind:?}");
                let (acknowledged, file) = play(&disk, &script);
                let Some(mut file) = file else {
                    refused += 1;
                    assert!(first <= 5, "{told}: only beginning may be refused");
                    continue;
                };
                assert_eq!(file.facts(), script, "{told}: nothing is lost in memory");
                if let SaveState::Stopped { why, waiting } = file.save_state() {
                    stopped += 1;
                    assert_eq!(acknowledged + waiting, script.len(), "{told}");
                    assert!(why.to_string().contains("a.samepoint"), "{told}: {why}");
                    // What was acknowledged can be read while the rest waits.
                    let bytes = disk.bytes(&path()).unwrap();
                    let seen = scan(&path(), &bytes[..]).unwrap();
                    assert_eq!(&seen.facts[..acknowledged], &script[..acknowledged], "{told}");
                    for _ in 0..run {
                        file.try_again();
                        settle(&mut file);
                    }
                }
                assert!(matches!(file.save_state(), SaveState::Saved), "{told}: {file:?}");
                file.finish().unwrap();
                drop(file);
                let again = SessionFile::open(&path(), on(&disk)).unwrap();
                assert_eq!(again.facts(), script, "{told}");
                assert!(again.notices().is_empty(), "{told}");
            }
        }
    }
    assert!(stopped > 3 * script.len() && refused > 3, "{stopped} {refused}");
}

#[test]
fn any_call_may_fail_while_opening_and_the_next_opening_finds_all() {
    let script = script();
    let torn = [&crate::flips::lines_of(&script)[..], b"(\"torn"].concat();
    let whole = FaultyDisk::new();
    whole.put(&path(), &torn);
    whole.plan(Plan::default());
    drop(SessionFile::open(&path(), on(&whole)).unwrap());
    for first in 1..=whole.calls() {
        let disk = FaultyDisk::new();
        disk.put(&path(), &torn);
        disk.plan(Plan { failing: vec![(first, ErrorKind::StorageFull)], ..Plan::default() });
        match SessionFile::open(&path(), on(&disk)) {
            Ok(file) => assert_eq!(file.facts(), script, "call {first}"),
            Err(why) => assert!(matches!(why, Error::Io { .. }), "call {first}: {why}"),
        }
        recover(&disk, &script, script.len(), &format!("call {first}"));
    }
}

#[test]
fn a_line_without_its_line_end_counts_and_the_next_brings_it() {
    let script = script();
    let mut bytes = crate::flips::lines_of(&script);
    bytes.pop();
    let disk = FaultyDisk::new();
    disk.put(&path(), &bytes);
    let mut file = SessionFile::open(&path(), on(&disk)).unwrap();
    assert_eq!((file.facts(), file.notices()), (&script[..], &[][..]));
    file.append(withdraw(8), stamp(99), HAND).unwrap();
    file.finish().unwrap();
    drop(file);
    let again = SessionFile::open(&path(), on(&disk)).unwrap();
    assert_eq!(again.facts().len(), script.len() + 1);
    assert!(matches!(again.access(), Access::Writing));
}

#[test]
fn a_tail_torn_at_every_byte_of_the_last_two_lines_is_set_aside_whole() {
    let script = script();
    let bytes = crate::flips::lines_of(&script);
    let starts = crate::flips::line_starts(&bytes);
    let last_two = starts[script.len() - 2];
    for cut in last_two..=bytes.len() {
        let disk = FaultyDisk::new();
        disk.put(&path(), &bytes[..cut]);
        // Lines whole but for their LF count: 8 or 9 lines start before the cut.
        let whole = starts[1..].iter().filter(|&&end| end - 1 <= cut).count();
        let good = if cut + 1 == starts[whole] { cut } else { starts[whole] };
        let file = SessionFile::open(&path(), on(&disk)).unwrap();
        assert!(matches!(file.access(), Access::Writing), "cut at {cut}");
        assert_eq!(file.facts(), &script[..whole], "cut at {cut}");
        if good == cut {
            assert!(file.notices().is_empty(), "cut at {cut}: {:?}", file.notices());
        } else {
            let [Notice::TornTail { line, bytes: count, kept_in: Some(kept_in) }] = file.notices()
            else {
                panic!("cut at {cut}: {:?}", file.notices());
            };
            assert_eq!((*line, *count), (whole as u64 + 1, (cut - good) as u64));
            assert_eq!(disk.bytes(kept_in).unwrap(), &bytes[good..cut], "cut at {cut}");
            assert!(file.notices()[0].to_string().contains(".torn-20261125-090000"));
        }
        drop(file);
        recover(&disk, &script, whole, &format!("cut at {cut}"));
    }
}
