//! A program that runs, or an invented camera, and the workers that take its frames, look at them, and listen to what
//! it says.

use std::io::BufReader;
use std::path::PathBuf;
use std::process::{ChildStdout, ExitStatus};
use std::time::{Duration, Instant};

use super::eyes::{Eyes, LampOff, LiveFrame, STALE};
use super::over::{Over, Why};
use crate::bench::camera::looking::{Background, NoLook};
use crate::frames::command::CameraCommand;
use crate::frames::frame::VideoFrame;
use crate::frames::invented::InventedStage;
use crate::frames::latest::Latest;
use crate::frames::program::Program;
use crate::frames::refusal::{NoFrames, NoProgram};
use crate::frames::yuv4mpeg::StreamHeader;
use crate::jobs::{Job, Work, Workers};

/// So long a program that closed its output may take to end by itself, and one that ended to have been heard out.
const GRACE: Duration = Duration::from_millis(400);

/// After so long without a frame it is told that there is none.
const SILENT: Duration = Duration::from_secs(3);

/// Bytes that are taken from the program at once.
const TAKEN: usize = 1 << 16;

/// What is being filmed.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(crate) struct Filmed {
    pub(crate) session: PathBuf,
    pub(crate) station: String,
}

/// Where frames come from.
enum Origin {
    /// A program.
    Program(Program),
    /// An invented unit stands before an invented camera.
    Invented(InventedStage),
}

/// It. Ends with whoever holds it.
pub(crate) struct RunningCamera {
    pub(crate) of: Filmed,
    origin: Origin,
    name: String,
    began: Instant,
    frames: Latest<VideoFrame>,
    seen: Latest<LiveFrame>,
    lamp_off: LampOff,
    taking: Job<Result<Option<ExitStatus>, NoFrames>>,
    watching: Job<Result<(), NoLook>>,
    listening: Job<()>,
    /// What became of taking, and since when.
    taken: Option<(Why, Instant)>,
    /// Whether all frames were looked at.
    watched: bool,
}

impl RunningCamera {
    /// Starts it.
    ///
    /// # Errors
    /// [`NoProgram`].
    pub(crate) fn start(
        command: &CameraCommand,
        of: Filmed,
        eyes: Eyes,
        background: Option<Background>,
        workers: &Workers,
    ) -> Result<Self, NoProgram> {
        let (program, output) = Program::start(command)?;
        let name = command.program.file_name().unwrap_or(command.program.as_os_str());
        let name = record::shown::path(name.as_ref());
        let mut running = Self::of(of, name, Origin::Program(program.clone()));
        let (frames, words) = (running.frames.clone(), program.words.clone());
        running.taking.start(workers, move || {
            let taken = take(output.frames, &frames);
            frames.close();
            taken.map(|()| program.over_within(GRACE))
        });
        running.listening.start(workers, move || words.listen(output.words));
        running.watch(eyes, background, workers);
        Ok(running)
    }

    /// Has an invented camera film what stands on a stage, in pictures of `size`.
    pub(crate) fn invented(
        stage: InventedStage,
        size: [usize; 2],
        of: Filmed,
        eyes: Eyes,
        background: Option<Background>,
        workers: &Workers,
    ) -> Self {
        let name = "The invented camera".to_owned();
        let mut running = Self::of(of, name, Origin::Invented(stage.clone()));
        let frames = running.frames.clone();
        running.taking.start(workers, move || {
            stage.film(size, &frames);
            Ok(None)
        });
        running.watch(eyes, background, workers);
        running
    }

    fn of(of: Filmed, name: String, origin: Origin) -> Self {
        Self {
            of,
            origin,
            name,
            began: Instant::now(),
            frames: Latest::default(),
            seen: Latest::default(),
            lamp_off: LampOff::default(),
            taking: Job::idle(Work::Frames),
            watching: Job::idle(Work::FramesRead),
            listening: Job::idle(Work::FramesTold),
            taken: None,
            watched: false,
        }
    }

    fn watch(&mut self, eyes: Eyes, background: Option<Background>, workers: &Workers) {
        self.lamp_off.set(background);
        let (frames, seen) = (self.frames.clone(), self.seen.clone());
        let (lamp_off, wake) = (self.lamp_off.clone(), workers.wake.clone());
        self.watching.start(workers, move || eyes.watch(&frames, &lamp_off, &seen, &wake));
    }

