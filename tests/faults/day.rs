//! What is noted of the working day: a check that nothing judges yet, handovers, receiving, rest.

use record::{
    Body, Channel, DayKind, DayNote, Error, FIRST_FORMAT, Fact, LATEST_FORMAT, Note, Verdict, fold,
};

use crate::support::*;

fn said(note: &DayNote) -> Body {
    Body::Note(note.note())
}

/// Confirm readings at a station that nobody said was checked.
fn unchecked() -> Vec<Body> {
    let mut bodies = beginning();
    let Body::Station(station) = &mut bodies[2] else { panic!("a station") };
    station.checked = None;
    for channel in Channel::BOTH {
        bodies.push(Body::Reading(confirm(channel, "0", "0")));
    }
    bodies
}

fn marked(bodies: &[Body]) -> String {
    concluded(bodies).marks().map(ToString::to_string).collect::<Vec<_>>().join("; ")
}

/// A check that nothing judges yet is said to be one, and still marks the verdict. Of another station, of
/// another day, taken back or withdrawn it is none.
#[test]
fn a_check_that_nothing_judges_yet_is_no_pass() {
    let none = "the station was not checked on 2026-11-25";
    assert_eq!(marked(&unchecked()), none);
    let with = |notes: &[DayNote]| {
        let mut bodies = unchecked();
        bodies.extend(notes.iter().map(said));
        bodies
    };
    let checked = DayNote::checked("Bench 2", "target plate: checked today at 08:10");
    let told = "the station was checked on 2026-11-25, but no limits judge its check standard yet";
    assert_eq!(marked(&with(std::slice::from_ref(&checked))), told);
    assert_eq!(marked(&with(&[DayNote::checked("Bench", "target plate")])), none);
    let withdrawn = DayNote::not_checked("Bench 2", "withdrawn");
    assert_eq!(marked(&with(&[checked.clone(), withdrawn.clone()])), none);
    assert_eq!(marked(&with(&[checked.clone(), withdrawn, checked.clone()])), told);
    let mut undone = with(std::slice::from_ref(&checked));
    undone.push(Body::Undo(undone.len() as u64));
    assert_eq!(marked(&undone), none);
    // Yesterday's note says nothing of today.
    let mut facts = facts_of(&with(&[checked]));
    facts.last_mut().unwrap().time = stamp(-86_400);
    let conclusion = record::conclude(&fold(&facts)).unwrap();
    assert_eq!(conclusion.marks().map(ToString::to_string).collect::<Vec<_>>(), [none]);
}

/// Work that goes on for days is checked day by day: what the station's copies of each day say counts for
/// that day, and the last word of a day.
#[test]
fn each_day_has_its_own_check() {
    let at = |day: i64, passed: bool| {
        let mut station = station();
        station.checked.as_mut().unwrap().time = stamp(86_400 * day - 3600);
        station.checked.as_mut().unwrap().passed = passed;
        Body::Station(station)
    };
    let words = |second: &[Body]| {
        let mut bodies = unchecked();
        bodies[2] = at(0, true);
        let first_day = bodies.len();
        bodies.extend_from_slice(second);
        for channel in Channel::BOTH {
            bodies.push(Body::Reading(confirm(channel, "0", "0")));
        }
        let mut facts = facts_of(&bodies);
        for fact in &mut facts[first_day..] {
            fact.time = stamp(86_400 + fact.seq as i64);
        }
        let conclusion = record::conclude(&fold(&facts)).unwrap();
        conclusion.marks().map(ToString::to_string).collect::<Vec<_>>().join("; ")
    };
    assert_eq!(words(&[]), "the station was not checked on 2026-11-26");
    assert_eq!(words(&[at(1, true)]), "", "both days were checked");
    assert_eq!(words(&[at(1, false)]), "the station failed its check on 2026-11-26");
    let failed_first = [at(1, false), at(1, true)];
    assert_eq!(words(&failed_first), "", "mended and read again");
}

/// A signature given before such a note no longer speaks for what is signed: it changes what limits it.
#[test]
fn a_check_told_after_the_signature_outdates_it() {
    let outdated = |note: &DayNote| {
        let mut bodies = whole_job();
        bodies.push(said(note));
        fold(&answered(facts_of(&bodies))).signatures.last().unwrap().outdated
    };
    assert!(outdated(&DayNote::checked("Bench 2", "target plate")));
    assert!(!outdated(&DayNote::handover("", "oil the hinge")));
}

fn read_back(format: u32, bodies: Vec<Body>) -> Vec<Fact> {
    let mut bytes = Vec::new();
    let facts = facts_of(&in_format(format, bodies));
    record::file::write_all_lines(&facts, &mut bytes).unwrap();
    record::file::scan(std::path::Path::new("a.samepoint"), &bytes[..]).unwrap().facts
}

