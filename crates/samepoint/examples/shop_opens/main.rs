//! How long the window takes to show the table of a shop of 10,000 sessions: opened the first time, and again
//! (under 0.3 s for 10,000 sessions, under 1 s for 100,000) when the shop is asked for as soon as the session stands,
//! a second later and ten.
//!
//! ```console
//! xvfb-run -a cargo run --release -p samepoint --example shop_opens [SESSIONS [signed]]
//! xvfb-run -a cargo run --release -p samepoint --example shop_opens FOLDER
//! ```
//!
//! Of so many invented sessions, each signed and countersigned where that is asked for, or of a shop that is there.
//!
//! Each time is that of a window of its own, from the key that asks for the shop to the end of the frame that shows
//! its rows. The sessions are made first, so their bytes are in the system's cache: disks are not measured.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    reason = "a program that prints what it measured and may fail loudly"
)]

#[path = "../../../record/examples/make_demo_data/bench.rs"]
mod bench;
#[path = "../../../record/examples/shop_speed/made.rs"]
mod made;
mod window;

use std::path::{Path, PathBuf};
use std::process::{Command, ExitCode};
use std::time::Duration;
use std::{env, fs};

use made::Answered;
use window::{Opened, open_window};

const SESSIONS: u64 = 10_000;
const SECOND: f64 = 0.3;
const SECOND_OF_MANY: f64 = 1.0;
/// How long the session stands before the shop is asked for, and how many windows each is tried with.
const ASKED_AFTER: [Duration; 3] =
    [Duration::ZERO, Duration::from_secs(1), Duration::from_secs(10)];
const WINDOWS: usize = 5;

fn main() -> ExitCode {
    let arguments: Vec<String> = env::args().skip(1).collect();
    if let [home, shop, after_ms] = arguments.as_slice() {
        let after = Duration::from_millis(after_ms.parse().unwrap());
        open_window(Path::new(home), PathBuf::from(shop), after);
        return ExitCode::SUCCESS;
    }
    let home = tempfile::tempdir().unwrap();
    let preferences = home.path().join("config/preferences.ron");
    fs::create_dir_all(preferences.parent().unwrap()).unwrap();
    // Who is at the bench is not what is measured.
    fs::write(preferences, "(ask_after_minutes: 0, welcomed: true)").unwrap();

    let given = arguments.first().map(PathBuf::from).filter(|folder| folder.is_dir());
    let shop = given.clone().unwrap_or_else(|| home.path().join("shop"));
    if given.is_none() {
        let signed = arguments.get(1).is_some_and(|asked| asked == "signed");
        let answered = if signed { Answered::Signed } else { Answered::Not };
        let count = arguments.first().map_or(SESSIONS, |count| count.parse().unwrap());
        made::sessions(&shop, count, answered).unwrap();
    }
    let open = |after: Duration| Opened::of_window(&mut this_program(home.path(), &shop, after));
    let Some(first) = open(Duration::ZERO) else {
        println!("no window could be opened: run under a display, such as xvfb-run");
        return ExitCode::FAILURE;
    };
    println!(
        "{} sessions, opened the first time: {:.2} s from the key to the table, {} read whole",
        first.rows, first.table_s, first.read_whole
    );
    let limit = if first.rows > SESSIONS { SECOND_OF_MANY } else { SECOND };
    let mut held = true;
    for after in ASKED_AFTER {
        let mut opened: Vec<Opened> = (0..WINDOWS).map(|_| open(after).unwrap()).collect();
        opened.sort_by(|a, b| a.table_s.total_cmp(&b.table_s));
        let [least, half, most] = [0, WINDOWS / 2, WINDOWS - 1].map(|at| opened[at].table_s);
        let longest = opened.iter().map(|one| one.longest_frame_s).fold(0.0, f64::max);
        let whole: u64 = opened.iter().map(|one| one.read_whole).sum();
        held &= half < limit && whole == 0;
        println!(
            "opened again, asked for {} s after the session stands: median {half:.2} s ({least:.2} to {most:.2}; limit \
             {limit} s), {whole} read whole, longest frame {longest:.2} s",
            after.as_secs()
        );
    }
    if held { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn this_program(home: &Path, shop: &Path, after: Duration) -> Command {
    let mut program = Command::new(env::current_exe().unwrap());
    program.args([home, shop]).arg(after.as_millis().to_string());
    program
}
