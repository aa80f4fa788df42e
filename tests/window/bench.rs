//! The real application under test: a fixed clock, folders below a temporary one, dialogs that a
//! test answers, and the few gestures every window test makes.

use std::path::{Path, PathBuf};
use std::sync::atomic::{AtomicI64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::{Duration, Instant};

use egui::Key;
use egui_kittest::kittest::{NodeT as _, Queryable as _};
use egui_kittest::{Harness, HarnessBuilder};
use record::Stamp;

use crate::failing_disk::FailingDisk;
use samepoint::testing::{
    App, Ask, Clock, DialogAnswer, Dialogs, Folders, NamedThreads, OpenSsh, Saved, Services,
    Threads, UiCommand, Work,
};

/// A clock that starts at a fixed morning and goes on one second a look.
#[derive(Clone, Debug)]
pub(crate) struct TestClock {
    unix_milliseconds: Arc<AtomicI64>,
}

impl TestClock {
    /// Time passes.
    pub(crate) fn pass_minutes(&self, minutes: i64) {
        self.unix_milliseconds.fetch_add(minutes * 60_000, Ordering::Relaxed);
    }
}

/// 2026-11-25T09:00:00Z: the demo station was checked that morning.
const MORNING_MS: i64 = 1_795_597_200_000;

impl Default for TestClock {
    fn default() -> Self {
        Self { unix_milliseconds: Arc::new(AtomicI64::new(MORNING_MS)) }
    }
}

impl Clock for TestClock {
    fn now(&self) -> Stamp {
        let now = self.unix_milliseconds.fetch_add(1, Ordering::Relaxed);
        Stamp::from_unix_milliseconds(now).unwrap_or_else(Stamp::now)
    }
}

/// Dialogs that answer what the test says, at once.
#[derive(Clone, Debug, Default)]
pub(crate) struct TestDialogs {
    /// The next answer; none is *no service*.
    pub(crate) next: Arc<Mutex<Option<DialogAnswer>>>,
    /// What was asked.
    pub(crate) asked: Arc<Mutex<Vec<Ask>>>,
}

impl Dialogs for TestDialogs {
    fn ask(&self, ask: Ask) -> DialogAnswer {
        self.asked.lock().unwrap_or_else(PoisonError::into_inner).push(ask);
        let answer = self.next.lock().unwrap_or_else(PoisonError::into_inner).take();
        answer.unwrap_or(DialogAnswer::NoService)
    }
}

/// Threads that a test can let die. File dialogs answer before the next frame.
#[derive(Clone, Debug, Default)]
pub(crate) struct TestThreads {
    /// Work whose worker ends without an answer.
    dies: Arc<Mutex<Vec<Work>>>,
    /// What was begun, in order.
    begun: Arc<Mutex<Vec<Work>>>,
    /// Work that begins once it is let go, and what waits.
    holds: Arc<Mutex<Vec<Work>>>,
    waits: Arc<Mutex<Waits>>,
}

/// Work that waits.
#[derive(Default)]
struct Waits(Vec<(Work, Box<dyn FnOnce() + Send>)>);

impl std::fmt::Debug for Waits {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_list().entries(self.0.iter().map(|(work, _)| work)).finish()
    }
}

impl TestThreads {
    /// From now on only the workers of this die.
    pub(crate) fn only_kill(&self, work: &[Work]) {
        *Self::held(&self.dies) = work.to_vec();
    }

    /// How often this was begun.
    #[must_use]
    pub(crate) fn times_begun(&self, work: Work) -> usize {
        Self::held(&self.begun).iter().filter(|&&begun| begun == work).count()
    }

    /// From now on the workers of this wait until they are let go.
    pub(crate) fn hold(&self, work: &[Work]) {
        *Self::held(&self.holds) = work.to_vec();
    }

    /// Lets all of them begin.
    pub(crate) fn let_go(&self) {
        Self::held(&self.holds).clear();
        for (work, what) in std::mem::take(&mut Self::held(&self.waits).0) {
            NamedThreads.run(work, what).unwrap();
        }
    }

