//! Every word of formats 1 and 2, and back.

use record::*;

use crate::support::*;

/// One of each fact of format 1, every field said, every variant that holds something held at least once.
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
    let prediction = ShownPrediction {
        circles: PerChannel {
            left: Some(ShownCircle {
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
        Body::Picture(NotedPicture {
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
            hands_sha256: None,
        }),
        Body::Returned(Returned { signature: 26, comment: nasty }),
    ]
}

/// One of each fact of format 2.
pub(crate) fn one_of_each_of_2() -> Vec<Body> {
    let mut bodies = in_format(2, one_of_each());
    for body in &mut bodies {
        if let Body::Countersigned(answer) = body {
            answer.hands_sha256 = Some("0f".repeat(32));
        }
    }
    let by_hand = Frame {
        background_sha256: None,
        read: FrameRead::Hand,
        crosshairs: vec![NotedCrosshair { px: [-0.5, 1e6], covariance_px2: None }],
        ..frame(12)
    };
    let dark = Camera { lines: Lines::Dark, ..camera() };
    bodies.extend([
        Body::Sealed(Sealed { seq: 26, sshsig: "-----BEGIN\nany text\r\n\u{0} ′".to_owned() }),
        Body::Camera(camera()),
        Body::Camera(dark),
        Body::Frame(frame(11)),
        Body::Frame(by_hand),
    ]);
    bodies
}

#[test]
fn every_fact_comes_back_from_disk_as_it_was() {
    for bodies in [one_of_each(), one_of_each_of_2()] {
        comes_back(&facts_of(&bodies));
    }
}

#[cfg(test)]
fn comes_back(facts: &[Fact]) {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("all.samepoint");
    let Body::Header(header) = facts[0].body.clone() else { panic!("a header") };
    let format = header.format;
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
    assert_eq!((reopened.format(), file.format()), (format, format));
    let bytes = std::fs::read(&path).unwrap();
    let hashes = file::line_hashes(&path, &bytes[..]).unwrap();
    for fact in facts {
        let hash = fact.body.is_signing().then(|| hashes[fact.seq as usize - 1].as_str());
        assert_eq!(file.signing_hash(fact.seq), hash, "{}", fact.seq);
        assert_eq!(reopened.signing_hash(fact.seq), hash, "{}", fact.seq);
    }
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

#[test]
fn a_file_of_format_1_keeps_its_format_and_refuses_what_format_2_adds() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("old.samepoint");
    let mut file = SessionFile::create(&path, header(), HAND, real()).unwrap();
    for body in &whole_job()[1..] {
        file.append(body.clone(), stamp(1), HAND).unwrap();
    }
    let session = fold(file.facts());
    let [signed, answered] = [session.signatures[0].seq, session.signatures[0].seq + 1];
    let pinned = Body::Countersigned(Countersigned {
        signature: signed,
        hands_sha256: Some("ab".repeat(32)),
        ..Countersigned::default()
    });
    let sealed = Body::Sealed(Sealed { seq: answered, sshsig: "s".to_owned() });
    let reading = session.rounds[0].readings[0].seq;
    for body in [pinned, sealed.clone(), Body::Camera(camera()), Body::Frame(frame(reading))] {
        let words = session.admits(&body).unwrap_err().to_string();
        assert!(words.contains("format 1") && words.ends_with("continue in a new file"), "{words}");
        let refused = file.append(body.clone(), stamp(2), HAND).unwrap_err().to_string();
        assert!(refused.contains("format 1") && refused.contains("new file"), "{refused}");
    }
    file.append(Body::Note(Note { text: "goes on".to_owned(), about: None }), stamp(2), HAND)
        .unwrap();
    file.finish().unwrap();
    let reopened = SessionFile::open(&path, real()).unwrap();
    assert_eq!((reopened.format(), reopened.facts()), (1, file.facts()));

    // Continued, it is of format 2 and takes them.
    let next = folder.path().join("next.samepoint");
    let mut next = reopened.continue_in(&next, "samepoint 0.2.0", HAND, real()).unwrap();
    assert_eq!((next.format(), fold(next.facts()).format()), (2, 2));
    assert_eq!(next.facts()[1..], file.facts()[1..]);
    let session = fold(next.facts());
    for body in [sealed, Body::Camera(camera()), Body::Frame(frame(reading))] {
        session.admits(&body).unwrap();
        next.append(body, stamp(3), HAND).unwrap();
    }
    let session = fold(next.facts());
    assert_eq!((session.seals.len(), session.frames.len()), (1, 1));
    assert_eq!(session.camera(), Some(&camera()));
    assert_eq!(session.remarks, []);
}

#[test]
fn a_seal_is_over_a_signature_or_an_answer_and_nothing_else() {
    let bodies = in_format(2, whole_job());
    let session = fold(&facts_of(&bodies));
    let signed = session.signatures[0].seq;
    for seq in 0..bodies.len() as Seq + 3 {
        let body = Body::Sealed(Sealed { seq, sshsig: "s".to_owned() });
        let over = seq == signed || seq == signed + 1;
        assert_eq!(session.admits(&body).is_ok(), over, "{seq}");
        let with: Vec<Body> = bodies.iter().cloned().chain([body]).collect();
        let after = fold(&facts_of(&with));
        assert_eq!(after.seals.len(), usize::from(over));
        assert_eq!(after.timeline.last() == Some(&FactState::Ignored), !over, "{seq}");
        // A seal takes nothing back, and nothing of it can be taken back.
        assert!(!after.signatures[0].outdated && after.undo().is_none());
    }
    // A camera map or a picture put in afterwards is something said since.
    for body in [Body::Camera(camera()), Body::Frame(frame(8))] {
        let with: Vec<Body> = bodies.iter().cloned().chain([body]).collect();
        assert!(fold(&facts_of(&with)).signatures[0].outdated);
    }
}

#[test]
fn what_format_2_adds_is_checked_before_it_is_written_and_when_it_is_read() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("bad.samepoint");
    let header = Header { format: 2, ..header() };
    let mut file = SessionFile::create(&path, header, HAND, real()).unwrap();
    let crosshair = |px, covariance_px2| Frame {
        crosshairs: vec![NotedCrosshair { px, covariance_px2 }],
        ..frame(11)
    };
    let good = Some([0.01, 0.0, 0.01]);
    let marks = |marks| Body::Camera(Camera { marks, ..camera() });
    let mark = camera().marks[0];
    let bad = [
        Body::Sealed(Sealed { seq: 2, sshsig: " \n".to_owned() }),
        Body::Sealed(Sealed { seq: 2, sshsig: "s".repeat(LONGEST_SEAL + 1) }),
        Body::Countersigned(Countersigned {
            hands_sha256: Some("AB".repeat(32)),
            ..Countersigned::default()
        }),
        Body::Camera(Camera { name: String::new(), ..camera() }),
        Body::Camera(Camera { station: " ".to_owned(), ..camera() }),
        Body::Camera(Camera { size_px: [0, 480], ..camera() }),
        Body::Camera(Camera { size_px: [640, 65_536], ..camera() }),
        marks(camera().marks[..3].to_vec()),
        marks(vec![mark; 1001]),
        marks([&camera().marks[1..], &[PictureMark { px: [f64::NAN, 1.0], ..mark }]].concat()),
        marks([&camera().marks[1..], &[PictureMark { divisions: [1e7, 1.0], ..mark }]].concat()),
        Body::Frame(Frame { picture_sha256: "ab".repeat(31), ..frame(11) }),
        Body::Frame(Frame { background_sha256: Some(String::new()), ..frame(11) }),
        Body::Frame(Frame { crosshairs: Vec::new(), ..frame(11) }),
        Body::Frame(Frame { crosshairs: vec![frame(11).crosshairs[0]; 3], ..frame(11) }),
        Body::Frame(crosshair([f64::INFINITY, 1.0], good)),
        Body::Frame(crosshair([1.0, 1.0], None)),
        Body::Frame(crosshair([1.0, 1.0], Some([0.01, f64::NAN, 0.01]))),
        Body::Frame(crosshair([1.0, 1.0], Some([0.01, 0.02, 0.01]))),
        Body::Frame(crosshair([1.0, 1.0], Some([-0.01, 0.0, -0.01]))),
    ];
    for body in bad {
        let refused = file.append(body.clone(), stamp(1), HAND);
        assert!(matches!(refused, Err(Error::FactNotWritable { .. })), "{body:?}: {refused:?}");
    }
    assert_eq!(file.facts().len(), 1);
    file.append(Body::Frame(crosshair([1.0, 1.0], good)), stamp(1), HAND).unwrap();
    file.finish().unwrap();
}

/// The sessions of a format that are kept for ever, as they were first written.
pub(crate) fn fixtures(format: u32) -> Vec<(&'static str, Vec<Fact>)> {
    if format == 1 {
        return vec![
            ("every-fact.samepoint", facts_of(&one_of_each())),
            ("whole-job.samepoint", facts_of(&whole_job())),
        ];
    }
    vec![
        ("every-fact.samepoint", facts_of(&one_of_each_of_2())),
        ("whole-job.samepoint", facts_of(&in_format(2, whole_job()))),
    ]
}

pub(crate) fn fixture_folder(format: u32) -> std::path::PathBuf {
    let folder = format!("../../tests/data/format{format}");
    std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)
}

