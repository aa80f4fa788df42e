//! What is done with arbitrary bytes, by the fuzzer and by the test that replays its corpus. None
//! of it may panic, hang or take memory without bound.

#![allow(dead_code, reason = "each target uses one of these")]
#![allow(clippy::unwrap_used, clippy::panic, reason = "a failed check fails the target")]

use std::path::Path;

use record::checks::{self, CheckBody};
use record::file::chain::{self, ChainHash};
use record::file::{End, LineFormat, scan_facts, write_all_lines};
use record::journal::{self, JournalBody};
use record::ledger::LedgerEntry;
use record::studies::{self, StudyBody};
use record::{
    Approach, Body, Camera, Channel, DirectionReading, Fact, Frame, Header, LookingResult,
    LookingTest, NamedWindow, Note, PerChannel, Purpose, Reading, ReadingUnit, RoundOpened,
    RoundReason, Sealed, SessionKind, SessionSummary, Stamp, Station, Supposition, Typed, Unit,
    Withdrawn, conclude, fold, fold_to, timeline, two_sessions, what_if,
};
use solver::{Direction, Problem, Sense, SenseChoice, Spread};

/// The readers of all four kinds of file: the bytes as a file, and, since hashes keep a fuzzer out, the bytes line
/// by line as what well-hashed lines say.
pub(crate) fn session(bytes: &[u8]) {
    read_as_any(bytes);
    let mut hash = ChainHash::START;
    let mut hashed = Vec::new();
    for body in String::from_utf8_lossy(bytes).lines() {
        let (line, next) = chain::line(&hash, body);
        hashed.extend(line);
        hash = next;
    }
    read_as_any(&hashed);
}

fn read_as_any(bytes: &[u8]) {
    read_as::<Body>(bytes, |facts| {
        let session = fold(facts);
        let _ = conclude(&session);
        assert_eq!(timeline(facts).len(), facts.len());
        let mut supposing = Supposition::default();
        for entry in session.rounds.iter().flat_map(|round| &round.readings).step_by(2) {
            supposing.toggle(entry);
        }
        what_if(&session, &supposing).unwrap();
        let _ = two_sessions(&session, &session).words();
        let _ = SessionSummary::of(String::new(), &session).troubles();
    });
    read_as::<JournalBody<CheckBody>>(bytes, |facts| {
        let checks = checks::fold(facts);
        for fact in facts {
            let _ = checks.daily_check(fact.time.date());
        }
    });
    read_as::<JournalBody<StudyBody>>(bytes, |facts| {
        let study = studies::fold(facts);
        let _ = (study.next_words(), study.results());
    });
    read_as::<JournalBody<LedgerEntry>>(bytes, |facts| {
        let noted = journal::fold(facts);
        assert!(noted.entries.len() <= facts.len());
    });
}

fn read_as<B: LineFormat + std::fmt::Debug>(bytes: &[u8], look: impl Fn(&[Fact<B>])) {
    let Ok(read) = scan_facts::<B>(Path::new("fuzzed"), bytes) else { return };
    assert!(read.good_length <= bytes.len() as u64);
    look(&read.facts);
    // What was read is written the same way again, or differs only in how it was spelled.
    let mut written = Vec::new();
    if write_all_lines(&read.facts, &mut written).is_ok() {
        let again = scan_facts::<B>(Path::new("again"), &written[..]).unwrap();
        assert_eq!(again.end, End::Clean);
        assert_eq!(again.facts, read.facts);
    }
}

/// The CSV reader.
pub(crate) fn csv(bytes: &[u8]) {
    if let Ok(readings) = record::import_csv::parse(bytes) {
        let readings = readings.per_channel();
        for (_, readings) in readings.iter() {
            assert!(readings.iter().all(|reading| reading.direction.is_finite()));
        }
        let few = readings.iter().all(|(_, readings)| readings.len() < 200);
        if few {
            let _ = solver::solve(&Problem { readings, ..Problem::default() });
        }
    }
}

/// The fold: each byte or two choose a fact.
pub(crate) fn fold_facts(bytes: &[u8]) {
    let mut bytes = bytes.iter().copied().take(100);
    let mut facts: Vec<Fact> = Vec::new();
    while let Some(kind) = bytes.next() {
        let pick = u64::from(bytes.next().unwrap_or(0));
        let seq = facts.len() as u64 + 1;
        let time = Stamp::from_unix_milliseconds(1_700_000_000_000 + 1000 * pick as i64).unwrap();
        facts.push(Fact { seq, time, hand: String::new(), body: body(kind, pick) });
    }
    let session = fold(&facts);
    assert_eq!(session.timeline.len(), facts.len());
    for round in &session.rounds {
        let problem = session.problem(round.id).unwrap();
        let entries = session.problem_entries(round.id);
        for channel in Channel::BOTH {
            assert_eq!(problem.readings[channel].len(), entries[channel].len());
            let _ = (round.place(channel), round.approach(channel), round.closure(channel));
        }
    }
    let _ = conclude(&session);
    // What may be undone may be undone, and redone to the same table.
    if let Some(seq) = session.undo() {
        let undone = with(&facts, Body::Undo(seq));
        let after = fold(&undone);
        assert_eq!(after.redo(), Some(seq));
        let redone = fold(&with(&undone, Body::Redo(seq)));
        assert_eq!(redone.rounds, session.rounds);
    }
    let half = facts.len() as u64 / 2;
    assert_eq!(fold_to(&facts, half), fold(&facts[..half as usize]));
}

