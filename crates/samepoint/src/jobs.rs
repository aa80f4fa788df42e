//! Work on named threads: what may take longer than a frame. Every worker is started, heard, superseded
//! and tried again in the same way, and one that ends without an answer is told of in the same words.

use std::sync::Arc;
use std::sync::atomic::{AtomicBool, Ordering};
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, TryRecvError, channel};
use std::time::Duration;
use std::{fmt, io};

/// Calls back into the window when something has come in.
pub(crate) type WakeWindow = Arc<dyn Fn() + Send + Sync>;

/// What a worker is busy with.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Work {
    /// Asking for a path.
    FileDialog,
    /// Reading all sessions of a shop.
    Survey,
    /// Making an audit pack.
    AuditPack,
    /// Reading the sessions of one unit.
    UnitHistory,
    /// Reading what several benches measured of one unit.
    RoundRobin,
    /// Looking whether a folder is another shop's.
    OtherShop,
    /// Looking for what a supervisor sent back.
    Returns,
    /// Reading earlier attempts at practice.
    Practice,
    /// Ranking remedies.
    Remedies,
    /// Matching what lies on the shelf.
    Shelf,
    /// Looking at what locks did in a shop's other sessions.
    AimOff,
    /// Noting in a shop's ledger.
    Ledger,
    /// Having a seal made by a key.
    Seal,
    /// Having what was logged spoken.
    ReadBack,
    /// Reading the pictures of a session's readings again.
    PicturesAgain,
    /// Reading a picture of the station.
    Picture,
    /// Putting a report into its file.
    Report,
    /// Reading what a label will say, or putting one into its file.
    Label,
    /// Opening the picture of a graticule.
    Graticule,
    /// Opening the picture for the shop's papers.
    HeadPicture,
    /// Taking the frames of a camera.
    Frames,
    /// Looking for crosshairs in them.
    FramesRead,
    /// Listening to what the camera's program says of itself.
    FramesTold,
}

impl Work {
    /// Its thread's name, and how a sentence about it begins.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::FileDialog => "The file dialog",
            Self::Survey => "Reading the sessions",
            Self::AuditPack => "Making the audit pack",
            Self::UnitHistory => "Reading the unit’s sessions",
            Self::RoundRobin => "Reading what each bench measured",
            Self::OtherShop => "Looking at the other shop",
            Self::Returns => "Looking for what was sent back",
            Self::Practice => "Reading earlier attempts",
            Self::Remedies => "The search for remedies",
            Self::Shelf => "Matching the shelf",
            Self::AimOff => "Looking at what locks did in other sessions",
            Self::Ledger => "Noting in the shop’s ledger",
            Self::Seal => "Asking for a seal",
            Self::ReadBack => "Reading back",
            Self::PicturesAgain => "Reading the pictures again",
            Self::Picture => "Reading the picture",
            Self::Report => "Writing the report",
            Self::Label => "Making the label",
            Self::Graticule => "Opening the graticule’s picture",
            Self::HeadPicture => "Opening the picture for the papers",
            Self::Frames => "Taking the camera’s frames",
            Self::FramesRead => "Reading the camera’s frames",
            Self::FramesTold => "Listening to the camera’s program",
        }
    }

    /// How it is tried again.
    #[must_use]
    pub const fn again(self) -> &'static str {
        match self {
            Self::FileDialog => "Type the path instead, or ask again.",
            Self::Survey => "Press Read the sessions again.",
            Self::AuditPack => "Press Write again.",
            Self::RoundRobin | Self::UnitHistory => "Choose the unit again.",
            Self::OtherShop => "Press Add this shop again.",
            Self::Returns => "It is tried again when the shop is shown.",
            Self::Practice => "Press Read them again.",
            Self::Remedies => "Press Search again.",
            Self::Shelf => "Press Match the shelf again.",
            Self::AimOff => "It is tried again when you turn to confirming.",
            Self::Ledger => {
                "It is tried again with the next signature, and when the shop is opened."
            }
            Self::ReadBack => "It is tried again with the next reading.",
            Self::PicturesAgain => "It is tried again when the session is looked over.",
            Self::Picture => "Drop the picture again, or open it.",
            Self::Report | Self::Label => "Press Write again.",
            Self::Graticule => "Press Open the picture again.",
            Self::HeadPicture => "Press Look at it again.",
            Self::Frames | Self::FramesRead | Self::FramesTold => "Start the camera again (Alt+F).",
            Self::Seal => "Seal it later with Seal… (Shift+F12), or with `samepoint seal`.",
        }
    }
}

/// A worker ended without an answer, or never began.
#[derive(Debug)]
pub struct Broken {
    /// What it was busy with.
    pub work: Work,
    /// Why it never began; `None`: it broke off.
    pub never_began: Option<io::Error>,
}