#[test]
fn files_of_formats_1_and_2_read_for_ever_and_would_be_written_the_same() {
    // Settings and verdicts are the solver's of that day; `review` compares those.
    let solved = |body: &Body| matches!(body, Body::SettingChosen(_) | Body::Signed(_));
    for format in [1, 2] {
        for (name, facts) in fixtures(format) {
            let path = fixture_folder(format).join(name);
            let same = |read: &Fact, made: &Fact| read == made || solved(&read.body);
            crate::attacks::reads_for_ever(&path, format, &facts, same);
        }
    }
    for format in [1, 2] {
        let account =
            review(&fixture_folder(format).join("whole-job.samepoint"), &RealDisk).unwrap();
        // It follows, but its countersignature is the signer's own and names no line: not clear.
        let Follows::Yes { unknown, missing } = &account.follows else {
            panic!("{:?}", account.follows)
        };
        // Under the simple rule early files store the eight means it rests on, and no more; those of
        // format 2 store all.
        let more = if format == 1 { 13 } else { 0 };
        let found = (unknown.len(), missing.len(), account.verdict());
        assert_eq!(found, (0, more, Some(Verdict::Pass)), "format {format}: {missing:?}");
        assert_eq!(
            (account.state(), account.exit_code()),
            (State::Signed, 1),
            "{:?}",
            account.objections()
        );
    }
}