fn with(facts: &[Fact], body: Body) -> Vec<Fact> {
    let mut facts = facts.to_vec();
    let last = facts.last().unwrap().clone();
    facts.push(Fact { seq: last.seq + 1, body, ..last });
    facts
}

fn body(kind: u8, pick: u64) -> Body {
    let note = String::new();
    let channel = Channel::BOTH[pick as usize % 2];
    match kind % 16 {
        0 => Body::Header(Header {
            format: 1 + pick as u32 % 2,
            program: note.clone(),
            session: note,
            kind: SessionKind::Real,
            continues: None,
        }),
        1 | 2 => Body::RoundOpened(RoundOpened { why: RoundReason::Other, note }),
        3 => {
            let mut station = Station::plain("a");
            station.map.left.arcmin_per_division = [pick as f64 * 1e300, 1.0];
            Body::Station(station)
        }
        4 => Body::Unit(Unit::default()),
        5 => Body::Undo(pick),
        6 => Body::Redo(pick),
        7 => Body::Withdrawn(Withdrawn { reading: pick, reason: note }),
        8 => Body::Note(Note { text: note, about: Some(pick) }),
        9 => Body::LookingTest(LookingTest {
            distance_m: None,
            result: LookingResult::Double,
            observer: note.clone(),
            note,
        }),
        10 => Body::Window(NamedWindow {
            name: note.clone(),
            source: note.clone(),
            limits: solver::Window::new(1.0 + pick as f64, 20.0, 15.0, None).unwrap(),
            rule: record::Rule::Simple,
            far_point_share: None,
            note,
        }),
        13 => Body::Sealed(Sealed { seq: pick, sshsig: note }),
        14 => Body::Camera(Camera {
            name: note.clone(),
            station: note,
            size_px: [pick, 1],
            lines: record::Lines::Dark,
            marks: Vec::new(),
        }),
        15 => Body::Frame(Frame {
            reading: pick,
            picture_sha256: note,
            background_sha256: None,
            read: record::FrameRead::Hand,
            crosshairs: vec![record::NotedCrosshair {
                px: [pick as f64, 0.5],
                covariance_px2: None,
            }],
        }),
        _ => {
            let purpose = [Purpose::AsFound, Purpose::Log, Purpose::Confirm][pick as usize % 3];
            let typed = |value: u64| Typed::parse(&value.to_string()).unwrap();
            let direction = DirectionReading {
                channel,
                ring_deg: (!pick.is_multiple_of(5)).then(|| typed(pick * 37)),
                x: typed(pick),
                y: typed(pick * pick % 91),
                unit: ReadingUnit::Divisions,
                approach: Approach::NotNoted,
            };
            Body::Reading(Reading::direction(u64::from(kind) % 8, purpose, direction))
        }
    }
}

/// The solver: the bytes as the bits of its numbers, a byte before them as its choices.
pub(crate) fn solve(bytes: &[u8]) {
    let Some((choices, bytes)) = bytes.split_first() else { return };
    let mut numbers =
        bytes.chunks_exact(8).map(|chunk| f64::from_le_bytes(chunk.try_into().unwrap())).take(200);
    let mut next = || numbers.next();
    let spread = Spread {
        sigma_arcmin: (choices & 1 > 0).then(&mut next).flatten(),
        ring_sigma_deg: (choices & 2 > 0).then(&mut next).flatten().unwrap_or(0.0),
    };
    let sense = match choices >> 2 & 3 {
        0 => SenseChoice::Given(Sense::With),
        1 => SenseChoice::Given(Sense::Against),
        _ => SenseChoice::Auto,
    };
    let window = (choices & 16 > 0)
        .then(|| solver::Window::new(next()?, next()?, next()?, next()).ok())
        .flatten();
    let mut readings = PerChannel::<Vec<solver::Reading>>::default();
    let mut channel = Channel::Left;
    while let (Some(x), Some(y)) = (next(), next()) {
        let ring_deg = (choices & 32 > 0).then(&mut next).flatten();
        readings[channel].push(solver::Reading { direction: Direction::new(x, y), ring_deg });
        channel = channel.other();
    }
    let problem = Problem {
        readings,
        spread,
        sense: PerChannel { left: sense, right: sense },
        window,
        ..Problem::default()
    };
    let Ok(solution) = solver::solve(&problem) else { return };
    // No answer is an error or nothing, never a number that is none.
    for (channel, fit) in solution.fits.iter() {
        if let Ok(fit) = fit {
            let finite = fit.circle.centre.is_finite() && fit.circle.radius_arcmin.is_finite();
            assert!(finite, "{channel}: {fit:?}");
        }
    }
    if let Ok(setting) = &solution.setting {
        assert!(setting.points.iter().all(|(_, point)| point.is_finite()), "{setting:?}");
    }
}
