//! Every word of format 1, and back.

use record::*;

use crate::support::*;

/// One of each fact, every field said, every variant that holds something held at least once.
pub(crate) fn one_of_each() -> Vec<Body> {
    let nasty =
        "a “quoted” \\ line\nand\r\nanother\u{2028}\u{85}\u{0}\u{1b} ′ \"end\"),(".to_owned();
    let both = |value: &str| PerChannel { left: Some(typed(value)), right: None };
    let pair = PerChannel { left: [1.25, -0.0], right: [1e-300, 3.0e8] };
    let shim = Shim { clock_deg: 130.0, leaves_mm: vec![0.1, 0.05], ends: ShimEnds::Both };
    let mut built = unit();
    built.shims.right.push(shim.clone());
    built.eyepieces.right.ring = RingNumbering::Counter;
    let confirm = Reading {
        swing_stop: Some(SwingStop::Wide),
        ipd_mm: Some(typed("71,5")),
        lock: Some(Lock::After),
        reseated: true,
        dioptre: Some(typed("−0.25")),
        ..Reading::direction(
            ROUND,
            Purpose::Confirm,
            direction(Channel::Right, Some(" 359.5"), "−1,25", "+3", ReadingUnit::Divisions),
        )
    };
    let relative = RelativeReading {
        ring_deg: both("30"),
        x: typed("1.5"),
        y: typed("-2"),
        unit: ReadingUnit::Mrad,
        approach: PerChannel { left: Approach::Clockwise, right: Approach::Counter },
    };
    let inside = BoxReading { ring_deg: both("40"), inside: true, approach: PerChannel::default() };
    let prediction = Prediction {
        circles: PerChannel {
            left: Some(PredictedCircle {
                centre_arcmin: [1.0, 2.0],
                radius_arcmin: 30.0,
                phase_deg: Some(12.5),
            }),
            right: None,
        },
        crossing_arcmin: Some([0.1, 0.2]),
        crossing_u_arcmin: Some([0.3, 0.3]),
        ring_deg: PerChannel { left: Some(236.0), right: None },
        window_use: Some(0.65),
        worst_window_use: None,
        basis: PredictionBasis::Model,
        words: nasty.clone(),
    };
    let reading = |seen| Body::Reading(Reading { seen, ..confirm.clone() });
    let remedy = |remedy| {
        Body::RemedyTaken(RemedyTaken {
            round: ROUND,
            remedy,
            prediction: Some(prediction.clone()),
            note: String::new(),
        })
    };
    let seen_to = |item| Body::Precondition(Precondition { item, done: true, note: nasty.clone() });
    let mut straight = housing();
    straight.tube = TubeKind::StraightThrough;
    straight.adjustment = Adjustment::Slide;
    vec![
        Body::Header(Header {
            kind: SessionKind::Practice(Exercise { name: nasty.clone(), seed: u64::MAX }),
            continues: Some(Continued {
                file: "old.samepoint".to_owned(),
                session: "ff".repeat(16),
                facts: 12,
                last_hash: "0".repeat(64),
            }),
            ..header()
        }),
        Body::Setup(Setup {
            job: nasty.clone(),
            customer: "Ferry line".to_owned(),
            complaint: "double".to_owned(),
            ipd_mm: Some(typed("64")),
            dioptre: both("0"),
            note: nasty.clone(),
        }),
        seen_to(PreconditionItem::LampLow),
        seen_to(PreconditionItem::Other(nasty.clone())),
        Body::Station(station()),
        Body::Window(window()),
        Body::Housing(housing()),
        Body::Housing(straight),
        Body::Unit(built),
        Body::RoundOpened(RoundOpened { why: RoundReason::EyepieceOut, note: nasty.clone() }),
        Body::Reading(confirm.clone()),
        reading(Seen::Relative(relative)),
        reading(Seen::Box(inside)),
        Body::Withdrawn(Withdrawn { reading: 11, reason: nasty.clone() }),
        Body::Undo(14),
        Body::Redo(14),
        Body::SettingChosen(SettingChosen {
            round: ROUND,
            source: SettingSource::OtherCrossing,
            ring_deg: PerChannel { left: Some(236.0), right: None },
            points_arcmin: pair,
            misalignment_arcmin: [f64::MIN_POSITIVE, f64::MAX],
            boresight_arcmin: 25.9,
            window_use: Some(0.65),
            worst_window_use: Some(1.08),
            reason: nasty.clone(),
        }),
        remedy(Remedy::Shim(vec![ShimUnder { channel: Channel::Right, shim }])),
        remedy(Remedy::SwapEyepieces),
        remedy(Remedy::TurnTube(TurnedPart { channel: Channel::Left, by_deg: 180.0 })),
        remedy(Remedy::ReplaceTube(Channel::Left)),
        remedy(Remedy::ReplaceEyepiece(Channel::Right)),
        Body::LookingTest(LookingTest {
            distance_m: Some(typed("800")),
            result: LookingResult::Double,
            observer: "M. Okafor".to_owned(),
            note: nasty.clone(),
        }),
        Body::Note(Note { text: nasty.clone(), about: Some(11) }),
        Body::Picture(Picture {
            hash: "ab".repeat(32),
            extension: "png".to_owned(),
            caption: nasty.clone(),
            about: None,
        }),
        Body::Signed(Signed {
            round: ROUND,
            verdict: Verdict::Undecided,
            rule: Rule::Guarded,
            program: "samepoint 0.1.0".to_owned(),
            window: Some(6),
            station: Some(5),
            rests_on: vec![11, 12],
            numbers: vec![Number { name: "misalignment_x_arcmin".to_owned(), value: 0.1 + 0.2 }],
            statement: nasty.clone(),
        }),
        Body::Countersigned(Countersigned {
            signature: 26,
            last_hash: "0".repeat(64),
            comment: nasty.clone(),
        }),
        Body::Returned(Returned { signature: 26, comment: nasty }),
    ]
}