    fn held<T>(works: &Mutex<T>) -> MutexGuard<'_, T> {
        works.lock().unwrap_or_else(PoisonError::into_inner)
    }
}

impl Threads for TestThreads {
    fn run(&self, work: Work, what: Box<dyn FnOnce() + Send>) -> std::io::Result<()> {
        Self::held(&self.begun).push(work);
        if Self::held(&self.dies).contains(&work) {
            return Ok(());
        }
        if Self::held(&self.holds).contains(&work) {
            Self::held(&self.waits).0.push((work, what));
            return Ok(());
        }
        if work == Work::FileDialog {
            what();
            return Ok(());
        }
        NamedThreads.run(work, what)
    }
}

/// Where the program keeps what it remembers about its user.
fn preferences_of(home: &Path) -> PathBuf {
    home.join("config/preferences.ron")
}

/// Of a user who is not asked who is at the bench: most tests are about something else.
const NOT_ASKED: &str = "(ask_after_minutes: 0, welcomed: true)";

/// Of one who is asked that, and has answered the question of the first start.
const ASKED: &str = "(welcomed: true)";

/// The window, its temporary folder and its dialogs.
pub(crate) struct Bench {
    /// The window under test.
    pub(crate) window: Harness<'static, App>,
    /// What dialogs answer.
    pub(crate) dialogs: TestDialogs,
    /// The threads of its workers.
    pub(crate) threads: TestThreads,
    /// The disk its files lie on.
    pub(crate) disk: FailingDisk,
    /// Its clock.
    pub(crate) clock: TestClock,
}

/// What a window is opened with besides its folders and its size.
pub(crate) struct World {
    /// The disk its files lie on.
    pub(crate) disk: FailingDisk,
    /// What seals are made with.
    pub(crate) openssh: OpenSsh,
    /// Whether it is asked who is at the bench.
    pub(crate) asks: bool,
}

impl Default for World {
    fn default() -> Self {
        Self { disk: FailingDisk::default(), openssh: OpenSsh::of_user(), asks: false }
    }
}

impl World {
    /// With a disk of the test's.
    #[must_use]
    pub(crate) fn on(disk: FailingDisk) -> Self {
        Self { disk, ..Self::default() }
    }
}

impl Bench {
    /// Opens the bench with the program's folders below `home`, on a path or as it starts.
    #[must_use]
    pub(crate) fn open(home: &Path, path: Option<PathBuf>) -> Self {
        Self::open_sized(home, path, egui::vec2(1280.0, 800.0), 1.0)
    }

    /// The same where it is asked who is at the bench, as the program asks unless the user wants none of
    /// it.
    #[must_use]
    pub(crate) fn open_asking(home: &Path, path: Option<PathBuf>, size: egui::Vec2) -> Self {
        let preferences = preferences_of(home);
        let is_new = preferences.symlink_metadata().is_err();
        if is_new || std::fs::read_to_string(&preferences).is_ok_and(|text| text == NOT_ASKED) {
            std::fs::create_dir_all(preferences.parent().unwrap()).unwrap();
            std::fs::write(&preferences, ASKED).unwrap();
        }
        let world = World { asks: true, ..World::default() };
        Self::built(Harness::builder(), home, path, size, 1.0, world)
    }

    /// The same where it never ran before.
    #[must_use]
    pub(crate) fn open_first(home: &Path, size: egui::Vec2) -> Self {
        let world = World { asks: true, ..World::default() };
        Self::built(Harness::builder(), home, None, size, 1.0, world)
    }

    /// Runs until some words are on screen.
    pub(crate) fn wait_for(&mut self, words: &str) {
        let begun = Instant::now();
        while !self.says(words) {
            assert!(begun.elapsed() < Duration::from_secs(20), "{words} is never said");
            std::thread::sleep(Duration::from_millis(2));
            self.window.run();
        }
    }