    /// What stands before an invented camera.
    pub(crate) const fn stage(&self) -> Option<&InventedStage> {
        match &self.origin {
            Origin::Program(_) => None,
            Origin::Invented(stage) => Some(stage),
        }
    }

    const fn program(&self) -> Option<&Program> {
        match &self.origin {
            Origin::Program(program) => Some(program),
            Origin::Invented(_) => None,
        }
    }

    fn words(&self) -> Option<String> {
        self.program()?.words.told()
    }

    /// The newest frame that was looked at since this was asked last.
    pub(crate) fn newest(&self) -> Option<LiveFrame> {
        self.seen.take()
    }

    /// What is subtracted from the frames that follow.
    pub(crate) fn subtract(&self, background: Option<Background>) {
        self.lamp_off.set(background);
    }

    /// Its process, for who looks whether it is gone.
    pub(crate) fn process(&self) -> Option<u32> {
        self.program().map(Program::id)
    }

    /// That it has written no frame for a while; `since` the newest came.
    pub(crate) fn silence(&self, since: Option<Instant>) -> Option<String> {
        let silent = since.unwrap_or(self.began).elapsed();
        let name = &self.name;
        let said = match since {
            _ if silent <= if since.is_some() { STALE } else { SILENT } => return None,
            None => format!("{name} has written no frame for {} s.", silent.as_secs()),
            Some(_) => {
                format!("No new frame for {:.1} s: what is shown is old.", silent.as_secs_f32())
            }
        };
        let words = self.words().map_or_else(String::new, |words| format!(" {name} says: {words}"));
        Some(format!("{said} Alt+F ends the camera.{words}"))
    }

    /// That it begins, before its first frame.
    pub(crate) fn begins(&self) -> String {
        format!("{} is started: waiting for its first frame.", self.name)
    }

    /// Ends it.
    pub(crate) fn ended_because(mut self, why: Why) -> Over {
        self.end();
        Over { why, words: self.words() }
    }

    /// Why it is over, once it is, and all it had to say was heard.
    pub(crate) fn over(&mut self) -> Option<Over> {
        let name = self.name.clone();
        match self.watching.hear() {
            Some(Ok(Ok(()))) => self.watched = true,
            Some(Ok(Err(why))) => return Some(self.over_because(Why::NoLook { name, why })),
            Some(Err(broken)) => return Some(self.over_because(Why::Broken(broken))),
            None => {}
        }
        let _ = self.listening.hear();
        let why = match self.taking.hear() {
            Some(Ok(Ok(Some(status)))) if status.success() => Some(Why::Ended { name }),
            Some(Ok(Ok(Some(status)))) => Some(Why::Failed { name, status }),
            Some(Ok(Ok(None))) => Some(Why::Closed { name }),
            Some(Ok(Err(why))) => Some(Why::NoFrames { name, why }),
            Some(Err(broken)) => return Some(self.over_because(Why::Broken(broken))),
            None => None,
        };
        if let Some(why) = why {
            self.end_program();
            self.taken = Some((why, Instant::now()));
        }
        // Its last frames and its last words are on their way.
        let waits = !self.watched || self.listening.is_going_on();
        if self.taken.as_ref().is_some_and(|(_, since)| !waits || since.elapsed() > GRACE) {
            return self.taken.take().map(|(why, _)| self.over_because(why));
        }
        None
    }

    fn over_because(&mut self, why: Why) -> Over {
        self.end();
        // What it said before it was ended is read by then, or never.
        let _ = self.listening.wait(GRACE);
        Over { why, words: self.words() }
    }

    fn end_program(&self) {
        if let Some(program) = self.program() {
            program.end();
        }
    }

    fn end(&mut self) {
        self.end_program();
        let _ = self.frames.take();
        self.frames.close();
    }
}

impl Drop for RunningCamera {
    fn drop(&mut self) {
        self.end();
    }
}

/// Takes frame after frame; only the newest waits to be looked at.
fn take(from: ChildStdout, frames: &Latest<VideoFrame>) -> Result<(), NoFrames> {
    let mut from = BufReader::with_capacity(TAKEN, from);
    let Some(header) = StreamHeader::read(&mut from)? else { return Ok(()) };
    let mut number = 0;
    while !frames.is_closed() {
        number += 1;
        match header.frame(number, &mut from)? {
            Some(frame) => frames.put(frame),
            None => break,
        }
    }
    Ok(())
}
