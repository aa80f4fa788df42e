//! Facts to test with: an invented session, built fact by fact.

use std::time::{Duration, Instant};

use record::{
    Adjustment, Approach, Body, Calibration, Camera, Channel, Conclusion, Countersigned,
    DailyCheck, DirectionReading, Event, Eyepiece, Fact, FileOptions, Frame, FrameRead, Graticule,
    Header, Hinge, Housing, Lines, Lock, NamedWindow, NotedCrosshair, Opener, PerChannel,
    PictureMark, Purpose, Reading, ReadingUnit, RoundOpened, RoundReason, Rule, SaveState, Seat,
    Seq, SessionFile, SessionKind, SettingChosen, SettingSource, Setup, ShimEnds, Signed, Stamp,
    Station, StationMap, Tube, TubeKind, Typed, Unit, Withdrawn,
};

pub(crate) const HAND: &str = "R. Voss";

/// `seconds` after a fixed moment.
pub(crate) fn stamp(seconds: i64) -> Stamp {
    let start: Stamp = "2026-11-25T09:00:00.000+00:00".parse().unwrap();
    Stamp::from_unix_milliseconds(start.unix_milliseconds() + 1000 * seconds).unwrap()
}

pub(crate) fn opener() -> Opener {
    Opener { who: HAND.to_owned(), place: "bench-2".to_owned(), now: stamp(0) }
}

pub(crate) fn real() -> FileOptions {
    FileOptions::real(opener())
}

pub(crate) fn typed(text: &str) -> Typed {
    Typed::parse(text).unwrap()
}

pub(crate) fn header() -> Header {
    Header {
        format: record::FIRST_FORMAT,
        program: "samepoint 0.1.0".to_owned(),
        session: "00112233445566778899aabbccddeeff".to_owned(),
        kind: SessionKind::Real,
        continues: None,
    }
}

/// Numbers a run of bodies, one second apart.
pub(crate) fn facts_of(bodies: &[Body]) -> Vec<Fact> {
    let number = |(index, body): (usize, &Body)| Fact {
        seq: index as Seq + 1,
        time: stamp(index as i64),
        hand: HAND.to_owned(),
        body: body.clone(),
    };
    bodies.iter().enumerate().map(number).collect()
}

/// Who answers signatures.
pub(crate) const SUPERVISOR: &str = "S. Hale";

/// The same facts with every answer to a signature given by [`SUPERVISOR`], and every countersignature
/// that names no line naming the one before it.
pub(crate) fn answered(mut facts: Vec<Fact>) -> Vec<Fact> {
    for index in 0..facts.len() {
        let (before, rest) = facts.split_at_mut(index);
        let Some(fact) = rest.first_mut() else { break };
        match &mut fact.body {
            Body::Countersigned(agreed) => {
                fact.hand = SUPERVISOR.to_owned();
                if agreed.last_hash.is_empty() {
                    agreed.last_hash = last_hash_of(before);
                }
            }
            Body::Returned(_) => fact.hand = SUPERVISOR.to_owned(),
            _ => {}
        }
    }
    facts
}

/// The hash of the last line of these facts.
pub(crate) fn last_hash_of(facts: &[Fact]) -> String {
    let mut bytes = Vec::new();
    record::file::write_all_lines(facts, &mut bytes).unwrap();
    let scanned = record::file::scan(std::path::Path::new("a.samepoint"), &bytes[..]).unwrap();
    scanned.last_hash.to_string()
}

/// A station whose two channels are mapped differently.
pub(crate) fn station() -> Station {
    let mut station = Station::plain("Bench 2");
    station.usual_unit = ReadingUnit::Divisions;
    station.map = PerChannel {
        left: StationMap { arcmin_per_division: [2.0, 2.0], ..StationMap::PLAIN },
        right: StationMap {
            flip_x: true,
            boresight_divisions: [1.0, -1.0],
            arcmin_per_division: [2.0, 2.5],
            ..StationMap::PLAIN
        },
    };
    station.spread.sigma_arcmin = Some(0.25);
    station.graticule = Some(Graticule {
        x_divisions: [-60.0, 60.0],
        y_divisions: [-60.0, 60.0],
        read_to_divisions: Some(0.1),
    });
    station.calibration = Some(Calibration {
        certificate: "C-118".to_owned(),
        done: Some("2026-03-04".parse().unwrap()),
        due: "2027-03-04".parse().unwrap(),
    });
    station.checked =
        Some(DailyCheck { time: stamp(-3600), passed: true, note: "within 0.2′".to_owned() });
    station
}

pub(crate) fn window() -> NamedWindow {
    NamedWindow {
        name: "Shop window".to_owned(),
        source: "invented for tests".to_owned(),
        limits: solver::Window::new(45.0, 20.0, 15.0, Some(40.0)).unwrap(),
        rule: Rule::Simple,
        far_point_share: Some(0.1),
        note: String::new(),
    }
}