impl Broken {
    /// What became of it, where how to try again is said beside it.
    #[must_use]
    pub fn why(&self) -> String {
        let name = self.work.name();
        match &self.never_began {
            None => format!("{name} stopped unexpectedly"),
            Some(why) => format!("{name} could not begin: no thread for it: {why}"),
        }
    }
}

impl fmt::Display for Broken {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}. {}", self.why(), self.work.again())
    }
}

/// Asks a worker to stop before it is done: work that can looks at it time and again, and answers then.
#[derive(Clone, Debug, Default)]
pub(crate) struct Stop(Arc<AtomicBool>);

impl Stop {
    /// Asks.
    pub(crate) fn ask(&self) {
        self.0.store(true, Ordering::Relaxed);
    }

    /// Whether it was asked.
    #[must_use]
    pub(crate) fn is_asked(&self) -> bool {
        self.0.load(Ordering::Relaxed)
    }
}

/// Where threads come from.
pub trait Threads: Send + Sync {
    /// Runs this on a thread of its own.
    ///
    /// # Errors
    /// When no thread can be had.
    fn run(&self, work: Work, what: Box<dyn FnOnce() + Send>) -> io::Result<()>;
}

/// The system's, named after the work.
#[derive(Clone, Copy, Debug, Default)]
pub struct NamedThreads;

impl Threads for NamedThreads {
    fn run(&self, work: Work, what: Box<dyn FnOnce() + Send>) -> io::Result<()> {
        std::thread::Builder::new().name(work.name().to_owned()).spawn(what).map(|_| ())
    }
}

/// Those who do the work: threads, and how they call the window back.
#[derive(Clone)]
pub struct Workers {
    /// Where threads come from.
    pub threads: Arc<dyn Threads>,
    /// Called once for each job, at its end, whichever way it ends.
    pub wake: WakeWindow,
}

/// Work of one kind: idle, or going on elsewhere. Its answer, or that there is none, is heard once.
/// Letting go of it lets the worker end unheard.
#[derive(Debug)]
pub struct Job<T> {
    work: Work,
    going_on: GoingOn<T>,
}

#[derive(Debug)]
enum GoingOn<T> {
    Nothing,
    Worker(Receiver<T>),
    NeverBegan(io::Error),
}

impl<T: Send + 'static> Job<T> {
    /// Nothing goes on yet.
    #[must_use]
    pub const fn idle(work: Work) -> Self {
        Self { work, going_on: GoingOn::Nothing }
    }

    /// Starts this; what went on before is superseded: its answer is never heard.
    pub fn start(&mut self, workers: &Workers, what: impl FnOnce() -> T + Send + 'static) {
        let (sender, receiver) = channel();
        let line = WorkerLine { sender, _end: WakeAtEnd(workers.wake.clone()) };
        let run = Box::new(move || line.answer(what));
        self.going_on = match workers.threads.run(self.work, run) {
            Ok(()) => GoingOn::Worker(receiver),
            Err(why) => GoingOn::NeverBegan(why),
        };
    }

    /// Whether something goes on, or waits to be heard.
    #[must_use]
    pub const fn is_going_on(&self) -> bool {
        !matches!(self.going_on, GoingOn::Nothing)
    }

    /// The answer, or that the worker ended without one: once. `None` while it goes on, and when
    /// nothing does.
    pub fn hear(&mut self) -> Option<Result<T, Broken>> {
        let heard = match &self.going_on {
            GoingOn::Worker(receiver) => match receiver.try_recv() {
                Err(TryRecvError::Empty) => return None,
                heard => heard.ok(),
            },
            _ => None,
        };
        self.end(heard)
    }

    /// The same, waiting for it at most this long.
    pub fn wait(&mut self, longest: Duration) -> Option<Result<T, Broken>> {
        let heard = match &self.going_on {
            GoingOn::Worker(receiver) => match receiver.recv_timeout(longest) {
                Err(RecvTimeoutError::Timeout) => return None,
                heard => heard.ok(),
            },
            _ => None,
        };
        self.end(heard)
    }

    fn end(&mut self, heard: Option<T>) -> Option<Result<T, Broken>> {
        let never_began = match std::mem::replace(&mut self.going_on, GoingOn::Nothing) {
            GoingOn::Nothing => return None,
            GoingOn::Worker(_) => None,
            GoingOn::NeverBegan(why) => Some(why),
        };
        Some(heard.ok_or_else(|| {
            let broken = Broken { work: self.work, never_began };
            log::warn!("{broken}");
            broken
        }))
    }
}

