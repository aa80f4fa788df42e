//! How long `samepoint shop` takes for a shop of 10,000 sessions (to be under 5 s), how much memory
//! it holds, and how that compares with plain `ron::from_str` of the same bytes, in one run; and how long
//! the window takes to open such a shop a second time (under 0.3 s for 10,000 sessions, under 1 s for
//! 100,000), with nothing changed and with one file in a thousand.
//!
//! `cargo run --release -p record --example shop_speed [SESSIONS] [signed]`; signed: each session is signed and
//! countersigned, and the shop's ledger notes both.
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

use record::shop::survey::{SurveyCache, SurveyOptions, survey_by};
use record::{By, survey};

use made::Answered;

const SESSIONS: u64 = 10_000;
const LIMIT: Duration = Duration::from_secs(5);
const SECOND: Duration = Duration::from_millis(300);
const SECOND_OF_MANY: Duration = Duration::from_secs(1);

fn main() -> Result<ExitCode, Box<dyn Error>> {
    let count = env::args().nth(1).map_or(Ok(SESSIONS), |text| text.parse())?;
    let signed = env::args().nth(2).is_some_and(|asked| asked == "signed");
    let answered = if signed { Answered::Signed } else { Answered::Not };
    let shop = tempfile::tempdir()?;
    let folder = shop.path().join("sessions");
    let bytes = made::sessions(shop.path(), count, answered)?;
    println!("{count} sessions ({answered:?}), {} kB each", bytes / count.max(1) / 1000);

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

    let kept = tempfile::tempdir()?;
    let cache = SurveyCache::new(kept.path().to_owned(), "measured".to_owned());
    let open = |what: &str| -> Result<Duration, Box<dyn Error>> {
        let looking = SurveyOptions { cache: Some(&cache), ..SurveyOptions::whole(workers) };
        let began = Instant::now();
        let all = survey_by(shop.path(), &looking)?.unwrap_or_default();
        let took = began.elapsed();
        println!("{what} opening: {took:.3?}, {} files read whole", all.read_whole);
        if all.sessions.len() + all.skipped.len() != usize::try_from(count)? {
            return Err("a session is missing".into());
        }
        Ok(took)
    };
    let first = open("first")?;
    let second = (0..3).map(|_| open("second")).collect::<Result<Vec<_>, _>>()?;
    let second = second.into_iter().min().unwrap_or_default();
    println!("the second takes {:.4} of the first", second.as_secs_f64() / first.as_secs_f64());
    for entry in fs::read_dir(&folder)?.take(usize::try_from(count / 1000)?) {
        let path = entry?.path();
        let bytes = fs::read(&path)?;
        fs::write(&path, bytes)?;
    }
    open("third, one file in a thousand written anew,")?;
    let database = fs::metadata(cache.file_of(shop.path()))?.len();
    println!("kept: {} bytes a session", database / count.max(1));

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
    let quick = second < if count > SESSIONS { SECOND_OF_MANY } else { SECOND };
    let whole = count != SESSIONS || took < LIMIT;
    Ok(if whole && quick { ExitCode::SUCCESS } else { ExitCode::FAILURE })
}

/// The most memory this process ever held, where the system tells.
fn peak_kib() -> Option<u64> {
    let status = fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}