pub(crate) fn housing() -> Housing {
    Housing {
        objective_focal_mm: Some(27.0),
        eyepiece_focal_mm: Some(27.0),
        tube: TubeKind::Inverting,
        seat: Some(Seat {
            clock_deg: vec![10.0, 130.0, 250.0],
            ends: vec![ShimEnds::Front, ShimEnds::Rear, ShimEnds::Both],
            leaves_mm: vec![0.05, 0.1],
            largest_stack_mm: 0.3,
        }),
        adjustment: Adjustment::Hinge(Hinge { spread_mm: 24.0, arm_mm: 21.0, pods_above: true }),
        ipd_range_mm: Some([54.0, 72.0]),
        ..Housing::named("Heron B")
    }
}

pub(crate) fn unit() -> Unit {
    Unit {
        name: "0147".to_owned(),
        housing: "Heron B".to_owned(),
        tubes: PerChannel {
            left: Tube { serial: "T-31".to_owned(), turned_deg: 0.0 },
            right: Tube { serial: "T-44".to_owned(), turned_deg: 180.0 },
        },
        eyepieces: PerChannel {
            left: Eyepiece { serial: "E-7".to_owned(), ..Eyepiece::default() },
            right: Eyepiece::default(),
        },
        ..Unit::default()
    }
}

/// How a session begins: header, set-up, station, window, housing, unit, first round.
pub(crate) fn beginning() -> Vec<Body> {
    let setup = Setup { job: "J-12".to_owned(), ipd_mm: Some(typed("64")), ..Setup::default() };
    vec![
        Body::Header(header()),
        Body::Setup(setup),
        Body::Station(station()),
        Body::Window(window()),
        Body::Housing(housing()),
        Body::Unit(unit()),
        Body::RoundOpened(RoundOpened { why: RoundReason::First, note: String::new() }),
    ]
}

/// The `seq` of the first round of [`beginning`].
pub(crate) const ROUND: Seq = 7;

pub(crate) fn direction(
    channel: Channel,
    ring: Option<&str>,
    x: &str,
    y: &str,
    unit: ReadingUnit,
) -> DirectionReading {
    DirectionReading {
        channel,
        ring_deg: ring.map(typed),
        x: typed(x),
        y: typed(y),
        unit,
        approach: Approach::Clockwise,
    }
}

/// A log reading in arcminutes.
pub(crate) fn log(channel: Channel, ring: &str, x: &str, y: &str) -> Body {
    reading(Purpose::Log, direction(channel, Some(ring), x, y, ReadingUnit::Arcmin))
}

pub(crate) fn reading(purpose: Purpose, direction: DirectionReading) -> Body {
    Body::Reading(Reading::direction(ROUND, purpose, direction))
}

pub(crate) fn withdraw(reading: Seq) -> Body {
    Body::Withdrawn(Withdrawn { reading, reason: "misread".to_owned() })
}

/// A confirm reading in arcminutes with everything noted: lock tight, dioptre at zero.
pub(crate) fn confirm(channel: Channel, x: &str, y: &str) -> Reading {
    Reading {
        lock: Some(Lock::After),
        dioptre: Some(typed("0")),
        ..Reading::direction(
            ROUND,
            Purpose::Confirm,
            direction(channel, None, x, y, ReadingUnit::Arcmin),
        )
    }
}

/// What the facts come to.
pub(crate) fn concluded(bodies: &[Body]) -> Conclusion {
    record::conclude(&record::fold(&facts_of(bodies))).unwrap()
}

/// Six readings a channel, 60° apart, of two circles that cross: left centre (10, 4) radius 30,
/// right centre (−6, −3) radius 26, rounded to a tenth as a hand types.
pub(crate) fn logged() -> Vec<Body> {
    let mut bodies = Vec::new();
    for (channel, [cx, cy], radius, phase_deg) in
        [(Channel::Left, [10.0, 4.0], 30.0, 20.0_f64), (Channel::Right, [-6.0, -3.0], 26.0, 140.0)]
    {
        for step in 0..6 {
            let ring = f64::from(60 * step);
            let angle = (phase_deg - ring).to_radians();
            let (x, y): (f64, f64) = (cx + radius * angle.cos(), cy + radius * angle.sin());
            bodies.push(log(channel, &format!("{ring}"), &format!("{x:.1}"), &format!("{y:.1}")));
        }
    }
    bodies
}

/// The same in a file of another format.
pub(crate) fn in_format(format: u32, mut bodies: Vec<Body>) -> Vec<Body> {
    for body in &mut bodies {
        if let Body::Header(header) = body {
            header.format = format;
        }
    }
    bodies
}

/// A session of exactly `count` facts: the beginning, then log readings round and round.
pub(crate) fn long_session(count: usize) -> Vec<Body> {
    beginning().into_iter().chain(logged().into_iter().cycle()).take(count).collect()
}

