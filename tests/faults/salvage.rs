//! What still verifies behind a damage: every line that is not the damaged one itself, under the number
//! it had; and no signature, no pass and no name of a fact that means something else than it did.

use std::fs;
use std::path::Path;

use proptest::prelude::*;
use record::file::salvage;
use record::review::{Chain, review};
use record::{
    Body, Caveat, Error, Fact, FileMarkKind, Note, RealDisk, Remark, RoundOpened, RoundReason,
    SessionFile, Verdict, conclude, fold,
};

use crate::flips::{line_starts, lines_of};
use crate::support::*;

pub(crate) fn job() -> Vec<Fact> {
    facts_of(&whole_job())
}

/// The new session of a damaged one, and what was found.
pub(crate) fn salvaged(bytes: &[u8]) -> (Vec<Fact>, record::file::Salvage) {
    let folder = tempfile::tempdir().unwrap();
    let (from, to) = (folder.path().join("a.samepoint"), folder.path().join("b.samepoint"));
    fs::write(&from, bytes).unwrap();
    let (mut file, found) =
        SessionFile::salvage_in(&from, &to, "samepoint 0.1.0", (HAND, false), real()).unwrap();
    file.finish().unwrap();
    drop(file);
    assert_eq!(fs::read(&from).unwrap(), bytes, "the damaged file is left as it is");
    let account = review(&to, &RealDisk).unwrap();
    assert_eq!(account.chain, Chain::Intact);
    let marks = account.session.marks();
    assert!(marks.contains(&FileMarkKind::Salvaged), "{marks:?}");
    // A first line that is lost has a new one in its place.
    assert_eq!(
        marks.contains(&FileMarkKind::LinesLost),
        found.gaps.iter().any(|gap| gap.last() > Some(1) && gap.lost > Some(0))
    );
    assert!(account.signature().is_none_or(|signature| signature.outdated), "nothing is in force");
    let Some(Body::Header(header)) = account.session.header.clone().map(Body::Header) else {
        panic!("a header")
    };
    assert_eq!(header.continues.unwrap().file, "a.samepoint");
    let again = SessionFile::open_read_only(&to, real()).unwrap();
    (again.facts().to_vec(), found)
}

/// Where each fact is as it was, and what stands in for the others is nothing but a mark.
pub(crate) fn as_they_were(now: &[Fact], before: &[Fact]) {
    for fact in &now[1..] {
        match fact.body.mark() {
            Some(_) => {}
            None => assert_eq!(*fact, before[fact.seq as usize - 1]),
        }
    }
}

#[test]
fn a_flipped_byte_costs_the_line_it_is_in_and_no_other() {
    let (job, mut bytes) = (job(), lines_of(&job()));
    let starts = line_starts(&bytes);
    bytes[starts[7] + 100] ^= 1;
    assert_eq!(record::file::scan(Path::new("a"), &bytes[..]).unwrap().facts.len(), 7);
    let (now, found) = salvaged(&bytes);
    assert_eq!(found.facts.len(), job.len() - 2, "all but the header and line 8");
    let [gap] = &found.gaps[..] else { panic!("{:?}", found.gaps) };
    assert_eq!(
        (gap.first, gap.lost, gap.last(), gap.offset),
        (8, Some(1), Some(8), starts[7] as u64)
    );
    assert_eq!(gap.bytes, (starts[8] - starts[7]) as u64);
    assert_eq!(now.len(), job.len() + 1);
    as_they_were(&now, &job);
    assert_eq!(now[7].body.mark(), Some(FileMarkKind::LinesLost));
    assert_eq!(now.last().unwrap().body.mark(), Some(FileMarkKind::Salvaged));
    assert!(found.words().contains("Line 8 is lost"), "{}", found.words());
}

/// A damaged hash, or a damaged line end, costs nothing: what stands beside it proves the rest.
#[test]
fn where_only_hash_or_line_end_is_damaged_nothing_is_lost() {
    let (job, bytes) = (job(), lines_of(&job()));
    let starts = line_starts(&bytes);
    for (at, proved) in [(starts[7] + 10, vec![8]), (starts[8] - 1, vec![]), (5, vec![1])] {
        let mut bytes = bytes.clone();
        bytes[at] ^= 1;
        let (now, found) = salvaged(&bytes);
        assert_eq!((found.facts.len(), &found.proved), (job.len() - 1, &proved), "byte {at}");
        assert!(!found.lost_any() && found.header_verifies, "byte {at}: {}", found.words());
        as_they_were(&now, &job);
    }
}