    /// The same where texts from outside may hold characters that no face has: drawn as boxes, as the
    /// program draws them. Everywhere else a missing letter fails the test.
    #[must_use]
    pub(crate) fn open_on_any_letters(home: &Path, path: PathBuf) -> Self {
        let builder = Harness::builder().allow_missing_glyphs();
        let size = egui::vec2(1280.0, 800.0);
        Self::built(builder, home, Some(path), size, 1.0, World::default())
    }

    /// The same at a size in points and a number of pixels a point.
    #[must_use]
    pub(crate) fn open_sized(
        home: &Path,
        path: Option<PathBuf>,
        size: egui::Vec2,
        pixels_per_point: f32,
    ) -> Self {
        Self::open_with(home, path, size, pixels_per_point, FailingDisk::default())
    }

    /// The same on a disk that a test can make fail.
    #[must_use]
    pub(crate) fn open_with(
        home: &Path,
        path: Option<PathBuf>,
        size: egui::Vec2,
        pixels_per_point: f32,
        disk: FailingDisk,
    ) -> Self {
        Self::built(Harness::builder(), home, path, size, pixels_per_point, World::on(disk))
    }

    /// The same with another program to seal with.
    #[must_use]
    pub(crate) fn open_sealing(home: &Path, size: egui::Vec2, openssh: OpenSsh) -> Self {
        let world = World { openssh, ..World::default() };
        Self::built(Harness::builder(), home, None, size, 1.0, world)
    }

