//! Having the system's speech program say a sentence: a program of this user's preferences, started without
//! a shell, ended with whoever waits for it.

use std::path::PathBuf;
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use record::shown;

use crate::sealing::on_path;

/// What is looked for, in this order, where no program is named.
pub const USUAL: [&str; 2] = ["spd-say --wait", "espeak-ng"];

/// A sentence about one reading does not take longer.
const PATIENCE: Duration = Duration::from_secs(20);
/// How often is looked whether it is done.
const LOOK: Duration = Duration::from_millis(15);

/// Ends what is being said: only the program started for it.
#[derive(Clone, Debug, Default)]
pub struct Hush(Arc<AtomicBool>);

impl Hush {
    /// Ends it.
    pub fn hush(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    fn is_asked(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Says a sentence and waits until it is said. `command`: the program and its first arguments, parted by
/// spaces; empty for one of [`USUAL`]. The sentence is its last argument, never read by a shell.
///
/// # Errors
/// Why it was not said, in a sentence.
pub fn say(command: &str, sentence: &str, hush: &Hush) -> Result<(), String> {
    let (program, arguments) = program(command)?;
    let mut starting = Command::new(&program);
    starting.args(&arguments).arg(sentence);
    starting.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    let name = shown::path(&program);
    let begun = starting.spawn();
    let mut started =
        Started(begun.map_err(|why| format!("{name} cannot be run: {}.", shown::system(&why)))?);
    let at = Instant::now();
    loop {
        match started.0.try_wait() {
            Ok(Some(status)) if status.success() => return Ok(()),
            Ok(Some(status)) => return Err(format!("{name} ended with {status}.")),
            Ok(None) => {}
            Err(why) => return Err(format!("{name}: {}.", shown::system(&why))),
        }
        if hush.is_asked() {
            return Ok(());
        }
        if at.elapsed() > PATIENCE {
            return Err(format!("{name} took longer than {} s and was ended.", PATIENCE.as_secs()));
        }
        std::thread::sleep(LOOK);
    }
}

/// The program and its first arguments.
fn program(command: &str) -> Result<(PathBuf, Vec<String>), String> {
    let found = |command: &str| {
        let mut words = command.split_whitespace().map(str::to_owned);
        let name = words.next()?;
        let whole = PathBuf::from(&name);
        let program = if whole.is_absolute() { Some(whole) } else { on_path(&name) };
        program.map(|program| (program, words.collect()))
    };
    if command.trim().is_empty() {
        return USUAL.into_iter().find_map(found).ok_or_else(|| {
            "Neither spd-say nor espeak-ng is found on this computer: install one, or name another \
             program that speaks its last argument."
                .to_owned()
        });
    }
    found(command).ok_or_else(|| {
        let name = command.split_whitespace().next().unwrap_or_default();
        format!("{} is not found on this computer.", shown::one_line(name))
    })
}

/// The program that was started here: it ends with whoever waits for it.
struct Started(Child);

impl Drop for Started {
    fn drop(&mut self) {
        // It may have ended by itself; then there is nothing to end.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}
