//! Blind confirm readings: a session of its own with nothing of what was read, held against what was
//! signed.

use record::file::scan;
use record::{
    Body, Channel, Fact, Link, NoBlindCheck, NoLink, Reading, Seq, SessionFile, blind_check, fold,
};

use crate::support::*;

const FILE: &str = "2026-11-25 0147.samepoint";
const HASH: &str = "b64374d04ef9c4f39fddb1e0d6be38a0130f6c057fc0f4ee467ea0e18bc758f1";

fn link() -> Link {
    Link::to(&fold(&facts_of(&whole_job())), FILE, HASH).unwrap()
}

/// The blind session with these readings: channel, x, y in arcminutes.
fn blind(readings: &[(Channel, &str, &str)]) -> Vec<Body> {
    let original = fold(&facts_of(&whole_job()));
    let mut bodies = vec![Body::Header(record::Header {
        format: record::LATEST_FORMAT,
        session: "ffeeddccbbaa99887766554433221100".to_owned(),
        ..header()
    })];
    bodies.extend(link().beginning(&original, None));
    let round = bodies.len() as Seq;
    for (channel, x, y) in readings {
        bodies.push(Body::Reading(Reading { round, ..confirm(*channel, x, y) }));
    }
    bodies
}

fn by(hand: &str, bodies: &[Body]) -> Vec<Fact> {
    let named = |fact| Fact { hand: hand.to_owned(), ..fact };
    facts_of(bodies).into_iter().map(named).collect()
}

/// The signature is fact 29 of the whole job.
#[test]
fn a_link_is_a_sentence_and_back() {
    let link = link();
    assert_eq!((link.signature, link.file.as_str()), (29, FILE));
    assert_eq!(Link::read(&link.to_string()), Some(link.clone()));
    // Whatever a file is called.
    let odd = Link { file: ": its signature is fact 3, its last line.".to_owned(), ..link.clone() };
    assert_eq!(Link::read(&odd.to_string()), Some(odd));
    for other in ["", "Blind confirm readings for session ", "a note", &link.to_string()[1..]] {
        assert_eq!(Link::read(other), None, "{other}");
    }
}

#[test]
fn nothing_that_was_read_is_in_it() {
    let bodies = blind(&[]);
    let facts = facts_of(&bodies);
    let session = fold(&facts);
    assert!(session.remarks.is_empty(), "{:?}", session.remarks);
    assert_eq!(Link::of(&session), Some(link()));
    let original = fold(&facts_of(&whole_job()));
    assert_eq!(session.unit(), original.unit());
    assert_eq!(session.station(), original.station());
    assert_eq!(session.window(), original.window());
    assert_eq!(session.housing(), original.housing());
    assert_eq!((session.rounds.len(), session.readings_in_use()), (1, 0));
    assert!(session.rounds[0].settings.is_empty() && session.signatures.is_empty());
    assert_eq!(session.preconditions, []);
    // Undo does not reach the link.
    assert_eq!(session.undo(), None);
}

/// Every fact may be said in its turn, and the file reads back the same: format 1 as it stands.
#[test]
fn it_is_a_file_of_format_1() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("blind.samepoint");
    let mut file =
        SessionFile::create(&path, link().header("samepoint 0.1.0").unwrap(), "S. Hale", real())
            .unwrap();
    for body in blind(&[(Channel::Left, "-14.2", "21.5")]).into_iter().skip(1) {
        fold(file.facts()).admits(&body).unwrap();
        file.append(body, stamp(5), "S. Hale").unwrap();
    }
    file.finish().unwrap();
    let read = scan(&path, std::fs::File::open(&path).unwrap()).unwrap();
    assert_eq!(read.facts, file.facts());
    assert_eq!(Link::of(&fold(&read.facts)), Some(link()));
}