#[test]
fn every_fact_comes_back_from_disk_as_it_was() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("all.samepoint");
    let facts = facts_of(&one_of_each());
    let Body::Header(header) = facts[0].body.clone() else { panic!("a header") };
    let mut file = SessionFile::create(&path, header, HAND, real()).unwrap();
    for fact in &facts[1..] {
        assert_eq!(file.append(fact.body.clone(), fact.time, HAND).unwrap(), fact.seq);
    }
    file.finish().unwrap();
    assert!(file.unsaved().is_empty());
    let reopened = SessionFile::open(&path, real()).unwrap();
    assert!(matches!(reopened.access(), Access::Writing), "{}", reopened.access());
    assert_eq!(reopened.facts(), facts);
    assert_eq!(reopened.last_hash(), file.last_hash());
    let bytes = std::fs::read(&path).unwrap();
    assert_eq!(bytes.iter().filter(|&&byte| byte == b'\n').count(), facts.len(), "a line each");
    assert!(!bytes.contains(&b'\r') && !bytes.contains(&0));
}

#[test]
fn numbers_that_are_none_never_reach_the_file() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("nan.samepoint");
    let mut file = SessionFile::create(&path, header(), HAND, real()).unwrap();
    let number = |value| {
        let signed = one_of_each().into_iter().find_map(|body| match body {
            Body::Signed(signed) => Some(signed),
            _ => None,
        });
        let numbers = vec![Number { name: "n".to_owned(), value }];
        Body::Signed(Signed { numbers, ..signed.unwrap() })
    };
    for value in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY] {
        let refused = file.append(number(value), stamp(1), HAND);
        assert!(matches!(refused, Err(Error::FactNotWritable { .. })), "{refused:?}");
    }
    assert_eq!(file.facts().len(), 1);
    file.append(number(1.0), stamp(1), HAND).unwrap();
    file.finish().unwrap();
}

/// The sessions of format 1 that are kept for ever, as they were first written.
pub(crate) fn fixtures() -> Vec<(&'static str, Vec<Fact>)> {
    vec![
        ("every-fact.samepoint", facts_of(&one_of_each())),
        ("whole-job.samepoint", facts_of(&whole_job())),
    ]
}

pub(crate) fn fixture_folder() -> std::path::PathBuf {
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/data/format1")
}

#[test]
fn files_of_format_1_read_for_ever_and_would_be_written_the_same() {
    for (name, facts) in fixtures() {
        let path = fixture_folder().join(name);
        let kept = std::fs::read(&path).unwrap();
        let scan = file::scan(&path, &kept[..]).unwrap();
        assert_eq!(scan.end, file::End::Clean, "{name}");
        assert_eq!(scan.facts.len(), facts.len(), "{name}");
        // Settings and verdicts are the solver's of that day; `review` compares those.
        let solved = |body: &Body| matches!(body, Body::SettingChosen(_) | Body::Signed(_));
        for (read, made) in scan.facts.iter().zip(&facts) {
            assert!(read == made || solved(&read.body), "{name}: {read:?}");
        }
        assert!(crate::flips::lines_of(&scan.facts) == kept, "{name} would be written differently");
    }
    let account = review(&fixture_folder().join("whole-job.samepoint"), &RealDisk).unwrap();
    // It follows, but its countersignature is the signer's own and names no line: not clear.
    let Follows::Yes { unknown, missing } = &account.follows else {
        panic!("{:?}", account.follows)
    };
    // Under the simple rule early files store the eight means it rests on, and no more.
    assert_eq!((unknown.len(), missing.len(), account.verdict()), (0, 13, Some(Verdict::Pass)));
    assert_eq!(
        (account.state(), account.exit_code()),
        (State::Signed, 1),
        "{:?}",
        account.objections()
    );
}
