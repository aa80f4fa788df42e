//! Having the system's speech program say a sentence: a program of this user's preferences, started without
//! a shell, ended with whoever waits for it.

use std::io;
use std::path::PathBuf;
use std::process::{Child, Command, ExitStatus, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use record::shown;

use crate::programs::{on_path, without_window};

/// What is looked for, in this order, where no program is named.
pub(crate) const USUAL: [&str; 2] = ["spd-say --wait", "espeak-ng"];

/// A sentence about one reading does not take longer.
const PATIENCE: Duration = Duration::from_secs(20);
/// How often is looked whether it is done.
const LOOK: Duration = Duration::from_millis(15);

/// Ends what is being said: only the program started for it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Hush(Arc<AtomicBool>);

impl Hush {
    /// Ends it.
    pub(crate) fn hush(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    fn is_asked(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Why a sentence was not said aloud, in a sentence.
#[derive(Clone, Debug, thiserror::Error)]
pub(crate) enum NotSaid {
    /// None of the usual programs is there.
    #[error(
        "Neither spd-say nor espeak-ng is found on this computer: install one, or name another program \
         that speaks its last argument."
    )]
    NoProgram,
    /// The one that was named is not.
    #[error("{} is not found on this computer.", shown::one_line(name))]
    NotFound {
        /// As typed.
        name: String,
    },
    /// It was found.
    #[error("{}{why}.", shown::path(program))]
    Failed {
        /// Which.
        program: PathBuf,
        /// What became of it.
        why: Failure,
    },
}

/// What became of a program that was to speak; goes on behind its name.
#[derive(Clone, Debug, thiserror::Error)]
pub(crate) enum Failure {
    /// The system does not start it.
    #[error(" cannot be run: {}", shown::system(.0))]
    NotRun(#[source] Arc<io::Error>),
    /// It ended otherwise than well.
    #[error(" ended with {0}")]
    Ended(ExitStatus),
    /// The system does not tell.
    #[error(": {}", shown::system(.0))]
    Lost(#[source] Arc<io::Error>),
    /// It went on and on.
    #[error(" took longer than {} s and was ended", PATIENCE.as_secs())]
    TooLong,
}

/// Says a sentence and waits until it is said. `command`: the program and its first arguments, parted by
/// spaces; empty for one of [`USUAL`]. The sentence is its last argument, never read by a shell.
///
/// # Errors
/// [`NotSaid`].
pub(crate) fn say(command: &str, sentence: &str, hush: &Hush) -> Result<(), NotSaid> {
    let (program, arguments) = program(command)?;
    let mut starting = Command::new(&program);
    starting.args(&arguments).arg(sentence);
    starting.stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null());
    without_window(&mut starting);
    let failed = |why: Failure| NotSaid::Failed { program: program.clone(), why };
    let mut started =
        Started(starting.spawn().map_err(|why| failed(Failure::NotRun(Arc::new(why))))?);
    let at = Instant::now();
    loop {
        match started.0.try_wait() {
            Ok(Some(status)) if status.success() => return Ok(()),
            Ok(Some(status)) => return Err(failed(Failure::Ended(status))),
            Ok(None) => {}
            Err(why) => return Err(failed(Failure::Lost(Arc::new(why)))),
        }
        if hush.is_asked() {
            return Ok(());
        }
        if at.elapsed() > PATIENCE {
            return Err(failed(Failure::TooLong));
        }
        std::thread::sleep(LOOK);
    }
}

/// The program and its first arguments.
fn program(command: &str) -> Result<(PathBuf, Vec<String>), NotSaid> {
    let found = |command: &str| {
        let mut words = command.split_whitespace().map(str::to_owned);
        let name = words.next()?;
        let whole = PathBuf::from(&name);
        let program = if whole.is_absolute() { Some(whole) } else { on_path(&name) };
        program.map(|program| (program, words.collect()))
    };
    if command.trim().is_empty() {
        return USUAL.into_iter().find_map(found).ok_or(NotSaid::NoProgram);
    }
    found(command).ok_or_else(|| {
        let name = command.split_whitespace().next().unwrap_or_default();
        NotSaid::NotFound { name: name.to_owned() }
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
