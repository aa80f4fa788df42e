//! Having OpenSSH's own program sign a line's hash. The private key is never seen here.

use core::fmt;
use std::fs;
use std::io::IsTerminal as _;
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};
use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, Instant};

use record::file::plain;
use record::seal::{NAMESPACE, with_plain_line_ends};
use record::shown;

use crate::programs::{on_path, without_window};

/// How long a passphrase, an agent or a touch is waited for.
pub(crate) const PATIENCE: Duration = Duration::from_secs(120);

/// How often is looked whether it is done.
const LOOK: Duration = Duration::from_millis(20);

/// A longer seal is none, and more than this of what the program says is not told, bytes.
const LONGEST: u64 = 1 << 14;
const LONGEST_SAID: usize = 240;

/// OpenSSH's own program on this computer.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct OpenSsh {
    /// Where it is; `None` where it is not found.
    pub program: Option<PathBuf>,
    /// How long it may take.
    pub patience: Duration,
}

/// Where a private key is.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum KeyFrom {
    /// In a file: a private key, or a `.pub` file whose key the agent holds.
    File(PathBuf),
    /// In the user's agent: the line of its `.pub` file.
    Agent(String),
}

/// Who is asked for a passphrase.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Asks {
    /// Whoever sits at the terminal, by `ssh-keygen` itself.
    Terminal,
    /// Nobody but the desktop's own program for it, where the user named one (`SSH_ASKPASS`).
    Nobody,
}

/// Stops a seal that is being made: only the program started for it ends.
#[derive(Clone, Debug, Default)]
pub struct StopSealing(Arc<AtomicBool>);

impl StopSealing {
    /// Stops it.
    pub fn stop(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    fn is_asked(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Why there is no seal. In words without a full stop.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NotSealed {
    /// The program is not found.
    NotFound,
    /// It cannot be run, or what it needs cannot be written.
    NotRun(String),
    /// A hand stopped it.
    Stopped,
    /// It took too long.
    TooLong(Duration),
    /// It would not sign.
    Refused {
        /// Whether the agent was asked.
        agent: bool,
        /// What it said, on one line.
        said: String,
    },
    /// What it made is no text of a seal's length.
    NoSeal,
}

impl fmt::Display for NotSealed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFound => {
                f.write_str("ssh-keygen is not found on this computer; install OpenSSH’s client")
            }
            Self::NotRun(why) => {
                write!(f, "ssh-keygen cannot be run ({why}); install OpenSSH’s client")
            }
            Self::Stopped => f.write_str("waiting for the key was stopped"),
            Self::TooLong(patience) => write!(
                f,
                "ssh-keygen waited {} for a passphrase, an agent or a touch",
                in_words(*patience)
            ),
            Self::Refused { said, .. } if said.contains("incorrect passphrase") => f.write_str(
                "the key has a passphrase, which is not asked for here; load the key into your agent \
                 with ssh-add",
            ),
            Self::Refused { agent: true, said } if said.contains("No private key found") => f
                .write_str(
                    "your agent does not hold this key; load it with ssh-add, or name its file",
                ),
            Self::Refused { said, .. } if said.is_empty() => {
                f.write_str("ssh-keygen would not sign, and did not say why")
            }
            Self::Refused { said, .. } => write!(f, "ssh-keygen would not sign: {said}"),
            Self::NoSeal => f.write_str("ssh-keygen gave no seal"),
        }
    }
}

impl std::error::Error for NotSealed {}

fn in_words(patience: Duration) -> String {
    match patience.as_secs() {
        0 => "less than a second".to_owned(),
        120 => "two minutes".to_owned(),
        seconds => format!("{seconds} s"),
    }
}

impl OpenSsh {
    /// The one on the user's path.
    #[must_use]
    pub fn of_user() -> Self {
        Self { program: on_path("ssh-keygen"), patience: PATIENCE }
    }

