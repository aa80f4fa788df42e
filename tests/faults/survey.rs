//! Every session of a shop at a look, with broken ones among them.

use std::fs;
use std::num::NonZeroUsize;
use std::path::{Path, PathBuf};

use record::fact::{Exercise, PredictionBasis, Remedy, ShimUnder, ShownCircle, ShownPrediction};
use record::file::{scan, write_all_lines};
use record::shop::survey::{SurveyOptions, survey_by};
use record::{
    Body, By, Channel, Error, Fact, PerChannel, Purpose, RemedyTaken, RoundOpened, RoundReason,
    SessionKind, Shim, ShimEnds, Survey, Verdict, as_found, fold, survey,
};
use solver::Direction;

const WHOLE: &str = "tests/data/format1/whole-job.samepoint";

fn whole() -> Vec<u8> {
    fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("../..").join(WHOLE)).unwrap()
}

fn facts() -> Vec<Fact> {
    scan(Path::new(WHOLE), &whole()[..]).unwrap().facts
}

struct Kept {
    folder: tempfile::TempDir,
}

impl Kept {
    fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        fs::create_dir(folder.path().join("sessions")).unwrap();
        Self { folder }
    }

    fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join("sessions").join(name)
    }

    /// Each file is a session of its own.
    fn keep(&self, name: &str, facts: &[Fact]) {
        let mut bytes = Vec::new();
        let mut numbered: Vec<Fact> =
            (1..).zip(facts).map(|(seq, fact)| Fact { seq, ..fact.clone() }).collect();
        if let Some(Fact { body: Body::Header(header), .. }) = numbered.first_mut() {
            let fold = |id: u128, byte: u8| id.wrapping_mul(131).wrapping_add(u128::from(byte));
            header.session = format!("{:032x}", name.bytes().fold(0, fold));
        }
        write_all_lines(&numbered, &mut bytes).unwrap();
        fs::write(self.path(name), bytes).unwrap();
    }

    fn survey(&self, workers: usize) -> Survey {
        survey(self.folder.path(), NonZeroUsize::new(workers).unwrap()).unwrap()
    }
}

fn as_practice(mut facts: Vec<Fact>) -> Vec<Fact> {
    if let Body::Header(header) = &mut facts[0].body {
        header.kind = SessionKind::Practice(Exercise::default());
    }
    facts
}

/// Broken sessions are named and passed over; the rest is counted, practice apart, whatever the
/// number of workers.
#[test]
fn broken_sessions_are_passed_over() {
    let shop = Kept::new();
    shop.keep("a.samepoint", &facts());
    shop.keep("b.samepoint", &facts());
    shop.keep("c practice.samepoint", &as_practice(facts()));
    let read = |fact: &Fact| matches!(&fact.body, Body::Reading(reading) if reading.purpose == Purpose::Confirm);
    let unmeasured: Vec<Fact> = facts().into_iter().take_while(|fact| !read(fact)).collect();
    shop.keep("d half done.samepoint", &unmeasured);
    let mut flipped = whole();
    let middle = flipped.len() / 2;
    flipped[middle] ^= 4;
    fs::write(shop.path("e flipped.samepoint"), &flipped).unwrap();
    fs::write(shop.path("f nonsense.samepoint"), b"not a session").unwrap();
    fs::write(shop.path("g empty.samepoint"), b"").unwrap();
    fs::write(shop.path("no session.txt"), b"passed by").unwrap();
    let mut torn = whole();
    torn.truncate(torn.len() - 5);
    fs::write(shop.path("h torn.samepoint"), &torn).unwrap();

    let found = shop.survey(1);
    let names: Vec<&str> = found.sessions.iter().map(|session| session.file.as_str()).collect();
    let expected = [
        "a.samepoint",
        "b.samepoint",
        "c practice.samepoint",
        "d half done.samepoint",
        "h torn.samepoint",
    ];
    assert_eq!(names, expected);
    assert_eq!(found.skipped.len(), 3, "{:?}", found.skipped);
    for (why, name) in found.skipped.iter().zip(["e flipped", "f nonsense", "g empty"]) {
        assert!(why.to_string().contains(name), "{why}");
    }
    let all = found.by(By::All);
    // What may have said more than is there is listed and looked at, and counted by nobody.
    assert_eq!((all.len(), all[0].sessions), (1, 3));
    let (troubled, why) = found.troubles().pop().unwrap();
    assert_eq!(troubled, 4);
    assert!(why[0].words().contains("the end is missing; it may have been saved"), "{why:?}");
    let passed = all[0].passed_first.unwrap();
    // The half-done one came to no verdict, and both others are of one unit, which counts once.
    assert_eq!((passed.successes, passed.trials), (1, 1));
    for workers in [2, 7, 64] {
        assert_eq!(shop.survey(workers).sessions, found.sessions, "{workers} workers");
        let whole = SurveyOptions::whole(NonZeroUsize::new(workers).unwrap());
        let one_reads = SurveyOptions { reading: NonZeroUsize::MIN, ..whole };
        let same = survey_by(shop.folder.path(), &one_reads).unwrap().unwrap();
        assert_eq!(same.sessions, found.sessions, "{workers} workers, of which one reads");
    }
}

