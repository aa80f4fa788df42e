//! The hand: one unit after the other through one window that stays open, by keys alone.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use egui::{Key, Modifiers};
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use record::file::{End, scan};
use record::{SignatureState, review};
use samepoint::testing::Check;
use solver::{Channel, Direction, PerChannel};

use crate::bench::Bench;

/// Readings a unit, both channels.
const READINGS: usize = 16;
/// Readings that a time is the median of, in the long session.
pub(crate) const AT_ONCE: usize = 50;
/// Frames that a time is the median of.
const FRAMES: usize = 200;

/// The most that may be added between the first units and the last: a week without a restart then
/// stays below a tenth of the memory of a small machine (2 GB).
const MORE_MEGABYTES: f64 = 20.0;
/// A frame may take so many times what it took: more than a busy machine moves the median of
/// [`FRAMES`], less than a hand would notice of a frame of a few milliseconds.
const SLOWER: f64 = 2.0;
/// What logging one more of a thousand readings may take of this thread's own processor time, whatever else
/// the machine does meanwhile: a tenth of a second is where a hand begins
/// to wait (common practice, no source), and this may be an unoptimised build.
const LONGEST_LOG: Duration = Duration::from_millis(100);

/// What it costs now.
pub(crate) struct Measure {
    pub(crate) frame: Duration,
    pub(crate) resident_megabytes: f64,
}

/// What logging cost in a long session.
pub(crate) struct Long {
    pub(crate) first: Duration,
    pub(crate) last: Duration,
}

/// A day's work.
pub(crate) struct Day {
    bench: Bench,
    /// Each session, and how many of its facts were shown as saved when it was left.
    sessions: Vec<(PathBuf, usize)>,
}

impl Day {
    pub(crate) fn begin(home: &Path) -> Self {
        let mut bench = Bench::open(home, None);
        // Who works here is asked once.
        bench.keys(Modifiers::COMMAND, Key::N);
        bench.type_text("warm-up");
        bench.key(Key::Tab);
        bench.enter("KT");
        Self { bench, sessions: Vec::new() }
    }

    /// One unit: set up, as found, logged, met, confirmed, looked through, signed.
    pub(crate) fn unit(&mut self, number: usize) {
        self.set_up(&format!("S{number:03}"));
        let circles = circles(number);
        for (k, channel) in Channel::BOTH.into_iter().enumerate() {
            self.read(at(circles[channel], 200.0 + 40.0 * k as f64), 0.0);
        }
        for (channel, letter) in [(Channel::Left, "l"), (Channel::Right, "r")] {
            self.bench.type_text(letter);
            for place in 0..READINGS / 2 {
                let slip = if place % 2 == 0 { 0.1 } else { -0.1 };
                self.read(at(circles[channel], 60.0 * place as f64), slip);
            }
        }
        self.bench.keys(Modifiers::COMMAND, Key::Num4);
        let points = self.session().picture().setting.expect("the circles cross").points;
        self.bench.keys(Modifiers::COMMAND, Key::Enter);
        self.confirm(&points);
        self.bench.key(Key::F12);
        self.bench.key(Key::Enter);
        self.put_away();
        let (path, facts) = self.sessions.last().expect("it was put away");
        let account = review(path, &record::RealDisk).expect("it can be read");
        assert_eq!(account.facts, *facts);
        assert!(matches!(account.session.signature(), SignatureState::Signed(_)));
    }

