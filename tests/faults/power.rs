//! The power is cut before every call in turn, and every unsynced byte dropped or torn; and every
//! call fails in turn. What was acknowledged is there, the rest is whole or gone, and the session
//! goes on.

use std::io::ErrorKind;
use std::path::{Path, PathBuf};
use std::sync::Arc;

use record::file::{SetAside, scan};
use record::{
    Access, Body, Error, Fact, FileMarkKind, FileOptions, Header, Note, ReadOnlyReason, SaveState,
    Sealed, SessionFile,
};

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

/// The same in format 2, with a line of each word that it adds.
fn script_of_2() -> Vec<Fact> {
    let mut facts = script();
    for fact in &mut facts {
        fact.body = match fact.seq {
            1 => Body::Header(Header { format: 2, ..header() }),
            3 => Body::Camera(camera()),
            5 => Body::Sealed(Sealed { seq: 4, sshsig: "a seal".to_owned() }),
            10 => Body::Frame(frame(9)),
            _ => continue,
        };
    }
    facts
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

/// Opens a file; where its end is missing the hand says to go on, which is done as often as it takes.
pub(crate) fn gone_on(disk: &FaultyDisk) -> Result<(SessionFile, Option<SetAside>), Error> {
    let mut file = SessionFile::open(&path(), on(disk))?;
    let aside = match file.access() {
        Access::ReadOnly(ReadOnlyReason::EndMissing(_)) => {
            let before = disk.bytes(&path());
            assert!(file.append(withdraw(8), stamp(99), HAND).is_err(), "nothing before the word");
            assert_eq!(disk.bytes(&path()), before, "nothing is cut before the word");
            Some(file.set_end_aside(stamp(99), HAND)?)
        }
        _ => None,
    };
    assert!(matches!(file.access(), Access::Writing), "{}", file.access());
    Ok((file, aside))
}

/// The facts that are no marks of the program's own, numbered as they would be without them.
fn without_marks(facts: &[Fact]) -> Vec<Fact> {
    let said = facts.iter().filter(|fact| fact.body.mark().is_none());
    (1..).zip(said).map(|(seq, fact)| Fact { seq, ..fact.clone() }).collect()
}

/// Opens what is left, checks it against what was acknowledged, and goes on to the script's end. What
/// was set aside on the way stays known.
fn recover(disk: &FaultyDisk, script: &[Fact], acknowledged: usize, told: &str) {
    let (mut file, aside) = match gone_on(disk) {
        Ok(gone_on) => gone_on,
        Err(Error::Io { .. } | Error::WrongFile { .. }) if acknowledged == 0 => return,
        Err(other) => panic!("{told}: {other}"),
    };
    let said = without_marks(file.facts());
    let found = said.len();
    assert!(found >= acknowledged, "{told}: {acknowledged} acknowledged, {found} there");
    assert_eq!(said, &script[..found], "{told}");
    for fact in &script[found..] {
        file.append(fact.body.clone(), fact.time, HAND).unwrap();
    }
    file.finish().unwrap();
    drop(file);
    let again = SessionFile::open(&path(), on(disk)).unwrap();
    assert_eq!(without_marks(again.facts()), script, "{told}");
    assert!(matches!(again.access(), Access::Writing), "{told}: {}", again.access());
    if let Some(aside) = aside {
        assert!(disk.bytes(&aside.kept_in).is_some(), "{told}");
        assert_eq!(record::fold(again.facts()).marks(), [FileMarkKind::EndSetAside], "{told}");
    }
}

#[test]
fn a_power_cut_before_any_call_loses_nothing_acknowledged() {
    for script in [script(), script_of_2()] {
        cut_before_any_call(&script);
    }
}

fn cut_before_any_call(script: &[Fact]) {
    let whole = FaultyDisk::new();
    assert_eq!(play(&whole, script).0, script.len());
    let calls = whole.calls();
    assert!(calls > 3 * script.len(), "{calls}");
    for cut in 1..=calls {
        let disk = FaultyDisk::new();
        disk.plan(Plan { power_cut_at: Some(cut), ..Plan::default() });
        let (acknowledged, file) = play(&disk, script);
        assert!(acknowledged < script.len());
        for tear in TEARS {
            let after = disk.after_power_cut(tear);
            let told = format!("cut at {cut} of {calls} ({:?}), {tear:?}", disk.log().last());
            recover(&after, script, acknowledged, &told);
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
    drop(gone_on(&whole).unwrap());
    let calls = whole.calls();
    for cut in 1..=calls {
        let disk = FaultyDisk::new();
        disk.put(&path(), &torn);
        disk.plan(Plan { power_cut_at: Some(cut), ..Plan::default() });
        drop(gone_on(&disk));
        for tear in TEARS {
            let after = disk.after_power_cut(tear);
            let told = format!("cut at {cut} of {calls}, {tear:?}");
            let left = after.bytes(&path()).unwrap();
            let asides = after.names().into_iter().filter(|name| is_aside(name));
            let kept = asides.filter_map(|name| after.bytes(&name)).any(|bytes| bytes == tail);
            assert!(
                left == torn || (left.starts_with(&good) && kept),
                "{told}: {} bytes",
                left.len()
            );
            recover(&after, &script, script.len(), &told);
        }
    }
}

fn is_aside(name: &Path) -> bool {
    name.to_string_lossy().contains(".torn-")
}

#[test]
fn any_call_may_fail_and_the_facts_wait_for_another_try() {
    for script in [script(), script_of_2()] {
        fail_any_call(&script);
    }
}

fn fail_any_call(script: &[Fact]) {
    let whole = FaultyDisk::new();
    play(&whole, script);
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
                let (acknowledged, file) = play(&disk, script);
                let Some(mut file) = file else {
                    refused += 1;
                    assert!(first <= 6, "{told}: only beginning may be refused");
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
    drop(gone_on(&whole).unwrap());
    for first in 1..=whole.calls() {
        let disk = FaultyDisk::new();
        disk.put(&path(), &torn);
        disk.plan(Plan { failing: vec![(first, ErrorKind::StorageFull)], ..Plan::default() });
        match gone_on_as_far_as_it_goes(&disk) {
            Ok(facts) => assert_eq!(without_marks(&facts), script, "call {first}"),
            Err(why) => assert!(matches!(why, Error::Io { .. }), "call {first}: {why}"),
        }
        recover(&disk, &script, script.len(), &format!("call {first}"));
    }
}

/// The facts of what can be opened, after going on where that can be done.
fn gone_on_as_far_as_it_goes(disk: &FaultyDisk) -> Result<Vec<Fact>, Error> {
    let mut file = SessionFile::open(&path(), on(disk))?;
    if file.end_missing().is_some()
        && matches!(file.access(), Access::ReadOnly(ReadOnlyReason::EndMissing(_)))
    {
        file.set_end_aside(stamp(99), HAND)?;
    }
    Ok(file.facts().to_vec())
}

#[test]
fn a_line_without_its_line_end_counts_and_the_next_brings_it() {
    let script = script();
    let mut bytes = crate::flips::lines_of(&script);
    bytes.pop();
    let disk = FaultyDisk::new();
    disk.put(&path(), &bytes);
    let mut file = SessionFile::open(&path(), on(&disk)).unwrap();
    assert_eq!((file.facts(), file.end_missing()), (&script[..], None));
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
        let before = disk.bytes(&path());
        // Lines whole but for their LF count: 8 or 9 lines start before the cut.
        let whole = starts[1..].iter().filter(|&&end| end - 1 <= cut).count();
        let good = if cut + 1 == starts[whole] { cut } else { starts[whole] };
        let mut file = SessionFile::open(&path(), on(&disk)).unwrap();
        assert_eq!(file.facts(), &script[..whole], "cut at {cut}");
        if good == cut {
            assert!(matches!(file.access(), Access::Writing), "cut at {cut}");
        } else {
            let Access::ReadOnly(ReadOnlyReason::EndMissing(end)) = *file.access() else {
                panic!("cut at {cut}: {}", file.access());
            };
            assert_eq!((end.line, end.bytes), (whole as u64 + 1, (cut - good) as u64));
            assert_eq!((end.offset, end.last_good()), (good as u64, whole as u64));
            assert!(file.access().to_string().contains("it may have been saved"));
            assert_eq!(disk.bytes(&path()), before, "cut at {cut}: opening cuts nothing");
            let aside = file.set_end_aside(stamp(0), HAND).unwrap();
            assert_eq!(disk.bytes(&aside.kept_in).unwrap(), &bytes[good..cut], "cut at {cut}");
            assert!(aside.to_string().contains(".torn-20261125-090000"), "{aside}");
            file.finish().unwrap();
        }
        drop(file);
        recover(&disk, &script, whole, &format!("cut at {cut}"));
    }
}
