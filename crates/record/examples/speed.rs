//! How long it takes to fold and solve a thousand facts (to be under 10 ms), and to open, check
//! and fold a file beside plain `ron::from_str` of the same bytes, in one run.
//!
//! `cargo run --release -p record --example speed`

#![allow(
    clippy::unwrap_used,
    clippy::panic,
    clippy::print_stdout,
    reason = "a measurement that reports on the terminal"
)]

#[path = "../../../tests/faults/flips.rs"]
#[expect(dead_code, reason = "shared with the tests, which use all of it")]
mod flips;
#[path = "../../../tests/faults/support.rs"]
#[expect(dead_code, reason = "shared with the tests, which use all of it")]
mod support;

use std::hint::black_box;
use std::path::Path;
use std::process::ExitCode;
use std::time::{Duration, Instant};

use record::{file::scan, fold};

const FACTS: usize = 1000;
const RUNS: usize = 51;
const LIMIT: Duration = Duration::from_millis(10);

/// The median time of a piece of work.
fn median<T>(mut work: impl FnMut() -> T) -> Duration {
    let mut times: Vec<Duration> = (0..RUNS)
        .map(|_| {
            let began = Instant::now();
            black_box(work());
            began.elapsed()
        })
        .collect();
    times.sort_unstable();
    times[RUNS / 2]
}

fn main() -> ExitCode {
    let facts = support::facts_of(&support::long_session(FACTS));
    let bytes = flips::lines_of(&facts);
    let text = std::str::from_utf8(&bytes).unwrap();
    let solved = median(|| {
        let session = fold(black_box(&facts));
        solver::solve(&session.problem(support::ROUND).unwrap()).unwrap()
    });
    let opened = median(|| fold(&scan(Path::new("a"), black_box(&bytes[..])).unwrap().facts));
    let plain = median(|| {
        let lines = black_box(text).lines();
        lines.map(|line| ron::from_str::<(String, ron::Value)>(line).unwrap()).collect::<Vec<_>>()
    });
    let ratio = opened.as_secs_f64() / plain.as_secs_f64();
    println!("fold and solve {FACTS} facts: {solved:?} (limit {LIMIT:?})");
    println!("open, check and fold {FACTS} facts, {} bytes: {opened:?}", bytes.len());
    println!("plain ron::from_str of the same lines: {plain:?}; ratio {ratio:.2}");
    if solved < LIMIT { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