    /// A session of so many readings, and what logging one took at its start and end.
    pub(crate) fn long_session(&mut self, readings: usize) -> Long {
        self.set_up("long");
        let circles = circles(0);
        for channel in Channel::BOTH {
            self.read(at(circles[channel], 200.0), 0.0);
        }
        let mut times = Vec::with_capacity(readings);
        for k in 0..readings {
            if k % AT_ONCE == 0 {
                self.bench.type_text(if (k / AT_ONCE).is_multiple_of(2) { "l" } else { "r" });
            }
            let channel = self.bench.app().entry().channel;
            let ring = &self.bench.app().entry().ring[channel];
            let ring_deg: f64 = ring.parse().expect("the row steps on by itself");
            times.push(self.read(at(circles[channel], ring_deg), 0.1 * (k % 3) as f64));
        }
        self.put_away();
        let median = |times: &[Duration]| middle(times.to_vec());
        let most = times.len().min(AT_ONCE);
        Long { first: median(&times[..most]), last: median(&times[times.len() - most..]) }
    }

    /// What a frame and the whole program cost now.
    pub(crate) fn measure(&mut self) -> Measure {
        let frame = (0..FRAMES).map(|_| {
            let began = Work::begun();
            self.bench.window.step();
            let shapes = self.bench.window.output().shapes.clone();
            std::hint::black_box(self.bench.window.ctx.tessellate(shapes, 1.0));
            began.done()
        });
        Measure { frame: middle(frame.collect()), resident_megabytes: resident_megabytes() }
    }

    /// Facts that the window showed as saved.
    pub(crate) fn saved(&self) -> usize {
        self.sessions.iter().map(|(_, facts)| facts).sum()
    }

    /// Facts that the files hold, each file's chain intact.
    pub(crate) fn on_disk(&self) -> usize {
        let facts = |path: &Path| {
            let scanned = scan(path, std::fs::File::open(path).unwrap()).unwrap();
            assert_eq!(scanned.end, End::Clean, "{path:?}");
            scanned.facts.len()
        };
        self.sessions.iter().map(|(path, _)| facts(path)).sum()
    }

    /// The bounds that do not hold, in words. Memory is the whole program's: it counts only where nothing else
    /// runs in it.
    pub(crate) fn broken(
        &self,
        start: &Measure,
        end: &Measure,
        long: &Long,
        alone: bool,
    ) -> Vec<String> {
        let more = end.resident_megabytes - start.resident_megabytes;
        let slower = end.frame.as_secs_f64() / start.frame.as_secs_f64();
        let bounds = [
            (self.saved() == self.on_disk(), "a fact was lost".to_owned()),
            (
                !alone || more <= MORE_MEGABYTES,
                format!("{more:.1} MB more, {MORE_MEGABYTES} allowed"),
            ),
            (slower <= SLOWER, format!("a frame takes {slower:.2} times as long")),
            (
                long.last <= LONGEST_LOG,
                format!("logging one takes {:?}, at first {:?}", long.last, long.first),
            ),
        ];
        bounds.into_iter().filter(|(holds, _)| !holds).map(|(_, words)| words).collect()
    }

    fn session(&self) -> &samepoint::testing::OpenSession {
        self.bench.app().session().expect("a session is open")
    }

    fn set_up(&mut self, unit: &str) {
        self.bench.keys(Modifiers::COMMAND, Key::N);
        self.bench.enter(unit);
        assert_eq!(self.session().title(), unit);
    }

    /// Types one reading; how long this thread worked on the frame that logged it.
    fn read(&mut self, point: Direction, slip: f64) -> Duration {
        self.bench.enter(&format!("{:.1}", point.x_arcmin + slip));
        self.bench.type_text(&format!("{:.1}", point.y_arcmin));
        self.bench.window.key_press(Key::Enter);
        let began = Work::begun();
        self.bench.window.step();
        let took = began.done();
        self.bench.window.run();
        took
    }

    /// Does what the checklist asks for, until it asks for the looking test and that is noted.
    fn confirm(&mut self, points: &PerChannel<Direction>) {
        self.bench.keys(Modifiers::COMMAND, Key::Num6);
        for _ in 0..20 {
            match self.bench.app().confirming().check {
                Check::Dioptres => self.bench.keys(Modifiers::COMMAND, Key::B),
                Check::Looked => {
                    self.bench.key(Key::F11);
                    self.bench.type_text("200");
                    for name in ["Fused", "Note it"] {
                        self.tab_to(name);
                        self.bench.key(Key::Space);
                    }
                    return;
                }
                check => {
                    self.say_what_was_done(check);
                    for channel in Channel::BOTH {
                        self.read(points[channel], 0.1);
                    }
                }
            }
        }
        panic!("the checklist never comes to the looking test");
    }

