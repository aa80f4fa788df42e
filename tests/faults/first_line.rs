//! A session whose first line is lost: what verifies behind it is offered, what that line alone said is
//! asked for elsewhere or said to be lost, and nothing else is taken for a session.

use std::fs;
use std::path::{Path, PathBuf};

use record::checks::{CheckAbout, CheckBody, CheckFact, CheckHeader};
use record::file::chain::{self, ChainHash};
use record::file::{Salvage, salvage, scan, write_all_lines};
use record::ledger::{Noting, note_all};
use record::practice::{Grade, PracticeUnit};
use record::{Body, Error, Fact, JournalBody, SessionFile, SessionKind, Shop, conclude, fold};

use crate::flips::{line_starts, lines_of};
use crate::salvage::{as_they_were, job, salvaged};
use crate::support::*;

fn found(bytes: &[u8]) -> Result<Salvage, Error> {
    salvage(Path::new("a"), bytes)
}

/// A whole job in a format, countersigned, and its bytes.
fn job_in(format: u32) -> (Vec<Fact>, Vec<u8>) {
    let facts = answered(facts_of(&in_format(format, whole_job())));
    let bytes = lines_of(&facts);
    (facts, bytes)
}

/// Every bit of the first line: opening refuses by name, and salvage brings back all behind it.
#[test]
fn any_flipped_bit_of_the_first_line_ends_in_an_offer() {
    for format in [1, 2] {
        let (job, mut bytes) = job_in(format);
        let first = line_starts(&bytes)[1];
        let mut lost = 0;
        for (at, bit) in (0..first).flat_map(|at| (0..8).map(move |bit| (at, bit))) {
            bytes[at] ^= 1 << bit;
            let told = format!("format {format}, byte {at}, bit {bit}");
            match scan(Path::new("a"), &bytes[..]) {
                Err(Error::Damaged { damage, .. }) => assert_eq!(damage.line, 1, "{told}"),
                other => panic!("{told}: {other:?}"),
            }
            let found = found(&bytes).unwrap_or_else(|why| panic!("{told}: {why}"));
            assert!(!found.is_whole && found.another_from.is_none(), "{told}");
            assert_eq!(found.facts, job[1..], "{told}: {}", found.words());
            match &found.header {
                None => {
                    lost += 1;
                    assert!(!found.header_verifies && found.lost_any(), "{told}");
                    assert!(found.words().contains("first line is lost"), "{}", found.words());
                    assert_eq!((found.gaps[0].first, found.gaps[0].lost), (1, Some(1)), "{told}");
                    assert!(!found.wants_word(), "its unit and station tell: {told}");
                }
                Some(header) if found.header_verifies => assert_eq!(*header, job[0], "{told}"),
                Some(_) => assert!(found.words().contains("not proved"), "{told}"),
            }
            bytes[at] ^= 1 << bit;
        }
        assert!(lost > 0, "no flip loses the first line");
    }
}

/// The new session: marked, of a real unit, of unknown name, and nothing signed in it is in force.
#[test]
fn what_verifies_behind_a_lost_first_line_goes_on_marked() {
    for format in [1, 2] {
        let (job, bytes) = job_in(format);
        let starts = line_starts(&bytes);
        let mut flipped = bytes.clone();
        flipped[starts[1] - 3] ^= 1;
        let mut zeroed = bytes.clone();
        zeroed[..starts[1]].fill(0);
        let without = bytes[starts[1]..].to_vec();
        let cut = bytes[starts[1] + 20..].to_vec();
        for (bytes, first) in [(flipped, 2), (zeroed, 3), (without, 3), (cut, 4)] {
            let (now, found) = salvaged(&bytes);
            assert_eq!(found.header, None);
            assert_eq!(found.facts[0].seq, first, "{}", found.words());
            as_they_were(&now, &job);
            let Body::Header(header) = &now[0].body else { panic!("a header") };
            assert_eq!(header.kind, SessionKind::Real);
            assert_eq!(header.continues.as_ref().unwrap().session, "");
            let words = found.words();
            for said in ["first line is lost", "Nothing tells which session", "of a real unit"] {
                assert!(words.contains(said), "{said}: {words}");
                let Body::Note(note) = &now.last().unwrap().body else { panic!("a mark") };
                assert!(note.text.contains(said), "{said}: {}", note.text);
            }
        }
    }
}