/// A pipe under a session's name may keep its reader waiting for ever: what was sent back is looked for without it.
#[cfg(unix)]
#[test]
fn returns_are_looked_for_beside_a_pipe() {
    let shop = Kept::new();
    shop.keep("a.samepoint", &facts());
    let pipe = shop.path("b.samepoint");
    assert!(std::process::Command::new("mkfifo").arg(&pipe).status().unwrap().success());
    assert!(record::Shop::load(shop.folder.path()).unwrap().returned().unwrap().is_empty());
}

/// One line a session, readable by any CSV reader, names with commas and quotes in one cell.
#[test]
fn the_table_is_tidy() {
    let shop = Kept::new();
    let mut odd = facts();
    for fact in &mut odd {
        if let Body::Unit(unit) = &mut fact.body {
            unit.name = "a \"unit\", with; signs".into();
        }
    }
    shop.keep("odd.samepoint", &odd);
    let bytes = shop.survey(1).csv().unwrap();
    let mut reader = csv::Reader::from_reader(&bytes[..]);
    let heads = reader.headers().unwrap().clone();
    let row = reader.records().next().unwrap().unwrap();
    let cell = |name: &str| &row[heads.iter().position(|head| head == name).unwrap()];
    assert_eq!(cell("unit"), "a \"unit\", with; signs");
    assert_eq!(cell("verdict"), Verdict::Pass.word());
    assert_eq!((cell("passed_first_round"), cell("rounds")), ("true", "1"));
    assert!(cell("centres_apart_arcmin").parse::<f64>().unwrap() > 0.0);
    assert_eq!(cell("left_shim_miss_arcmin"), "");
    // The whole job is countersigned by the hand that signed: no other agreed. Its rings run with their
    // crosshairs, as the optics give.
    assert_eq!((cell("signature"), cell("follows"), cell("state")), ("signed", "true", "signed"));
    assert_eq!((cell("left_sense"), cell("circles")), ("with", "crossing"));
    assert_eq!((cell("left_tube"), cell("checks_blind")), ("T-31", ""));
}