    /// Signs the 64 hex characters of a line.
    ///
    /// # Errors
    /// Why there is no seal.
    pub fn sign(
        &self,
        key: &KeyFrom,
        line_hash: &str,
        asks: Asks,
        stop: &StopSealing,
    ) -> Result<String, NotSealed> {
        let program = self.program.as_ref().ok_or(NotSealed::NotFound)?;
        let not_run = |why: std::io::Error| NotSealed::NotRun(shown::system(&why));
        // Only the user can look into it; it is gone when this returns.
        let folder = tempfile::tempdir().map_err(not_run)?;
        let [message, public, told] = ["line", "key.pub", "said"].map(|n| folder.path().join(n));
        fs::write(&message, line_hash).map_err(not_run)?;
        let key_file = match key {
            KeyFrom::File(path) => std::path::absolute(path).map_err(not_run)?,
            KeyFrom::Agent(line) => {
                fs::write(&public, format!("{}\n", line.trim())).map_err(not_run)?;
                public
            }
        };
        let mut command = Command::new(program);
        command.args(["-q", "-Y", "sign", "-n", NAMESPACE, "-f"]).arg(&key_file).arg(&message);
        command.stdout(Stdio::null());
        match asks {
            Asks::Terminal if std::io::stderr().is_terminal() => {
                command.stdin(Stdio::inherit()).stderr(Stdio::inherit());
            }
            Asks::Terminal => {
                let said = fs::File::create(&told).map_err(not_run)?;
                command.stdin(Stdio::inherit()).stderr(said);
            }
            Asks::Nobody => {
                let said = fs::File::create(&told).map_err(not_run)?;
                command.stdin(Stdio::null()).stderr(said);
                without_window(&mut command);
                if std::env::var_os("SSH_ASKPASS").is_none() {
                    // Whoever would be asked says no at once: it fails with words and does not hang.
                    command.env("SSH_ASKPASS", "false").env("SSH_ASKPASS_REQUIRE", "force");
                }
            }
        }
        let started = StartedSigner(command.spawn().map_err(not_run)?);
        if !self.waited_for(started, stop)? {
            let said = said(&told, folder.path());
            return Err(NotSealed::Refused { agent: matches!(key, KeyFrom::Agent(_)), said });
        }
        let made = plain::read_text(&folder.path().join("line.sig"), LONGEST);
        made.map(|text| with_plain_line_ends(&text)).map_err(|_| NotSealed::NoSeal)
    }

    /// Waits until it is done, and whether it agreed.
    fn waited_for(
        &self,
        mut started: StartedSigner,
        stop: &StopSealing,
    ) -> Result<bool, NotSealed> {
        let begun = Instant::now();
        loop {
            match started.0.try_wait() {
                Ok(Some(status)) => return Ok(status.success()),
                Ok(None) => {}
                Err(why) => return Err(NotSealed::NotRun(shown::system(&why))),
            }
            if stop.is_asked() {
                return Err(NotSealed::Stopped);
            }
            if begun.elapsed() > self.patience {
                return Err(NotSealed::TooLong(self.patience));
            }
            std::thread::sleep(LOOK);
        }
    }
}

/// The program that was started here: it ends with whoever waits for it, and no other does.
struct StartedSigner(Child);

impl Drop for StartedSigner {
    fn drop(&mut self) {
        // It may have ended by itself; then there is nothing to end.
        let _ = self.0.kill();
        let _ = self.0.wait();
    }
}

/// What the program said, on one line, without the names of files that are gone.
fn said(told: &Path, folder: &Path) -> String {
    let text = plain::read_text(told, LONGEST).unwrap_or_default();
    let folder = folder.display().to_string();
    let lines: Vec<&str> = text.lines().map(str::trim).filter(|line| !line.is_empty()).collect();
    let whole = lines.join("; ").replace(&format!("{folder}/"), "").replace(&folder, "");
    shown::short(&shown::one_line(&whole), LONGEST_SAID).into_owned()
}
