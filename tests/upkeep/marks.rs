//! What the program notes in a check file or a study about the file itself: a hand that went on although the
//! end was missing, or in a new file that holds less than the one before. Format 2 has words for it.

use std::fs;
use std::path::Path;

use record::checks::{CheckBody, CheckFact, CheckFile, CheckHeader, fold};
use record::file::{End, scan_facts, write_all_lines};
use record::studies::{Plan, StudyAbout, StudyFile, StudyHeader};
use record::{
    Access, Channel, Error, Fact, FileMarkKind, JournalBody, Note, ReadOnlyReason, RealDisk, Shop,
};
use sha2::{Digest as _, Sha256};

use crate::support::{HAND, header, morning, real, taken};

/// A check file of a format with one reading, and torn bytes behind it.
fn torn(path: &Path, format: u32) -> CheckFile {
    let begun = CheckHeader { format, ..header() };
    let mut file = CheckFile::create(path, begun, HAND, real()).unwrap();
    file.append(CheckBody::Taken(taken(1.0, 2.0)), morning(0), HAND).unwrap();
    file.finish().unwrap();
    drop(file);
    let whole = fs::read(path).unwrap();
    fs::write(path, [&whole[..], b"(\"0123"].concat()).unwrap();
    let file = CheckFile::open(path, real()).unwrap();
    assert!(matches!(file.access(), Access::ReadOnly(ReadOnlyReason::EndMissing(_))));
    file
}

fn kind(text: &str) -> Option<FileMarkKind> {
    FileMarkKind::of(&Note { text: text.to_owned(), about: None })
}

#[test]
fn a_check_file_notes_that_its_end_was_set_aside() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("Bench 2.samepoint-check");
    let mut file = torn(&path, record::journal::LATEST_FORMAT);
    assert!(file.has_marks());
    let aside = file.set_end_aside(morning(1), "KT").unwrap();
    file.append(CheckBody::Taken(taken(1.1, 2.1)), morning(1), HAND).unwrap();
    file.finish().unwrap();
    drop(file);
    let again = CheckFile::open(&path, real()).unwrap();
    assert_eq!(again.facts().len(), 4);
    assert_eq!(again.facts()[2].hand, "KT");
    let checks = fold(again.facts());
    assert_eq!((checks.readings.len(), checks.journal.ignored.len()), (2, 0));
    let [Fact { seq: 3, body: text, .. }] = &checks.journal.marks[..] else {
        panic!("{:?}", checks.journal.marks)
    };
    assert_eq!(kind(text), Some(FileMarkKind::EndSetAside));
    assert!(text.contains(&aside.sha256), "{text}");
}

#[test]
fn a_study_notes_that_its_end_was_set_aside() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint-study");
    let names = |all: [&str; 2]| all.map(str::to_owned).to_vec();
    let about = StudyAbout {
        station: "Bench 2".into(),
        channel: Channel::Right,
        plan: Plan::drawn(names(["1", "2"]), names(["A", "B"]), 2, 7).unwrap(),
    };
    let begun = StudyHeader::begun("samepoint 0.1.0".into(), about).unwrap();
    StudyFile::create(&path, begun, HAND, real()).unwrap().finish().unwrap();
    let whole = fs::read(&path).unwrap();
    fs::write(&path, [&whole[..], &[0; 90]].concat()).unwrap();
    let mut file = StudyFile::open(&path, real()).unwrap();
    file.set_end_aside(morning(1), "KT").unwrap();
    file.finish().unwrap();
    drop(file);
    let study = fold(StudyFile::open(&path, real()).unwrap().facts());
    let [Fact { seq: 2, body: text, .. }] = &study.journal.marks[..] else {
        panic!("{:?}", study.journal.marks)
    };
    assert_eq!(kind(text), Some(FileMarkKind::EndSetAside));
    assert!(study.journal.ignored.is_empty());
}

