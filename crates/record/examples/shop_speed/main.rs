//! How long `samepoint shop` takes for a shop of 10,000 sessions (to be under 5 s), how much memory
//! it holds, and how that compares with plain `ron::from_str` of the same bytes, in one run.
//!
//! `cargo run --release -p record --example shop_speed [SESSIONS]`
//!
//! The sessions are made first, so their bytes are in the system's cache: disks are not measured.

#![allow(clippy::print_stdout, reason = "a measurement that reports on the terminal")]

#[path = "../make_demo_data/bench.rs"]
mod bench;
mod made;

use std::error::Error;
use std::num::NonZeroUsize;
use std::process::ExitCode;
use std::time::{Duration, Instant};
use std::{env, fs, thread};

use record::{By, survey};

const SESSIONS: u64 = 10_000;
const LIMIT: Duration = Duration::from_secs(5);

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let count = env::args().nth(1).map_or(Ok(SESSIONS), |text| text.parse())?;
    let shop = tempfile::tempdir()?;
    let folder = shop.path().join("sessions");
    fs::create_dir(&folder)?;
    let bytes = made::sessions(&folder, count)?;
    println!("{count} sessions, {} kB each", bytes / count.max(1) / 1000);

    let workers = thread::available_parallelism()?;
    let before = peak_kib();
    let began = Instant::now();
    let all = survey(shop.path(), workers)?;
    let took = began.elapsed();
    let after = peak_kib();
    println!("survey with {workers} workers: {took:.2?} (limit {LIMIT:?} for {SESSIONS})");
    println!("{} read, {} passed over", all.sessions.len(), all.skipped.len());
    for group in all.by(By::Hand) {
        println!("  {} passed first: {:?}", group.name, group.passed_first);
    }
    if let (Some(before), Some(after)) = (before, after) {
        println!("peak memory {before} KiB before, {after} KiB after");
    }

    let began = Instant::now();
    survey(shop.path(), NonZeroUsize::MIN)?;
    let alone = began.elapsed();
    let began = Instant::now();
    let mut lines = 0_usize;
    for entry in fs::read_dir(&folder)? {
        let text = fs::read_to_string(entry?.path())?;
        for line in text.lines() {
            ron::from_str::<(String, ron::Value)>(line)?;
            lines += 1;
        }
    }
    let plain = began.elapsed();
    println!(
        "one worker {alone:.2?}; plain ron::from_str of the same {lines} lines {plain:.2?}; ratio {:.2}",
        alone.as_secs_f64() / plain.as_secs_f64()
    );
    Ok(if count < SESSIONS || took < LIMIT { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// The most memory this process ever held, where the system tells.
fn peak_kib() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}
