//! How opening, reviewing, one reading more and the report grow with a session: 10³, 10⁴ and 5·10⁴
//! readings, and as many signatures. Each column is told beside the one before; growing as the number of
//! facts is 10 and 5.
//!
//! `cargo run --release -p paper --example growth`; with a word behind `--` only what has it in its name,
//! the best of five runs: `… growth -- report`

#![allow(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a measurement that reports on the terminal"
)]

use std::hint::black_box;
use std::path::{Path, PathBuf};
use std::time::Instant;

use paper::{PaperSize, report};
use record::{
    Approach, Body, Channel, DirectionReading, Fact, FileOptions, Folding, Header, NamedWindow,
    Opener, Purpose, Reading, ReadingUnit, RealDisk, RoundOpened, RoundReason, Rule, SessionFile,
    SessionKind, Signed, Stamp, Station, Typed, Verdict, fold, review,
};

const SIZES: [usize; 3] = [1_000, 10_000, 50_000];

fn main() {
    let folder = tempfile::tempdir().unwrap();
    println!("{:42} {:>9} {:>9} {:>9}   ratios", "seconds", SIZES[0], SIZES[1], SIZES[2]);
    let readings = SIZES.map(|count| kept(folder.path(), &session(count, 0)));
    measured("open, check and fold as many readings", &readings, opened);
    measured("review them", &readings, reviewed);
    measured("fold and solve one reading more", &readings, one_more);
    measured("their report", &readings, reported);
    let signed = SIZES.map(|count| kept(folder.path(), &session(8, count)));
    measured("review as many signatures", &signed, reviewed);
}

fn measured(what: &str, of: &[PathBuf; 3], work: fn(&Path) -> f64) {
    if std::env::args().nth(1).is_none_or(|word| what.contains(&word)) {
        told(what, of.each_ref().map(|path| work(path)));
    }
}

fn told(what: &str, [first, second, third]: [f64; 3]) {
    println!(
        "{what:42} {first:9.4} {second:9.4} {third:9.4}   {:.1} {:.1}",
        second / first,
        third / second
    );
}

/// The shortest of five runs.
fn timed<T>(mut work: impl FnMut() -> T) -> f64 {
    let runs = (0..5).map(|_| {
        let began = Instant::now();
        let made = black_box(work());
        let time = began.elapsed().as_secs_f64();
        drop(made);
        time
    });
    runs.fold(f64::INFINITY, f64::min)
}

fn opened(path: &Path) -> f64 {
    timed(|| {
        let options = FileOptions::real(Opener::here("KT"));
        let file = SessionFile::open_read_only(path, options).unwrap();
        fold(file.facts())
    })
}

fn reviewed(path: &Path) -> f64 {
    timed(|| review(path, &RealDisk).unwrap())
}

fn reported(path: &Path) -> f64 {
    let account = review(path, &RealDisk).unwrap();
    let issued = account.last_time.unwrap().date();
    timed(|| report(&account, None, PaperSize::A4, issued).unwrap())
}

/// The last reading, taken up after all before it.
fn one_more(path: &Path) -> f64 {
    let options = FileOptions::real(Opener::here("KT"));
    let file = SessionFile::open_read_only(path, options).unwrap();
    let facts = file.facts();
    let mut before = Folding::new();
    before.advance(&facts[..facts.len() - 1]);
    let mut copies = vec![before; 5];
    timed(|| {
        let mut folding = copies.pop().unwrap_or_default();
        folding.advance(facts);
        let problem = folding.session().problem(ROUND).unwrap();
        (solver::solve(&problem).is_ok(), folding)
    })
}

/// The fact that opens the round.
const ROUND: u64 = 4;

fn session(readings: usize, signatures: usize) -> Vec<Body> {
    let mut station = Station::plain("Bench 2");
    station.spread.sigma_arcmin = Some(0.3);
    let mut bodies = vec![
        Body::Header(Header {
            format: record::fact::LATEST_FORMAT,
            program: "growth".to_owned(),
            session: record::new_session_name().unwrap(),
            kind: SessionKind::Real,
            continues: None,
        }),
        Body::Station(station),
        Body::Window(NamedWindow {
            name: "growth".to_owned(),
            source: "none".to_owned(),
            limits: solver::Window::new(15.0, 60.0, 15.0, None).unwrap(),
            rule: Rule::Guarded,
            far_point_share: None,
            note: String::new(),
        }),
        Body::RoundOpened(RoundOpened { why: RoundReason::First, note: String::new() }),
    ];
    bodies.extend((0..readings).map(|k| Body::Reading(log(k, Purpose::Log))));
    if signatures > 0 {
        bodies.extend((0..8).map(|k| Body::Reading(log(k, Purpose::Confirm))));
        let first = bodies.len() as u64 - 7;
        bodies.extend((0..signatures).map(|_| {
            Body::Signed(Signed {
                round: ROUND,
                verdict: Verdict::Fail,
                rule: Rule::Guarded,
                program: "growth".to_owned(),
                window: Some(3),
                station: Some(2),
                rests_on: (first..first + 8).collect(),
                numbers: Vec::new(),
                statement: String::new(),
            })
        }));
    }
    bodies
}

/// Readings round two circles, off them by what a wheel of remainders gives.
fn log(k: usize, purpose: Purpose) -> Reading {
    let channel = Channel::BOTH[k % 2];
    let ring_deg = (k / 2 * 37 % 360) as f64;
    let (centre, radius, phase) = match channel {
        Channel::Left => (solver::Direction::new(10.0, 4.0), 30.0, 20.0_f64),
        Channel::Right => (solver::Direction::new(-6.0, -3.0), 26.0, 140.0_f64),
    };
    let off = |step: usize| (k * step % 101) as f64 / 100.0 - 0.5;
    let at = centre + solver::Direction::polar(radius, (phase - ring_deg).to_radians());
    let typed = |value: f64| Typed::parse(&format!("{value:.1}")).unwrap();
    let read = DirectionReading {
        channel,
        ring_deg: Some(typed(ring_deg)),
        x: typed(at.x_arcmin + off(7)),
        y: typed(at.y_arcmin + off(31)),
        unit: ReadingUnit::Arcmin,
        approach: Approach::NotNoted,
    };
    Reading::direction(ROUND, purpose, read)
}

fn kept(folder: &Path, bodies: &[Body]) -> PathBuf {
    let number = std::fs::read_dir(folder).unwrap().count();
    let path = folder.join(format!("{number}.samepoint"));
    let time = |seq: u64| Stamp::from_unix_milliseconds(1_700_000_000_000 + 1000 * seq as i64);
    let facts: Vec<Fact> = (1..)
        .zip(bodies)
        .map(|(seq, body)| Fact {
            seq,
            time: time(seq).unwrap(),
            hand: "KT".to_owned(),
            body: body.clone(),
        })
        .collect();
    let mut bytes = Vec::new();
    record::file::write_all_lines(&facts, &mut bytes).unwrap();
    std::fs::write(&path, bytes).unwrap();
    path
}
