//! The check file under the faults a session's file is tested for: it is the same file.

use std::fs;
use std::path::Path;

use record::checks::{Accepted, CheckBody, CheckFile, CheckHeader, CheckPoint, fold};
use record::file::{End, scan, scan_facts};
use record::shop::KeptChecks;
use record::{
    Access, Channel, Continued, Error, JournalBody, Meaning as _, ReadOnlyReason, RealDisk, Shop,
    Withdrawn,
};

use crate::attacks::{lines_of, reads_for_ever, stands_every_attack};
use crate::support::{HAND, Log, accepting, header, kept, morning, own_note, real, taken};

/// Every word of a format.
fn every_fact_of(format: u32) -> Log {
    let accepted = Accepted {
        point: CheckPoint { channel: Channel::Right, ring_deg: Some(120.0) },
        direction_arcmin: [0.25, -0.5],
        u_arcmin: 0.05,
    };
    let continues = Continued {
        file: "Bench 2.samepoint-check".into(),
        session: "ffeeddccbbaa99887766554433221100".into(),
        facts: 1,
        last_hash: "0".repeat(64),
    };
    let continues = Some(continues);
    let mut log =
        Log::begun(CheckHeader { format, continues, about: accepting(accepted), ..header() });
    for day in 0..10 {
        let apart = [0.1, -0.1, 0.05][(day % 3) as usize];
        log.say(day, CheckBody::Taken(taken(1.0 + apart, -2.0 - apart)));
    }
    log.draw(10, |_| ());
    log.say(10, CheckBody::Taken(taken(1.0, -2.0)));
    log.say(10, CheckBody::Withdrawn(Withdrawn { reading: 13, reason: "lamp off".into() }));
    log.say(11, CheckBody::StartedAnew("zeroed".into()));
    if format > record::journal::FIRST_FORMAT {
        log.add(12, JournalBody::Noted(own_note()));
    }
    log
}

fn every_fact() -> Log {
    every_fact_of(record::journal::FIRST_FORMAT)
}

fn bytes_of(log: &Log) -> Vec<u8> {
    lines_of(&log.facts)
}

#[test]
fn every_fact_reads_back_the_same() {
    let log = every_fact();
    let read = scan_facts::<JournalBody<CheckBody>>(Path::new("a"), &bytes_of(&log)[..]).unwrap();
    assert_eq!((read.facts, read.end), (log.facts, End::Clean));
}

/// Kept for ever, as the program first wrote them.
#[test]
fn files_of_formats_1_and_2_read_for_ever_and_would_be_written_the_same() {
    for format in [1, 2] {
        let path = kept(&format!("checks{format}/every-fact.samepoint-check"));
        reads_for_ever(&path, format, &every_fact_of(format).facts, PartialEq::eq);
    }
}

#[test]
fn it_stands_every_attack() {
    for format in [1, 2] {
        stands_every_attack(&every_fact_of(format).facts, &real());
    }
}

#[test]
fn a_missing_end_is_set_aside_on_the_hands_word_and_the_file_goes_on() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("Bench 2.samepoint-check");
    let begun = CheckHeader { format: record::journal::LATEST_FORMAT, ..header() };
    let mut file = CheckFile::create(&path, begun, HAND, real()).unwrap();
    file.append(CheckBody::Taken(taken(1.0, 2.0)), morning(0), HAND).unwrap();
    file.finish().unwrap();
    let whole = fs::read(&path).unwrap();
    fs::write(&path, [&whole[..], b"(\"0123"].concat()).unwrap();
    let mut file = CheckFile::open(&path, real()).unwrap();
    let Access::ReadOnly(ReadOnlyReason::EndMissing(end)) = *file.access() else {
        panic!("{}", file.access())
    };
    assert_eq!((end.line, end.bytes), (3, 6));
    let aside = file.set_end_aside(morning(1), HAND).unwrap();
    assert_eq!(fs::read(aside.kept_in).unwrap(), b"(\"0123");
    file.append(CheckBody::Taken(taken(1.1, 2.1)), morning(1), HAND).unwrap();
    file.finish().unwrap();
    // The reading before, what was noted, the reading after, behind the header.
    assert_eq!(CheckFile::open(&path, real()).unwrap().facts().len(), 4);
}