    /// What a hand does for a line of the list, it says: nothing is recorded by itself.
    fn say_what_was_done(&mut self, check: Check) {
        use record::fact::{Lock, SwingStop};
        let confirming = self.bench.app().confirming();
        let (lock, stop) = (confirming.lock, confirming.stop);
        match check {
            Check::Tight if lock != Some(Lock::After) => {
                self.bench.keys(Modifiers::COMMAND, Key::T);
            }
            Check::Reseated => self.bench.keys(Modifiers::ALT, Key::R),
            Check::Narrow if stop != SwingStop::Narrow => {
                self.bench.keys(Modifiers::ALT, Key::S);
            }
            Check::Wide if stop != SwingStop::Wide => self.bench.keys(Modifiers::ALT, Key::S),
            _ => {}
        }
    }

    fn tab_to(&mut self, name: &str) {
        for _ in 0..80 {
            let window = &self.bench.window;
            let is_there =
                window.query_all_by_label(name).any(|node| node.accesskit_node().is_focused());
            if is_there {
                return;
            }
            self.bench.key(Key::Tab);
        }
        panic!("Tab never comes to {name}");
    }

    /// Waits until all is shown as saved, and notes how much that is.
    fn put_away(&mut self) {
        self.bench.wait_saved().expect("the disk takes it");
        let file = self.session().file();
        let kept = (file.path().to_owned(), file.facts().len());
        self.sessions.push(kept);
    }
}

/// Centre and radius, arcminutes, and direction at ring zero, degrees.
type Circle = ([f64; 2], f64, f64);

/// The circles of an invented unit: they always cross, some way inside the demo's window.
fn circles(unit: usize) -> PerChannel<Circle> {
    let vary = |step: usize, span: f64| (unit * step % 17) as f64 / 17.0 * span;
    PerChannel {
        left: (
            [10.0 - vary(3, 8.0), 4.0 - vary(5, 6.0)],
            30.0 + vary(7, 3.0),
            20.0 + vary(2, 300.0),
        ),
        right: ([-6.0 + vary(4, 5.0), -3.0 + vary(6, 4.0)], 26.0 + vary(9, 3.0), 140.0),
    }
}

fn at(([x, y], radius, zero_deg): Circle, ring_deg: f64) -> Direction {
    let (sin, cos) = (zero_deg - ring_deg).to_radians().sin_cos();
    Direction::new(x + radius * cos, y + radius * sin)
}

/// Work of this thread: time on a processor (proc(5), schedstat, nanoseconds), so that other programs do not
/// count; by the clock where there is no such file.
struct Work {
    on_processor: Option<Duration>,
    clock: Instant,
}

impl Work {
    fn begun() -> Self {
        Self { on_processor: on_processor(), clock: Instant::now() }
    }

    fn done(&self) -> Duration {
        match (self.on_processor, on_processor()) {
            (Some(began), Some(now)) => now.saturating_sub(began),
            _ => self.clock.elapsed(),
        }
    }
}

fn on_processor() -> Option<Duration> {
    let text = std::fs::read_to_string("/proc/thread-self/schedstat").ok()?;
    text.split_whitespace().next()?.parse().ok().map(Duration::from_nanos)
}

fn middle(mut times: Vec<Duration>) -> Duration {
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}

/// Resident memory now (proc(5), status, VmRSS in kB); 0 where there is no such file.
fn resident_megabytes() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap_or_default();
    line.split_whitespace().next().and_then(|kb| kb.parse::<f64>().ok()).unwrap_or(0.0) / 1024.0
}
