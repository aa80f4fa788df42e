//! A program that writes frames: started without a shell, its last words listened to, ended with whoever started it.

use std::io::Read;
use std::process::{Child, ChildStderr, ChildStdout, ExitStatus, Stdio};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use record::shown;

use super::command::CameraCommand;
use super::refusal::NoProgram;
use crate::programs::without_window;

/// One that was told to end is gone by then, or the system holds it.
const GONE: Duration = Duration::from_secs(1);

/// How often is looked whether it is.
const LOOK: Duration = Duration::from_millis(5);

/// Of what it says the last so many bytes, lines and letters are kept, and shown.
const WORDS: usize = 2048;
const LINES: usize = 3;
const LETTERS: usize = 400;

/// A program that was started. Clones are the same one; somebody has to end it ([`Program::end`]).
#[derive(Clone, Debug)]
pub(crate) struct Program {
    child: Arc<Mutex<StartedProgram>>,
    pub(crate) words: LastWords,
}

/// What it says of itself, the last of it. Clones are the same.
#[derive(Clone, Debug, Default)]
pub(crate) struct LastWords(Arc<Mutex<Vec<u8>>>);

#[derive(Debug)]
struct StartedProgram {
    child: Child,
    /// How it ended, once the system was asked.
    ended: Option<ExitStatus>,
}

/// What it writes: frames, and what it says of itself.
#[derive(Debug)]
pub(crate) struct ProgramOutput {
    pub(crate) frames: ChildStdout,
    pub(crate) words: ChildStderr,
}

impl Program {
    /// Starts it, on Unix at the head of a group of its own, so that what it starts ends with it.
    ///
    /// # Errors
    /// [`NoProgram::NotRun`].
    pub(crate) fn start(command: &CameraCommand) -> Result<(Self, ProgramOutput), NoProgram> {
        let mut starting = std::process::Command::new(&command.program);
        starting.args(&command.arguments);
        starting.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
        without_window(&mut starting);
        #[cfg(unix)]
        std::os::unix::process::CommandExt::process_group(&mut starting, 0);
        let not_run = |why| NoProgram::NotRun { program: command.program.clone(), why };
        let mut child = starting.spawn().map_err(not_run)?;
        let output = child.stdout.take().zip(child.stderr.take());
        let child = Arc::new(Mutex::new(StartedProgram { child, ended: None }));
        let program = Self { child, words: LastWords::default() };
        match output {
            Some((frames, words)) => Ok((program, ProgramOutput { frames, words })),
            // Both were asked for: they are there.
            None => {
                program.end();
                Err(not_run(std::io::ErrorKind::BrokenPipe.into()))
            }
        }
    }

    fn started(&self) -> MutexGuard<'_, StartedProgram> {
        self.child.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Ends it, and all that it started, and waits until it is gone.
    pub(crate) fn end(&self) {
        {
            let mut started = self.started();
            if started.is_over() {
                return;
            }
            started.kill();
        }
        if self.over_within(GONE).is_none() {
            log::warn!("the program that writes frames did not end in time");
        }
    }

    /// How it ended; waits for it at most this long.
    pub(crate) fn over_within(&self, longest: Duration) -> Option<ExitStatus> {
        let begun = Instant::now();
        loop {
            let mut started = self.started();
            if started.is_over() {
                return started.ended;
            }
            drop(started);
            if begun.elapsed() > longest {
                return None;
            }
            std::thread::sleep(LOOK);
        }
    }

    /// Its process, for who looks whether it is gone.
    pub(crate) fn id(&self) -> u32 {
        self.started().child.id()
    }
}

impl LastWords {
    /// Listens to the end.
    pub(crate) fn listen(&self, mut from: impl Read) {
        let mut chunk = [0; 1024];
        loop {
            match from.read(&mut chunk) {
                Ok(0) => return,
                Ok(count) => {
                    let mut words = self.0.lock().unwrap_or_else(PoisonError::into_inner);
                    words.extend_from_slice(chunk.get(..count).unwrap_or_default());
                    let over = words.len().saturating_sub(WORDS);
                    words.drain(..over);
                }
                Err(why) if why.kind() == std::io::ErrorKind::Interrupted => {}
                Err(_) => return,
            }
        }
    }

    /// Its last words, what is hidden in them made visible; `None` where it said nothing.
    pub(crate) fn told(&self) -> Option<String> {
        let words = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        let text = String::from_utf8_lossy(&words).into_owned();
        drop(words);
        let lines = text.split(['\n', '\r']).map(str::trim).filter(|line| !line.is_empty());
        let mut last: Vec<&str> = lines.rev().take(LINES).collect();
        last.reverse();
        let told = last.join("; ");
        (!told.is_empty()).then(|| shown::short(&shown::one_line(&told), LETTERS).into_owned())
    }
}

impl StartedProgram {
    /// Whether it is gone; asks the system, which then forgets it.
    fn is_over(&mut self) -> bool {
        if self.ended.is_none() {
            self.ended = self.child.try_wait().ok().flatten();
        }
        self.ended.is_some()
    }

    /// Kills it and its group. Only while the system still knows it: nobody else has its number then.
    fn kill(&mut self) {
        #[cfg(unix)]
        if let Some(group) =
            i32::try_from(self.child.id()).ok().and_then(rustix::process::Pid::from_raw)
        {
            // It may have left its group, or be gone already.
            let _ = rustix::process::kill_process_group(group, rustix::process::Signal::KILL);
        }
        let _ = self.child.kill();
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A program that says more than anybody reads.
    #[test]
    fn only_the_last_words_are_kept_and_all_of_them_can_be_seen() {
        let words = LastWords::default();
        assert_eq!(words.told(), None);
        let mut said: Vec<u8> = b"early ".repeat(10_000);
        said.extend(b"\nframe 1\rframe 2\rcannot open\x1b[31m /dev/video0\xff\n\n");
        words.listen(&said[..]);
        let told = words.told().unwrap_or_default();
        assert!(told.contains("frame 2; cannot open") && !told.contains('\x1b'), "{told}");
        assert!(told.len() < 2 * LETTERS, "{}", told.len());
    }
}