#[test]
fn a_damaged_file_is_read_as_far_as_it_holds_and_continued_in_a_new_one() {
    let folder = tempfile::tempdir().unwrap();
    Shop::lay_out(folder.path()).unwrap();
    let shop = Shop::load(folder.path()).unwrap();
    let path = shop.new_check_path("Bench 2").unwrap();
    let mut whole = bytes_of(&every_fact());
    let at = whole.len() - 40;
    whole[at] ^= 1;
    fs::write(&path, whole).unwrap();
    let file = CheckFile::open(&path, real()).unwrap();
    assert!(matches!(file.access(), Access::ReadOnly(ReadOnlyReason::Damaged(_))));
    let held = file.facts().len();
    let next = shop.new_check_path("Bench 2").unwrap();
    assert_ne!(next, path);
    let mut went_on = file.continue_in(&next, "samepoint 0.1.0", HAND, real()).unwrap();
    went_on.finish().unwrap();
    // Format 2 notes behind them that there was more.
    let (kept, mark) = went_on.facts().split_at(held);
    assert_eq!(kept[1..], file.facts()[1..held]);
    assert!(matches!(mark, [fact] if matches!(fact.body, JournalBody::Noted(_))), "{mark:?}");
    // The shop shows the one that goes on, and only that.
    let (kept, skipped) = shop.checks(&RealDisk).unwrap();
    assert!(skipped.is_empty(), "{skipped:?}");
    let paths: Vec<_> = kept.iter().map(|one| one.path.clone()).collect();
    assert_eq!(paths, [next]);
    assert_eq!(kept[0].checks, fold(went_on.facts()));
    assert!(KeptChecks::beside(&kept).is_empty());

    // Gone on with a second time: both are read, the one written to last counts, and the other is named.
    let fork = shop.new_check_path("Bench 2").unwrap();
    let mut forked = file.continue_in(&fork, "samepoint 0.1.0", HAND, real()).unwrap();
    forked.append(CheckBody::StartedAnew("zeroed".into()), morning(20), HAND).unwrap();
    forked.finish().unwrap();
    let (kept, skipped) = shop.checks(&RealDisk).unwrap();
    assert!(skipped.is_empty() && kept.len() == 2);
    assert_eq!(kept[0].path, fork);
    let [told] = &KeptChecks::beside(&kept)[..] else { panic!("one of two is named") };
    assert!(told.contains("a second check file of Bench 2"), "{told}");
}

#[test]
fn one_kind_of_file_is_not_taken_for_another() {
    let check = bytes_of(&every_fact());
    let refused = scan(Path::new("Bench 2.samepoint-check"), &check[..]).unwrap_err();
    assert_eq!(
        refused.to_string(),
        "Bench 2.samepoint-check is not a samepoint session: its header says it is “checks of a \
         station”; choose another file"
    );
    let session = include_bytes!("../data/format1/whole-job.samepoint");
    let refused = scan_facts::<JournalBody<CheckBody>>(Path::new("a"), &session[..]).unwrap_err();
    assert!(matches!(refused, Error::WrongFile { wanted: "check file", .. }), "{refused}");
}

#[test]
fn what_cannot_be_is_refused_with_its_field() {
    let mut nameless = header();
    nameless.about.station = " ".into();
    let folder = tempfile::tempdir().unwrap();
    let refused = CheckFile::create(&folder.path().join("a"), nameless, HAND, real()).unwrap_err();
    assert_eq!(refused.to_string(), "station is empty; fill it in");
    let log = every_fact();
    let far = CheckBody::Taken(taken(3500.0, 0.0));
    assert!(matches!(log.checks().admits(&far), Err(Error::BeyondField { .. })));
    let unreasoned = CheckBody::Withdrawn(Withdrawn { reading: 2, reason: String::new() });
    assert!(log.checks().admits(&unreasoned).unwrap_err().to_string().contains("the reason"));
    let twice = CheckBody::Withdrawn(Withdrawn { reading: 13, reason: "again".into() });
    assert!(matches!(log.checks().admits(&twice), Err(Error::NotAReadingInUse { seq: 13 })));
    // A file that says so all the same is read, and the fact left aside with the reason.
    let mut storm = every_fact();
    storm.add(12, far);
    storm.add(12, twice);
    assert_eq!(storm.through_a_file().journal.ignored.len(), 2);
}

/// Whole lines with a right hash that say what format 1 does not allow: line and field are named.
#[test]
fn a_line_that_says_what_cannot_be_is_damage_at_that_line_and_field() {
    let log = every_fact();
    let whole = bytes_of(&log);
    let last = scan_facts::<JournalBody<CheckBody>>(Path::new("a"), &whole[..]).unwrap().last_hash;
    let fact = |what: &str| {
        format!(r#"(seq:16,time:"2026-11-12T09:00:00.000+00:00",hand:"",what:{what})"#)
    };
    let reading = |x: &str, scale: &str| {
        fact(&format!(
            r#"taken((channel:L,ring_deg:None,x:"{x}",y:"1",unit:arcmin,map:(arcmin_per_division:({scale},1.0)),approach:notNoted))"#
        ))
    };
    let taken_as = |body: &str| {
        let (line, _) = record::file::chain::line(&last, body);
        let bytes = [&whole[..], &line].concat();
        scan_facts::<JournalBody<CheckBody>>(Path::new("a"), &bytes[..]).unwrap()
    };
    assert_eq!(taken_as(&reading("1", "1.0")).facts.len(), 16, "the form of these lines is right");
    for (body, field) in [
        (reading("1", "0.0"), "taken.map.arcmin_per_division"),
        (reading("1", "inf"), "taken.map.arcmin_per_division"),
        (reading("one", "1.0"), "taken.x"),
        (fact(r#"withdrawn((reading:2,reason:"",by:3))"#), "by"),
        (fact("zeroed"), "zeroed"),
    ] {
        let read = taken_as(&body);
        assert_eq!(read.facts.len(), 15);
        let End::Damaged(damage) = read.end else { panic!("{body} is taken") };
        let words = damage.to_string();
        assert!(words.starts_with("line 16 ") && words.contains(field), "{words}");
    }
}