/// A first line spoilt: of which station the file is nobody can tell. The one begun beside it says so for ever, by
/// the older's name, length and hash, and what is read of the shop names it.
#[test]
fn a_check_file_begun_beside_a_spoilt_one_says_so() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("checks/Bench 2.samepoint-check");
    fs::create_dir(folder.path().join("checks")).unwrap();
    let mut file = CheckFile::create(&path, header(), HAND, real()).unwrap();
    file.append(CheckBody::Taken(taken(1.0, 2.0)), morning(0), HAND).unwrap();
    file.finish().unwrap();
    drop(file);
    let mut spoilt = fs::read(&path).unwrap();
    spoilt[80] ^= 1;
    fs::write(&path, &spoilt).unwrap();
    let shop = Shop::load(folder.path()).unwrap();
    let next = shop.new_check_path("Bench 2").unwrap();
    let begun = CheckHeader::begun("samepoint 0.1.0".into(), header().about).unwrap();
    let (mut file, told) = shop.begin_checks(&next, begun, HAND, real()).unwrap();
    file.append(CheckBody::Taken(taken(1.0, 2.0)), morning(1), HAND).unwrap();
    file.finish().unwrap();
    drop(file);
    fs::remove_file(&path).unwrap();
    let checks = fold(CheckFile::open_read_only(&next, real()).unwrap().facts());
    let [Fact { seq: 2, body: text, .. }] = &checks.journal.marks[..] else {
        panic!("{:?}", checks.journal.marks)
    };
    assert_eq!((kind(text), text), (Some(FileMarkKind::BegunBeside), &told[0]));
    let digest = Sha256::digest(&spoilt);
    let sha256: String = digest.iter().map(|byte| format!("{byte:02x}")).collect();
    let held = format!("it has {} bytes, SHA-256 {sha256}", spoilt.len());
    for said in ["Bench 2.samepoint-check was left as it is", &held] {
        assert!(text.contains(said), "{said}: {text}");
    }
    let unread = shop.zeros(&RealDisk).unread;
    assert!(unread.len() == 1 && unread[0].contains(&held), "{unread:?}");
    // Of a whole shop nothing is said.
    let again = shop.new_check_path("Bench 3").unwrap();
    let begun = CheckHeader::begun("samepoint 0.1.0".into(), header().about).unwrap();
    assert!(shop.begin_checks(&again, begun, HAND, real()).unwrap().1.is_empty());
}

/// Format 1 keeps its words: its torn end is not noted there, and noted where the file goes on in a new one.
#[test]
fn a_file_of_format_1_has_no_such_words_and_goes_on_in_one_that_has() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("Bench 2.samepoint-check");
    let file = torn(&path, record::journal::FIRST_FORMAT);
    assert!(!file.has_marks());
    let before = fs::read(&path).unwrap();
    let mut file = file;
    let refused = file.set_end_aside(morning(1), "KT").unwrap_err();
    assert!(matches!(refused, Error::NoWordsForIt { format: 1, .. }), "{refused}");
    assert!(fs::read(&path).unwrap() == before, "nothing is cut without a trace");
    assert_eq!(
        fs::read_dir(folder.path())
            .unwrap()
            .flatten()
            .filter(|entry| { entry.file_name().to_string_lossy().contains(".torn-") })
            .count(),
        0
    );
    let next = folder.path().join("Bench 2-2.samepoint-check");
    let mut went_on = file.continue_in(&next, "samepoint 0.1.0", "KT", real()).unwrap();
    went_on.finish().unwrap();
    assert_eq!(went_on.format(), record::journal::LATEST_FORMAT);
    let checks = fold(went_on.facts());
    let [Fact { seq: 3, body: text, .. }] = &checks.journal.marks[..] else {
        panic!("{:?}", checks.journal.marks)
    };
    assert_eq!(kind(text), Some(FileMarkKind::ContinuedInPart));
    assert!(text.contains("the end is missing"), "{text}");
}

/// The word in a file of format 1, and a hand's words in the program's place, are no facts.
#[test]
fn no_hand_speaks_in_the_programs_place() {
    let note = |text: &str| Note { text: text.to_owned(), about: None };
    let own = note("samepoint notes, end set aside: nothing was lost");
    let facts = |format, body| {
        let begun = CheckHeader { format, ..header() };
        [JournalBody::Header(begun), body]
            .into_iter()
            .zip(1..)
            .map(|(body, seq)| Fact { seq, time: morning(0), hand: HAND.into(), body })
            .collect::<Vec<_>>()
    };
    let written = |facts: &[CheckFact]| {
        let mut bytes = Vec::new();
        write_all_lines(facts, &mut bytes).map(|()| bytes)
    };
    assert!(written(&facts(1, JournalBody::Noted(own.clone()))).is_err(), "format 1 has no word");
    assert!(
        written(&facts(2, JournalBody::Noted(note("all is well")))).is_err(),
        "not the program's"
    );
    let whole = written(&facts(2, JournalBody::Noted(own))).unwrap();
    let read = scan_facts::<JournalBody<CheckBody>>(Path::new("a"), &whole[..]).unwrap();
    assert_eq!((read.facts.len(), read.end), (2, End::Clean));
    // The same body under a header of format 1: whole, and no fact of that format.
    let text = String::from_utf8(whole).unwrap();
    let bodies = text.lines().map(|line| line[68..line.len() - 1].to_owned());
    let (mut bytes, mut hash) = (Vec::new(), record::file::chain::ChainHash::START);
    for body in bodies {
        let (line, next) = record::file::chain::line(&hash, &body.replace("format:2", "format:1"));
        bytes.extend_from_slice(&line);
        hash = next;
    }
    let read = scan_facts::<JournalBody<CheckBody>>(Path::new("a"), &bytes[..]).unwrap();
    assert_eq!(read.facts.len(), 1);
    assert!(matches!(read.end, End::Damaged(_)));
}