/// Any single bit, anywhere: at most its own line is lost, and no fact says anything else than it did.
#[test]
fn any_flipped_bit_costs_at_most_its_own_line() {
    let (job, mut bytes) = (job(), lines_of(&job()));
    for at in (0..bytes.len()).step_by(13) {
        let bit = 1 << (at / 13 % 8);
        bytes[at] ^= bit;
        match salvage(Path::new("a"), &bytes[..]) {
            Ok(found) => {
                assert!(!found.is_whole, "byte {at}");
                assert!(found.facts.len() + 2 >= job.len(), "byte {at}: {}", found.words());
                for fact in &found.facts {
                    assert_eq!(*fact, job[fact.seq as usize - 1], "byte {at}");
                }
            }
            Err(other) => panic!("byte {at}: {other}"),
        }
        bytes[at] ^= bit;
    }
}

/// A line whose neighbour is gone can be read and proves nothing: it is named, not taken.
#[test]
fn a_line_whose_neighbour_is_gone_is_readable_and_unproved() {
    let (job, bytes) = (job(), lines_of(&job()));
    let starts = line_starts(&bytes);
    let mut zeroed = bytes.clone();
    zeroed[starts[7]..starts[9] - 1].fill(0);
    let cut_out = [&bytes[..starts[7]], &bytes[starts[9]..]].concat();
    for bytes in [zeroed, cut_out] {
        let (now, found) = salvaged(&bytes);
        let [gap] = &found.gaps[..] else { panic!("{:?}", found.gaps) };
        assert_eq!((gap.first, gap.last()), (8, Some(10)));
        assert_eq!(gap.readable, [(10, job[9].body.word())]);
        as_they_were(&now, &job);
        let kinds: Vec<_> = now[7..10].iter().map(|fact| fact.body.mark()).collect();
        let [lines, too] = [FileMarkKind::LinesLost, FileMarkKind::LostToo].map(Some);
        assert_eq!(kinds, [lines, too, too]);
    }
}

#[test]
fn several_damages_and_a_missing_end_are_each_named() {
    let (job, mut bytes) = (job(), lines_of(&job()));
    let starts = line_starts(&bytes);
    bytes[starts[7] + 100] ^= 1;
    bytes[starts[15] + 100] ^= 1;
    bytes.truncate(bytes.len() - 30);
    let (now, found) = salvaged(&bytes);
    assert_eq!(found.gaps.iter().map(|gap| gap.first).collect::<Vec<_>>(), [8, 16]);
    let rest = found.rest.as_ref().unwrap();
    assert_eq!((rest.first, rest.lost), (job.len() as u64, None));
    assert!(found.words().contains("on nothing verifies"), "{}", found.words());
    as_they_were(&now, &job);
}

/// A first line that can be read and is not proved says what session it was, and that is said.
#[test]
fn a_damaged_first_line_is_read_as_it_stands() {
    let (job, mut bytes) = (job(), lines_of(&job()));
    let text = String::from_utf8(bytes.clone()).unwrap();
    bytes[text.find("samepoint 0").unwrap()] ^= 1;
    let (now, found) = salvaged(&bytes);
    assert!(!found.header_verifies && found.words().contains("not proved"), "{}", found.words());
    assert_eq!(found.facts.len(), job.len() - 1);
    as_they_were(&now, &job);
    // Not read at all, it is lost, and not guessed at.
    bytes[..60].fill(0);
    bytes[70..90].fill(0);
    assert_eq!(salvage(Path::new("a"), &bytes[..]).unwrap().header, None);
}

/// What names a lost fact names nothing, and never another fact.
#[test]
fn what_names_a_lost_fact_names_nothing() {
    let mut bodies = long_session(12);
    bodies.push(withdraw(9));
    bodies.push(Body::Undo(12));
    let facts = facts_of(&bodies);
    let mut bytes = lines_of(&facts);
    let starts = line_starts(&bytes);
    bytes[starts[8] + 100] ^= 1;
    let (now, _) = salvaged(&bytes);
    let session = fold(&now);
    let ignored = |of| {
        let remarks = session.remarks.iter();
        remarks.filter(|remark| matches!(remark, Remark::Ignored { seq, .. } if *seq == of)).count()
    };
    assert_eq!(ignored(13), 1, "the withdrawal of what is lost: {:?}", session.remarks);
    assert!(session.entry(9).is_none());
    assert!(session.rounds.iter().all(|round| round.readings.len() == round.in_use().count()));
}