/// A shim predicted to bring the left centre 3′ and 4′ from where the next round finds it missed by
/// 5′ (the round's readings are those of the round before, so its centre is known).
#[test]
fn a_shim_is_held_against_the_next_round() {
    let mut told = facts();
    told.retain(|fact| !matches!(fact.body, Body::Signed(_) | Body::Countersigned(_)));
    let session = fold(&told);
    let round = session.round().unwrap();
    let fits = solver::solve(&session.problem(round.id).unwrap()).unwrap().fits;
    let centre = fits.left.unwrap().circle.centre;
    let shim = Shim { clock_deg: 90.0, leaves_mm: vec![0.1], ends: ShimEnds::Both };
    let taken = RemedyTaken {
        round: round.id,
        remedy: Remedy::Shim(vec![ShimUnder { channel: Channel::Left, shim }]),
        prediction: Some(ShownPrediction {
            circles: PerChannel {
                left: Some(ShownCircle {
                    centre_arcmin: [centre.x_arcmin + 3.0, centre.y_arcmin - 4.0],
                    radius_arcmin: 20.0,
                    phase_deg: None,
                }),
                right: None,
            },
            crossing_arcmin: None,
            crossing_u_arcmin: None,
            ring_deg: PerChannel::default(),
            window_use: None,
            worst_window_use: None,
            basis: PredictionBasis::Model,
            words: String::new(),
        }),
        note: String::new(),
    };
    let last = told.last().unwrap().clone();
    let fact = |seq, body| Fact { seq, body, ..last.clone() };
    let next = told.len() as u64 + 2;
    let logged: Vec<Fact> = told
        .iter()
        .filter_map(|known| match &known.body {
            Body::Reading(reading) if reading.purpose == Purpose::Log => {
                let mut reading = reading.clone();
                reading.round = next;
                Some(Body::Reading(reading))
            }
            _ => None,
        })
        .map(|body| fact(0, body))
        .collect();
    told.push(fact(next - 1, Body::RemedyTaken(taken)));
    let opened = RoundOpened { why: RoundReason::Remedy, note: String::new() };
    told.push(fact(next, Body::RoundOpened(opened)));
    told.extend(logged);
    let shop = Kept::new();
    shop.keep("shimmed.samepoint", &told);
    let found = shop.survey(1);
    let misses = &found.sessions[0].shim_misses;
    assert_eq!(misses.len(), 1, "{misses:?}");
    assert_eq!(misses[0].channel, Channel::Left);
    // Centres of some tens of arcminutes: a few roundings of 1e−14.
    assert!((misses[0].miss_arcmin - 5.0).abs() < 1e-12, "{misses:?}");
    let group = &found.by(By::Housing)[0];
    assert_eq!(group.shim_miss_arcmin.unwrap().count, 1);
    // The open round was not confirmed, so the session is not decided.
    assert_eq!(group.passed_first, None);
}

/// A folder without sessions is no shop.
#[test]
fn a_folder_that_is_no_shop_is_refused() {
    let folder = tempfile::tempdir().unwrap();
    let refused = survey(folder.path(), NonZeroUsize::MIN).unwrap_err();
    assert!(matches!(refused, Error::Io { .. }), "{refused}");
    fs::create_dir(folder.path().join("sessions")).unwrap();
    assert!(survey(folder.path(), NonZeroUsize::MIN).unwrap().sessions.is_empty());
}

/// As found: the mean of the readings before anything was touched, by hand.
#[test]
fn as_found_is_the_mean_of_its_readings() {
    let told = facts();
    let session = fold(&told);
    let found = as_found(&session).unwrap();
    for channel in Channel::BOTH {
        let round = session.round_of(found.round).unwrap();
        let points: Vec<Direction> = round
            .readings
            .iter()
            .filter(|entry| entry.reading.purpose == Purpose::AsFound)
            .filter_map(|entry| Some(entry.direction(channel)?.1))
            .collect();
        assert_eq!(points.len(), found.readings[channel]);
        // One reading a channel: the mean is that reading.
        assert_eq!(found.points[channel], points.first().copied());
    }
    let (left, right) = (found.points.left.unwrap(), found.points.right.unwrap());
    let together = found.together.unwrap();
    assert_eq!(together.misalignment.x_arcmin, right.x_arcmin - left.x_arcmin);
    let unread: Vec<Fact> = told.into_iter().take(7).collect();
    assert_eq!(as_found(&fold(&unread)), None);
}