/// Formats 1 and 2 carry them, the timeline tells each by its kind, and a handover is read once.
#[test]
fn every_format_carries_a_handover_and_that_it_was_read() {
    for format in [FIRST_FORMAT, LATEST_FORMAT] {
        let mut bodies = beginning();
        bodies.push(said(&DayNote::handover("left ring logged", "log the right one")));
        bodies.push(said(&DayNote::said(DayKind::Condition, "scratched")));
        bodies.push(said(&DayNote::said(DayKind::Accessories, "case")));
        let facts = read_back(format, bodies.clone());
        let session = fold(&facts);
        let [left] = &session.handovers()[..] else { panic!("one handover") };
        assert_eq!(left.text, "done: left ring logged · next: log the right one");
        assert_eq!((left.seq, left.hand.as_str(), left.read.len()), (8, HAND, 0));
        let received = session.received();
        let texts = [&received.condition, &received.accessories];
        assert_eq!(texts.map(|said| said.as_ref().unwrap().body.as_str()), ["scratched", "case"]);
        let line = &record::timeline(&facts)[7];
        assert_eq!((line.kind, line.words.as_str()), ("handover", left.text.as_str()));

        let read = said(&DayNote::read(8));
        session.admits(&read).unwrap();
        bodies.push(read.clone());
        let session = fold(&read_back(format, bodies));
        assert_eq!(session.handovers()[0].read.len(), 1);
        assert_eq!(session.unread_handovers().count(), 0);
        let again = session.admits(&read).unwrap_err();
        assert!(matches!(again, Error::NoSuchHandover { seq: 8 }), "{again}");
    }
}

/// Nothing is noted in the program's words that says nothing, is about nothing, or is not known.
#[test]
fn what_makes_no_sense_is_refused() {
    let session = fold(&facts_of(&beginning()));
    for note in [
        DayNote::handover(" ", ""),
        DayNote::read(3),
        DayNote { about: None, ..DayNote::read(3) },
        DayNote::said(DayKind::Untouched, "14 h"),
        DayNote::said(DayKind::Condition, ""),
    ] {
        assert!(session.admits(&said(&note)).is_err(), "{note:?}");
    }
    let foreign = Note { text: "samepoint notes, passed: all of it".to_owned(), about: None };
    assert!(matches!(session.admits(&Body::Note(foreign)), Err(Error::ProgramsOwnNote)));
}

/// How long a round lay untouched is counted from its last reading, or from when a hand last said so.
#[test]
fn a_round_rests_from_its_last_reading() {
    let mut bodies = beginning();
    assert_eq!(fold(&facts_of(&bodies)).rested(stamp(9_000)), None, "nothing was read");
    bodies.extend(logged());
    let last = bodies.len() as i64 - 1;
    let rested = |bodies: &[Body], after: i64| fold(&facts_of(bodies)).rested(stamp(after));
    let short = rested(&bodies, last + 29 * 60).unwrap();
    assert!(!short.must_be_asked() && short.long() == "29 min");
    let night = rested(&bodies, last + 14 * 3600 + 20 * 60).unwrap();
    assert!(night.must_be_asked() && night.long() == "14 h 20 min");
    assert_eq!(night.reading, bodies.len() as u64);
    assert!(!rested(&bodies, -9_000).unwrap().must_be_asked(), "a clock set back tells nothing");
    bodies.push(said(&night.untouched()));
    assert_eq!(rested(&bodies, last + 61).unwrap().minutes, 1);
    // A reading that is left out was not the last.
    bodies.push(withdraw(19));
    assert_eq!(rested(&bodies, last + 61).unwrap().reading, 18);
    let verdict = record::conclude(&fold(&facts_of(&bodies))).unwrap().verdict;
    assert_eq!(verdict, Verdict::NotMeasured);
}

/// A review tells of every handover, and who read it.
#[test]
fn a_review_tells_of_handovers() {
    let mut bodies = beginning();
    bodies.push(said(&DayNote::handover("left ring logged", "right ring")));
    let left = bodies.len() as u64;
    bodies.push(said(&DayNote::read(left)));
    bodies.push(said(&DayNote::handover("both logged", "\nSigned “pass” by SH")));
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.samepoint");
    std::fs::write(&path, crate::flips::lines_of(&facts_of(&bodies))).unwrap();
    let words = record::review(&path, &record::RealDisk).unwrap().words();
    let first = format!(
        "Handover by {HAND} on 2026-11-25 09:00:0{} (fact {left}): done: left ring logged · next: right \
         ring; read by {HAND} on 2026-11-25 09:00:0{left}",
        left - 1
    );
    let second = format!("(fact {}): done: both logged · next: ", left + 2);
    for told in [&first, &second] {
        assert_eq!(words.lines().filter(|line| line.contains(told.as_str())).count(), 1, "{words}");
    }
    let unread = words.lines().filter(|line| line.ends_with("; nobody said that it was read"));
    assert_eq!(unread.count(), 1, "{words}");
    assert!(!words.lines().any(|line| line.starts_with("Signed")), "{words}");
}