/// Waits until the writer is done with what it was given.
pub(crate) fn settle(file: &mut SessionFile) -> Vec<Event> {
    let began = Instant::now();
    let mut events = file.poll();
    while matches!(file.save_state(), SaveState::Saving { .. }) {
        assert!(began.elapsed() < Duration::from_secs(5), "the writer hangs: {file:?}");
        std::thread::yield_now();
        events.append(&mut file.poll());
    }
    events
}

/// A whole job: as found, logged and closed, a setting chosen, confirmed, signed, countersigned.
pub(crate) fn whole_job() -> Vec<Body> {
    let mut bodies = beginning();
    for channel in Channel::BOTH {
        let read = direction(channel, Some("200"), "3", "-4", ReadingUnit::Divisions);
        bodies.push(reading(Purpose::AsFound, read));
    }
    bodies.extend(logged());
    bodies.push(log(Channel::Left, "0", "38.1", "14.4"));
    bodies.push(chosen(&bodies));
    let confirmed = [
        (Channel::Left, "-14.2", "21.5", false),
        (Channel::Right, "-13.9", "21.9", false),
        (Channel::Left, "-14.5", "21.3", false),
        (Channel::Right, "-14.1", "21.6", true),
        (Channel::Left, "-14.3", "21.6", true),
    ];
    for (channel, x, y, reseated) in confirmed {
        bodies.push(Body::Reading(Reading {
            lock: Some(Lock::After),
            reseated,
            ..Reading::direction(
                ROUND,
                Purpose::Confirm,
                direction(channel, None, x, y, ReadingUnit::Arcmin),
            )
        }));
    }
    // As the first version judged: the hand-worked figures of many a test are of that way.
    let before = record::fold(&facts_of(&bodies));
    let conclusion = record::conclude_by(&before, record::Method::First).unwrap();
    let signature = bodies.len() as Seq + 1;
    bodies.push(Body::Signed(signature_of(&conclusion)));
    bodies.push(Body::Countersigned(Countersigned {
        signature,
        last_hash: String::new(),
        comment: "agreed".to_owned(),
        hands_sha256: None,
    }));
    bodies
}

/// The recommended setting of the facts so far, rings rounded to a degree, as a screen shows it.
fn chosen(bodies: &[Body]) -> Body {
    let session = record::fold(&facts_of(bodies));
    let problem = session.problem(ROUND).unwrap();
    let solution = solver::solve(&problem).unwrap();
    let setting = solution.setting.as_ref().unwrap();
    let ring_deg = setting.ring_deg.map(|ring| ring.map(f64::round));
    let point = |channel| {
        let circle = solution.fits[channel].as_ref().unwrap().circle;
        circle.at_ring(ring_deg[channel].unwrap()).unwrap()
    };
    let points = PerChannel::from_fn(point);
    let misalignment = solver::Misalignment::between(points.left, points.right);
    Body::SettingChosen(SettingChosen {
        round: ROUND,
        source: SettingSource::NearestCrossing,
        ring_deg,
        points_arcmin: points.map(|point| [point.x_arcmin, point.y_arcmin]),
        misalignment_arcmin: [misalignment.x_arcmin, misalignment.y_arcmin],
        boresight_arcmin: points.left.midpoint(points.right).boresight_arcmin(),
        window_use: Some(window().limits.used_by(points.left, points.right).worst()),
        worst_window_use: None,
        reason: String::new(),
    })
}

/// A camera map of format 2.
pub(crate) fn camera() -> Camera {
    let mark = |x: f64, y: f64| PictureMark {
        px: [320.0 + 20.0 * x, 240.0 - 20.0 * y],
        divisions: [x, y],
    };
    Camera {
        name: "Above bench 2".to_owned(),
        station: "Bench 2".to_owned(),
        size_px: [640, 480],
        lines: Lines::Bright,
        marks: vec![mark(-8.0, -6.0), mark(8.0, -6.0), mark(8.5, 6.25), mark(-8.0, 6.0)],
    }
}

/// The picture of a reading, of format 2.
pub(crate) fn frame(reading: Seq) -> Frame {
    Frame {
        reading,
        picture_sha256: "0123456789abcdef".repeat(4),
        background_sha256: Some("fedcba9876543210".repeat(4)),
        read: FrameRead::Camera,
        crosshairs: vec![
            NotedCrosshair {
                px: [321.25, 238.5],
                covariance_px2: Some([0.0025, -0.0005, 0.0036])
            };
            2
        ],
    }
}

/// What is signed of a conclusion about window 4 and station 3.
pub(crate) fn signature_of(conclusion: &Conclusion) -> Signed {
    Signed {
        round: conclusion.round,
        verdict: conclusion.verdict,
        rule: conclusion.rule,
        program: "samepoint 0.1.0".to_owned(),
        window: Some(4),
        station: Some(3),
        rests_on: conclusion.rests_on.clone(),
        numbers: conclusion.numbers(),
        statement: "set and locked as shown".to_owned(),
    }
}