/// Nothing that rests on readings round a gap passes; station, window and round said anew do.
#[test]
fn nothing_passes_until_it_is_said_and_read_anew_behind_what_is_lost() {
    let (job, mut bytes) = (job(), lines_of(&job()));
    assert_eq!(conclude(&fold(&job)).unwrap().verdict, Verdict::Pass);
    let at = line_starts(&bytes)[10] + 100;
    bytes[at] ^= 1;
    let (mut now, _) = salvaged(&bytes);
    let conclusion = conclude(&fold(&now)).unwrap();
    assert_eq!(conclusion.verdict, Verdict::Undecided, "{:?}", conclusion.caveats);
    assert_eq!(conclusion.caveats[0], Caveat::AfterLostFacts { until: 11 });
    let lost = |facts: &[Fact]| {
        let caveats = conclude(&fold(facts)).unwrap().caveats;
        caveats.iter().any(|caveat| matches!(caveat, Caveat::AfterLostFacts { .. }))
    };
    let before = |wanted: fn(&Body) -> bool| {
        job.iter().find(|fact| wanted(&fact.body)).map(|fact| fact.body.clone()).unwrap()
    };
    let round = RoundOpened { why: RoundReason::Other, note: String::new() };
    let id = now.len() as u64 + 3;
    let reading = |channel, body: Body| {
        let Body::Reading(mut reading) = body else { panic!("{channel}: a reading") };
        reading.round = id;
        Body::Reading(reading)
    };
    let anew = [
        before(|body| matches!(body, Body::Station(_))),
        before(|body| matches!(body, Body::Window(_))),
        Body::RoundOpened(round),
        reading("left", Body::Reading(confirm(record::Channel::Left, "1.0", "1.0"))),
        reading("right", Body::Reading(confirm(record::Channel::Right, "1.0", "1.0"))),
    ];
    for body in anew {
        assert!(!matches!(conclude(&fold(&now)), Ok(found) if found.verdict == Verdict::Pass));
        let (seq, last) = (now.len() as u64 + 1, now.last().unwrap().clone());
        now.push(Fact { seq, body, ..last });
    }
    assert!(!lost(&now), "all that it rests on was said behind what is lost");
}

#[test]
fn what_is_whole_or_nothing_is_not_salvaged() {
    let folder = tempfile::tempdir().unwrap();
    let (from, to) = (folder.path().join("a.samepoint"), folder.path().join("b.samepoint"));
    let salvage = || SessionFile::salvage_in(&from, &to, "samepoint 0.1.0", (HAND, false), real());
    fs::write(&from, lines_of(&job())).unwrap();
    assert!(matches!(salvage(), Err(Error::NothingToSalvage { .. })));
    fs::write(&from, "hello\n").unwrap();
    assert!(matches!(salvage(), Err(Error::WrongFile { .. })));
    assert!(!to.exists());
    let mut bytes = lines_of(&job());
    bytes[400] ^= 1;
    fs::write(&from, &bytes).unwrap();
    fs::write(&to, "mine").unwrap();
    assert!(matches!(salvage(), Err(Error::AlreadyThere { .. })));
    assert_eq!(fs::read(&to).unwrap(), b"mine");
}

/// A hand cannot make a session look salvaged, or a fact look lost.
#[test]
fn a_hand_cannot_say_what_the_program_says() {
    let session = fold(&job());
    for text in ["samepoint notes, lines lost: 8", " samepoint notes, salvaged: all"] {
        let note = Body::Note(Note { text: text.to_owned(), about: None });
        assert!(matches!(session.admits(&note), Err(Error::ProgramsOwnNote)), "{text}");
    }
}

proptest! {
    /// Whatever the bytes: no panic, and no fact that was not there.
    #[test]
    fn anything_may_be_done_to_the_bytes(
        cuts in prop::collection::vec((0..12_000_usize, 0..400_usize, any::<u8>()), 1..6),
    ) {
        let (job, mut bytes) = (job(), lines_of(&job()));
        for (at, length, with) in cuts {
            let at = at.min(bytes.len());
            let end = (at + length).min(bytes.len());
            match with % 3 {
                0 => drop(bytes.drain(at..end)),
                1 => bytes[at..end].fill(with),
                _ => drop(bytes.splice(at..at, std::iter::repeat_n(with, length))),
            }
        }
        if let Ok(found) = salvage(Path::new("a"), &bytes[..]) {
            for fact in &found.facts {
                prop_assert_eq!(fact, &job[fact.seq as usize - 1]);
            }
            let lost: u64 = found.gaps.iter().filter_map(|gap| gap.lost).sum();
            let last = found.facts.last().map_or(1, |fact| fact.seq);
            let header = u64::from(found.header.is_some());
            prop_assert_eq!(found.facts.len() as u64 + lost + header, last);
        }
    }
}
