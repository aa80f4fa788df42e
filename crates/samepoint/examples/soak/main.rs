//! A working day at the real window: a scripted hand takes unit after unit from set-up to signature,
//! then logs a thousand readings in one session. What it costs at the end is held against what it
//! cost at the start, and every fact that was shown as saved is looked for on the disk.
//!
//! ```console
//! cargo run -p samepoint --example soak [UNITS] [READINGS]
//! ```
//!
//! 96 units are eight hours at five minutes a unit. Ends with exit code 1 where a bound is broken.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    reason = "a program that prints what it measured and may fail loudly"
)]

#[path = "../../../../tests/window/bench.rs"]
#[expect(dead_code, reason = "shared with the tests, which use all of it")]
mod bench;
mod day;
#[path = "../../../../tests/shared/failing_disk.rs"]
mod failing_disk;

use std::process::ExitCode;
use std::time::Instant;

use day::{Day, Measure};

const UNITS: usize = 96;
const READINGS: usize = 1_000;

fn main() -> ExitCode {
    let mut counts = std::env::args().skip(1).map(|text| text.parse().expect("a number"));
    let units = counts.next().unwrap_or(UNITS);
    let readings = counts.next().unwrap_or(READINGS);
    let home = tempfile::tempdir().unwrap();
    let began = Instant::now();
    let mut day = Day::begin(home.path());
    // The first units fill caches: letters drawn, sheets opened once.
    let warm_up = units.min(4);
    for unit in 0..warm_up {
        day.unit(unit);
    }
    let start = day.measure();
    for unit in warm_up..units {
        day.unit(unit);
    }
    let end = day.measure();
    println!("{units} units from set-up to signature, {:.0} s", began.elapsed().as_secs_f64());
    told("after the first units", &start);
    told("after the last", &end);
    println!("  facts shown as saved {}, on disk {}", day.saved(), day.on_disk());
    let long = day.long_session(readings);
    println!("one session of {readings} readings");
    println!(
        "  frame that logs one: {:.2} ms of the first {n}, {:.2} ms of the last {n}",
        1e3 * long.first.as_secs_f64(),
        1e3 * long.last.as_secs_f64(),
        n = day::AT_ONCE,
    );
    told("after it", &day.measure());
    println!("  facts shown as saved {}, on disk {}", day.saved(), day.on_disk());
    let broken = day.broken(&start, &end, &long, true);
    for bound in &broken {
        println!("BROKEN: {bound}");
    }
    if broken.is_empty() { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn told(when: &str, measure: &Measure) {
    println!(
        "  {when}: frame {:.2} ms, memory {:.1} MB",
        1e3 * measure.frame.as_secs_f64(),
        measure.resident_megabytes
    );
}