/// By hand: signed m = (1/3, 17/60) of 3 left and 2 right readings; blind m = (−13.7 + 14.7, 0) = (1, 0)
/// of one each. σ = 0.25′, no reference: u² = 0.0625 (1/3 + 1/2) and 0.0625 · 2, together 0.0625 · 17/6,
/// so E_n in x = (2/3)/(2 · 0.25 √(17/6)) = 0.792 118…, in y (−17/60)/(0.5 √(17/6)) = −0.336 650….
#[test]
fn blind_readings_are_held_against_the_signed_ones() {
    let original = facts_of(&whole_job());
    let read = [(Channel::Left, "-14.7", "21.5"), (Channel::Right, "-13.7", "21.5")];
    let found = blind_check(&original, &fold(&by("S. Hale", &blind(&read)))).unwrap();
    assert_eq!(found.positions.len(), 1);
    let [en_x, en_y] = found.positions[0].misalignment.unwrap().en.map(Option::unwrap);
    let wide = 0.5 * (17.0_f64 / 6.0).sqrt();
    // A few roundings of numbers near 20.
    assert!((en_x - (2.0 / 3.0) / wide).abs() < 1e-12, "{en_x}");
    assert!((en_y + (17.0 / 60.0) / wide).abs() < 1e-12, "{en_y}");
    assert_eq!(found.agrees(), Some(true));
    assert!(found.positions[0].same_reference);
    assert_eq!(found.hands, [HAND.to_owned(), "S. Hale".to_owned()]);
    let words = found.words().join("\n");
    assert!(words.contains("E_n 0.8, −0.3: they agree"), "{words}");
    assert!(words.contains("Both sets of readings give “pass”."), "{words}");
    assert!(!words.contains("not blind"), "{words}");

    let far = [(Channel::Left, "-14.0", "21.5"), (Channel::Right, "-12.0", "21.5")];
    let found = blind_check(&original, &fold(&by(HAND, &blind(&far)))).unwrap();
    assert_eq!(found.agrees(), Some(false));
    assert!(found.words().join("\n").contains("they are not blind"));
}

/// The reference of a station is in both results alike, and no agreement can be had from it.
#[test]
fn a_shared_reference_does_not_make_results_agree() {
    let with_reference = |mut bodies: Vec<Body>, name: &str| {
        for body in &mut bodies {
            if let Body::Station(station) = body {
                station.name = name.to_owned();
                station.reference.own_u_arcmin.left = [3.0, 3.0];
                station.reference.common_u_arcmin = [4.0, 4.0];
            }
        }
        bodies
    };
    let read = [(Channel::Left, "-14.0", "21.5"), (Channel::Right, "-12.0", "21.5")];
    let mut signed = with_reference(whole_job(), "Bench 2");
    // The numbers stored are of the station before; the check works them out anew.
    signed.truncate(29);
    for (name, agrees) in [("Bench 2", false), ("Bench 3", true)] {
        let read = fold(&by("S. Hale", &with_reference(blind(&read), name)));
        let found = blind_check(&facts_of(&signed), &read).unwrap();
        assert_eq!(found.agrees(), Some(agrees), "{name}");
        assert_eq!(found.positions[0].same_reference, !agrees);
    }
}

#[test]
fn what_cannot_be_linked_or_compared_says_why() {
    let mut unsigned = whole_job();
    unsigned.truncate(28);
    let session = |bodies: &[Body]| fold(&facts_of(bodies));
    assert_eq!(Link::to(&session(&unsigned), FILE, HASH), Err(NoLink::NotSigned));
    let mut added = whole_job();
    added.push(Body::Reading(confirm(Channel::Left, "-14", "21")));
    assert_eq!(Link::to(&session(&added), FILE, HASH), Err(NoLink::Outdated));
    assert_eq!(Link::to(&session(&[]), FILE, HASH), Err(NoLink::NoHeader));

    let original = facts_of(&whole_job());
    let refused = |bodies: &[Body]| blind_check(&original, &session(bodies)).unwrap_err();
    assert_eq!(refused(&whole_job()), NoBlindCheck::NotLinked);
    assert_eq!(refused(&blind(&[])), NoBlindCheck::NotReadYet);
    assert_eq!(refused(&blind(&[(Channel::Left, "1", "2")])), NoBlindCheck::NotReadYet);
    let mut other = blind(&[]);
    let named = Link { session: "0".repeat(32), ..link() };
    other[1] = Body::Note(record::Note { text: named.to_string(), about: None });
    assert_eq!(refused(&other), NoBlindCheck::OtherSession { file: FILE.to_owned() });
    let named = Link { signature: 3, ..link() };
    other[1] = Body::Note(record::Note { text: named.to_string(), about: None });
    assert_eq!(refused(&other), NoBlindCheck::NoSuchSignature { seq: 3 });
}