/// Cut at the front, zeroed at the front, or both ends lost, wherever: no panic, no fact that was not
/// there, and no session of nothing.
#[test]
fn cut_or_zeroed_at_the_front_anywhere() {
    let (job, bytes) = job_in(2);
    let mut offers = 0;
    for at in (0..bytes.len()).step_by(37).chain(0..70) {
        let mut zeroed = bytes.clone();
        zeroed[..at].fill(0);
        for bytes in [&bytes[at..], &zeroed[..], &zeroed[..bytes.len() - at / 8]] {
            match found(bytes) {
                Ok(found) => {
                    offers += 1;
                    assert!(at == 0 || !found.is_whole, "{at}");
                    assert!(!found.facts.is_empty() || found.header.is_some());
                    for fact in &found.facts {
                        assert_eq!(*fact, job[fact.seq as usize - 1], "{at}");
                    }
                }
                Err(Error::WrongFile { what, .. }) => assert!(what.contains("salvaged"), "{what}"),
                Err(other) => panic!("{at}: {other}"),
            }
        }
    }
    assert!(offers > 200, "{offers}");
}

/// The marks every line begins with are known: without them nothing is lost.
#[test]
fn a_byte_or_two_cut_off_the_front_cost_nothing() {
    let (job, bytes) = job_in(2);
    for cut in [1, 2] {
        let found = found(&bytes[cut..]).unwrap();
        assert!(found.header_verifies && !found.is_whole && !found.lost_any(), "{}", found.words());
        assert_eq!(found.facts, job[1..]);
    }
    let marked = [&b"\xef\xbb\xbf"[..], &bytes[..]].concat();
    assert!(found(&marked).unwrap().header_verifies, "a byte-order mark before it");
}

fn practice_job() -> Vec<Fact> {
    let unit = PracticeUnit::invented(Grade::First, 7).unwrap();
    let mut header = header();
    header.kind = SessionKind::Practice(unit.exercise());
    let mut bodies = vec![Body::Header(header)];
    bodies.extend(unit.opening(stamp(0)).unwrap());
    bodies.extend(logged());
    facts_of(&bodies)
}

/// An invented unit never becomes a real one, however much of its beginning is lost, unless a hand says so.
#[test]
fn practice_stays_practice() {
    let facts = practice_job();
    let bytes = lines_of(&facts);
    let starts = line_starts(&bytes);
    let unit = PracticeUnit::invented(Grade::First, 7).unwrap();
    let mut exercises = 0;
    for lines in 1..facts.len() - 2 {
        let cut = &bytes[starts[lines]..];
        let folder = tempfile::tempdir().unwrap();
        let (from, to) = (folder.path().join("a.samepoint"), folder.path().join("b.samepoint"));
        fs::write(&from, cut).unwrap();
        let asked = |said_real, to: &Path| {
            SessionFile::salvage_in(&from, to, "samepoint 0.1.0", (HAND, said_real), real())
        };
        let (file, found) = match asked(false, &to) {
            Ok(made) => made,
            Err(Error::RealOrPractice { .. }) => {
                assert!(!to.exists(), "nothing is made before it is said");
                let (file, found) = asked(true, &to).unwrap();
                let words = found.words();
                assert!(
                    found.wants_word() && words.contains(&format!("{HAND} says so")),
                    "{words}"
                );
                drop(file);
                continue;
            }
            Err(other) => panic!("{other}"),
        };
        let Body::Header(header) = &file.facts()[0].body else { panic!("a header") };
        let SessionKind::Practice(exercise) = &header.kind else {
            panic!("{lines} lines cut: real: {}", found.words());
        };
        exercises += usize::from(*exercise == unit.exercise());
        assert!(found.words().contains("it is practice"), "{}", found.words());
    }
    assert!(exercises > 0, "its unit names the exercise");
}

/// Where a signature verifies and the shop's ledger notes it, the session's own name is known.
#[test]
fn the_ledger_names_a_session_by_its_signatures() {
    let shop = tempfile::tempdir().unwrap();
    Shop::lay_out(shop.path()).unwrap();
    let path = shop.path().join("sessions/a.samepoint");
    let (job, mut bytes) = job_in(2);
    fs::write(&path, &bytes).unwrap();
    let noting = Noting {
        options: real(),
        program: "samepoint 0.1.0".into(),
        hand: HAND.into(),
        agreed: false,
    };
    assert!(note_all(shop.path(), &noting).unwrap() > 0);
    let first = line_starts(&bytes)[1];
    bytes[..first - 1].fill(0);
    fs::write(&path, &bytes).unwrap();
    let to: PathBuf = shop.path().join("sessions/b.samepoint");
    let (file, found) =
        SessionFile::salvage_in(&path, &to, "samepoint 0.1.0", (HAND, false), real()).unwrap();
    let (Body::Header(new), Body::Header(old)) = (&file.facts()[0].body, &job[0].body) else {
        panic!("headers");
    };
    assert_eq!(new.continues.as_ref().unwrap().session, old.session);
    assert_ne!(new.session, old.session);
    assert!(found.words().contains(&old.session), "{}", found.words());
}