/// A worker's line to the window. Fields are dropped in this order: the window is woken when there is
/// something to hear, also where the worker panicked or was never run.
struct WorkerLine<T> {
    sender: Sender<T>,
    _end: WakeAtEnd,
}

impl<T> WorkerLine<T> {
    fn answer(self, what: impl FnOnce() -> T) {
        // The window may be gone, or have asked for something else since; then nobody waits.
        let _ = self.sender.send(what());
    }
}

struct WakeAtEnd(WakeWindow);

impl Drop for WakeAtEnd {
    fn drop(&mut self) {
        (self.0)();
    }
}

/// The answer of a library that may panic, which is asked in a thread of a name and waited for; `None` where it gave
/// none.
pub(crate) fn answer_of<T: Send>(name: &str, ask: impl FnOnce() -> T + Send) -> Option<T> {
    std::thread::scope(|scope| {
        let asking = std::thread::Builder::new().name(name.to_owned());
        asking.spawn_scoped(scope, ask).ok()?.join().ok()
    })
}

#[cfg(test)]
#[allow(clippy::unwrap_used, clippy::panic, reason = "tests fail by panicking")]
mod tests {
    use std::sync::mpsc::sync_channel;

    use super::*;

    /// Workers, and what hears each call back.
    fn workers(threads: impl Threads + 'static) -> (Workers, Receiver<()>) {
        let (woken, hear) = channel();
        let wake: WakeWindow = Arc::new(move || woken.send(()).unwrap());
        (Workers { threads: Arc::new(threads), wake }, hear)
    }

    struct NoThreads;

    impl Threads for NoThreads {
        fn run(&self, _: Work, _: Box<dyn FnOnce() + Send>) -> io::Result<()> {
            Err(io::Error::other("there are too many"))
        }
    }

    #[test]
    fn an_answer_is_heard_once() {
        let (workers, woken) = workers(NamedThreads);
        let mut job = Job::idle(Work::Survey);
        assert!(job.hear().is_none() && !job.is_going_on());
        job.start(&workers, || 7);
        assert!(job.is_going_on());
        woken.recv().unwrap();
        assert_eq!(job.hear().unwrap().unwrap(), 7);
        assert!(job.hear().is_none() && !job.is_going_on());
    }

    /// The window sleeps while a worker works: one that panics must wake it, and only when it can
    /// be heard that there is no answer.
    #[test]
    fn a_dead_worker_is_heard_once_and_can_be_replaced() {
        let (workers, woken) = workers(NamedThreads);
        let mut job: Job<u32> = Job::idle(Work::Survey);
        for _ in 0..50 {
            job.start(&workers, || panic!("as the test wants it"));
            woken.recv().unwrap();
            let told = job.hear().unwrap().unwrap_err().to_string();
            assert_eq!(
                told,
                "Reading the sessions stopped unexpectedly. Press Read the sessions again."
            );
            assert!(job.hear().is_none() && !job.is_going_on());
        }
        job.start(&workers, || 7);
        assert_eq!(job.wait(Duration::from_secs(30)).unwrap().unwrap(), 7);
    }

    #[test]
    fn where_no_thread_can_be_had_it_is_heard_the_same_way() {
        let (none, woken) = workers(NoThreads);
        let mut job = Job::idle(Work::AimOff);
        job.start(&none, || 7);
        woken.recv().unwrap();
        assert!(job.is_going_on());
        let told = job.hear().unwrap().unwrap_err().to_string();
        assert!(told.contains("could not begin") && told.contains("there are too many"), "{told}");
        let (workers, _woken) = workers(NamedThreads);
        job.start(&workers, || 7);
        assert_eq!(job.wait(Duration::from_secs(30)).unwrap().unwrap(), 7);
    }

    #[test]
    fn a_newer_request_supersedes_an_older_one() {
        let (workers, woken) = workers(NamedThreads);
        let (let_go, held) = sync_channel::<()>(0);
        let mut job = Job::idle(Work::Remedies);
        job.start(&workers, move || {
            held.recv().unwrap();
            "older"
        });
        job.start(&workers, || "newer");
        woken.recv().unwrap();
        let_go.send(()).unwrap();
        woken.recv().unwrap();
        assert_eq!(job.hear().unwrap().unwrap(), "newer");
        assert!(job.hear().is_none());
    }

    #[test]
    fn waiting_for_it_has_an_end() {
        let (workers, _woken) = workers(NamedThreads);
        let (let_go, held) = sync_channel::<()>(0);
        let mut job = Job::idle(Work::Ledger);
        job.start(&workers, move || held.recv().unwrap());
        assert!(job.wait(Duration::from_millis(1)).is_none() && job.is_going_on());
        let_go.send(()).unwrap();
        assert!(job.wait(Duration::from_secs(30)).unwrap().is_ok());
    }
}