    fn built(
        builder: HarnessBuilder<App>,
        home: &Path,
        path: Option<PathBuf>,
        size: egui::Vec2,
        pixels_per_point: f32,
        World { disk, openssh, asks }: World,
    ) -> Self {
        let preferences = preferences_of(home);
        if !asks && preferences.symlink_metadata().is_err() {
            std::fs::create_dir_all(preferences.parent().unwrap()).unwrap();
            std::fs::write(&preferences, NOT_ASKED).unwrap();
        }
        let (dialogs, threads) = (TestDialogs::default(), TestThreads::default());
        let clock = TestClock::default();
        let services = Services {
            clock: Box::new(clock.clone()),
            dialogs: Arc::new(dialogs.clone()),
            threads: Arc::new(threads.clone()),
            folders: Folders::below(home),
            disk: Arc::new(disk.clone()),
            openssh,
        };
        let mut window = builder
            .with_size(size)
            .with_pixels_per_point(pixels_per_point)
            .with_max_steps(16)
            .with_context_setup(samepoint::testing::theme::install)
            .build_eframe(move |cc| App::new(&cc.egui_ctx, services, path));
        window.run();
        // What a supervisor sent back is looked for on a thread of its own, and told in a notice; the sessions are read
        // where they were read before.
        let begun = Instant::now();
        let shop = |window: &Harness<'static, App>| {
            let shop = &window.state().places().shop;
            shop.returns.is_going_on() || shop.reading.is_going_on()
        };
        while shop(&window) {
            assert!(begun.elapsed() < Duration::from_secs(30), "returns are never told");
            std::thread::sleep(Duration::from_millis(2));
            window.run();
        }
        Self { window, dialogs, threads, disk, clock }
    }

    /// Lets the window come to rest. What is drawn again after some time is drawn without a pause where that time is below
    /// a frame of the harness (a quarter of a second), so that the steps this takes are a matter of the machine's speed: the time is
    /// limited, not the steps.
    #[track_caller]
    pub(crate) fn rest(&mut self) {
        let begun = Instant::now();
        while let Err(restless) = self.window.try_run() {
            assert!(begun.elapsed() < Duration::from_secs(5), "{restless}");
        }
    }

    /// The application's state.
    #[must_use]
    pub(crate) fn app(&self) -> &App {
        self.window.state()
    }

    /// Presses one key and lets the window come to rest.
    pub(crate) fn key(&mut self, key: Key) {
        self.window.key_press(key);
        self.rest();
    }

    /// Presses a key with modifiers.
    pub(crate) fn keys(&mut self, modifiers: egui::Modifiers, key: Key) {
        self.window.key_press_modifiers(modifiers, key);
        self.rest();
    }

    /// Types text into whatever has the keyboard.
    pub(crate) fn type_text(&mut self, text: &str) {
        self.window.event(egui::Event::Text(text.to_owned()));
        self.rest();
    }

    /// Types a number and Enter.
    pub(crate) fn enter(&mut self, text: &str) {
        self.type_text(text);
        self.key(Key::Enter);
    }

    /// Runs a command from the list of all, as a hand finds it by a part of its name.
    pub(crate) fn run(&mut self, words: &str) {
        self.keys(egui::Modifiers::COMMAND, Key::K);
        self.enter(words);
    }

    /// The same by all that the list says of it.
    pub(crate) fn give(&mut self, command: UiCommand) {
        self.run(&format!("{} {}", command.text(), command.tip()));
    }

    /// Types into the field of a name, over what stands there.
    pub(crate) fn fill(&mut self, name: &str, text: &str) {
        self.focus(name);
        self.keys(egui::Modifiers::COMMAND, Key::A);
        self.type_text(text);
    }

    /// Presses a button by its name.
    pub(crate) fn press(&mut self, name: &str) {
        self.window.get_by_label(name).click();
        self.rest();
    }

    /// Presses a button by its name, even where it is scrolled out of sight.
    pub(crate) fn press_anywhere(&mut self, name: &str) {
        self.window.get_by_label(name).click_accesskit();
        self.rest();
    }

    /// Presses the first button of a name, wherever it is scrolled to.
    pub(crate) fn press_anywhere_first(&mut self, name: &str) {
        let first = self.window.query_all_by_label(name).next();
        first.expect("there is such a button").click_accesskit();
        self.rest();
    }

    /// Gives the keyboard to a field by its name.
    pub(crate) fn focus(&mut self, name: &str) {
        self.window.get_by_label(name).focus();
        self.rest();
    }

    /// Whether some words are on screen, whichever of their spaces may not break.
    #[must_use]
    pub(crate) fn says(&self, words: &str) -> bool {
        let folded = |text: &str| text.replace('\u{a0}', " ");
        let words = folded(words);
        let says = |text: Option<String>| text.is_some_and(|text| folded(&text).contains(&words));
        let mut nodes = self.window.query_all_by(|_| true);
        nodes.any(|node| {
            let node = node.accesskit_node();
            says(node.label()) || says(node.value())
        })
    }

    /// Waits until every fact is on disk.
    ///
    /// # Errors
    /// What the window says instead, after ten seconds.
    pub(crate) fn wait_saved(&mut self) -> Result<(), String> {
        let begun = Instant::now();
        loop {
            self.rest();
            match self.app().session().map(samepoint::testing::OpenSession::saved) {
                None | Some(Saved::Yes(_)) => return Ok(()),
                Some(other) if begun.elapsed() > Duration::from_secs(10) => {
                    return Err(format!("{other:?}"));
                }
                Some(_) => std::thread::sleep(Duration::from_millis(2)),
            }
        }
    }

    /// Waits until the shop's sessions are read.
    pub(crate) fn wait_read(&mut self) {
        let begun = Instant::now();
        while self.app().places().shop.reading.is_going_on() {
            assert!(begun.elapsed() < Duration::from_secs(60), "the sessions are never read");
            std::thread::sleep(Duration::from_millis(5));
            self.rest();
        }
    }

    /// Waits until no report or label is on its way to its file.
    pub(crate) fn wait_written(&mut self) {
        let begun = Instant::now();
        while self.app().puts_on_paper() {
            assert!(begun.elapsed() < Duration::from_secs(60), "it is never written");
            std::thread::sleep(Duration::from_millis(2));
            self.rest();
        }
    }

    /// Waits until nothing is being noted in a ledger: a shop that was opened has what was missed noted, on a
    /// thread of its own.
    pub(crate) fn wait_noted(&mut self) {
        let begun = Instant::now();
        while self.app().is_noting() {
            assert!(begun.elapsed() < Duration::from_secs(30), "it is never noted");
            std::thread::sleep(Duration::from_millis(2));
            self.rest();
        }
    }
}