/// Lines that verify and say what no session does are no session's: a check file, or a newer program's.
#[test]
fn what_is_no_session_is_not_made_one() {
    let about =
        CheckAbout { station: "Bench 2".into(), standard: "mirror".into(), accepted: Vec::new() };
    let checks = CheckHeader::begun("samepoint 0.1.0".into(), about).unwrap();
    let started = JournalBody::Said(CheckBody::StartedAnew("zeroed".into()));
    let bodies = [JournalBody::Header(checks), started.clone(), started.clone(), started];
    let facts: Vec<CheckFact> = bodies
        .into_iter()
        .zip(1..)
        .map(|(body, seq)| Fact { seq, time: stamp(0), hand: HAND.into(), body })
        .collect();
    let mut bytes = Vec::new();
    write_all_lines(&facts, &mut bytes).unwrap();
    for at in 0..line_starts(&bytes)[1] {
        let mut bytes = bytes.clone();
        bytes[at] ^= 4;
        let refused = found(&bytes);
        assert!(matches!(refused, Err(Error::WrongFile { .. })), "byte {at}: {refused:?}");
    }
    // A word of a program to come, behind lines of today's.
    let (_, mut bytes) = job_in(2);
    let scanned = scan(Path::new("a"), &bytes[..]).unwrap();
    let body = format!(
        "(seq:{},time:\"{}\",hand:\"SH\",what:novel(1))",
        scanned.facts.len() + 1,
        stamp(99)
    );
    let (line, _): (Vec<u8>, ChainHash) = chain::line(&scanned.last_hash, &body);
    bytes.extend_from_slice(&line);
    bytes[70..90].fill(0);
    let refused = found(&bytes);
    let Err(Error::WrongFile { what, .. }) = refused else { panic!("{refused:?}") };
    assert!(what.contains("newer program"), "{what}");
    for nothing in [&b""[..], b"hello\n", &[0; 5000], b"(\"", &lines_of(&job()[..1])[3..]] {
        assert!(matches!(found(nothing), Err(Error::WrongFile { .. })), "{nothing:?}");
    }
}

/// Two files put together, as by a slip of the clipboard: no fact of the second is taken for the first's.
#[test]
fn lines_of_another_file_are_left_out() {
    let (job, whole) = job_in(2);
    let mut other = facts_of(&long_session(job.len() + 40));
    for fact in &mut other[1..] {
        fact.hand = "ANOTHER".to_owned();
    }
    let mut damaged = whole.clone();
    damaged[90] ^= 1;
    let end = damaged.len();
    damaged[end - 40] ^= 1;
    let bytes = [damaged, lines_of(&other)].concat();
    let found_in = found(&bytes).unwrap();
    assert!(found_in.another_from.is_some(), "{}", found_in.words());
    assert!(found_in.words().contains("another file"), "{}", found_in.words());
    assert!(found_in.facts.iter().all(|fact| fact.hand != "ANOTHER"));
    // The same lines once more cost nothing of what follows them.
    let starts = line_starts(&whole);
    let twice = [&whole[..starts[20]], &whole[starts[9]..]].concat();
    let found = found(&twice).unwrap();
    assert_eq!(found.facts, job[1..], "{}", found.words());
}

/// Where the station's own line is lost with the first, nothing passes by readings that rest on it.
#[test]
fn nothing_passes_where_the_station_is_lost_too() {
    let (_, bytes) = job_in(2);
    let starts = line_starts(&bytes);
    for lines in 2..5 {
        let (now, _) = salvaged(&bytes[starts[lines]..]);
        let verdict = conclude(&fold(&now)).map(|conclusion| conclusion.verdict);
        assert_ne!(verdict.ok(), Some(record::Verdict::Pass), "{lines} lines cut");
    }
}
