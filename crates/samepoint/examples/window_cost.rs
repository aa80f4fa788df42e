//! What the window costs, beside an empty one in the same run: time of a frame at 24 to 50,000
//! readings, and of the frame that logs one more (processor side, no display needed), and under a
//! display start to first frame, memory and what an idle window does.
//!
//! ```console
//! xvfb-run -a cargo run --release -p samepoint --example window_cost
//! cargo run --release -p samepoint --example window_cost frames     # without a display
//! ```
//!
//! Only the ratios are claims: other work on the machine moves all times together. Memory and
//! processor time are read from `/proc`, so only where there is one.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a program that prints what it measured and may fail loudly"
)]

use std::path::{Path, PathBuf};
use std::process::Command;
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, OnceLock};
use std::time::{Duration, Instant};

use egui_kittest::Harness;
use record::{Stamp, Unit};
use samepoint::testing::{App, Clock, FirstFrame, Folders, Services};

#[path = "../../../tests/shared/many_readings.rs"]
mod many_readings;

/// Frames timed in a row; the median is taken.
const FRAMES: usize = 200;
/// How long a window is left alone before it is looked at, and then looked at.
const SETTLE: Duration = Duration::from_secs(3);
const IDLE: Duration = Duration::from_secs(10);
/// So many pairs of windows are started, ours and an empty one by turns.
const STARTS: usize = 9;

fn main() {
    let home = tempfile::tempdir().unwrap();
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    match arguments.first().map(String::as_str) {
        Some("window") => open_window(arguments.get(1).map(PathBuf::from), true),
        Some("start") => open_window(arguments.get(1).map(PathBuf::from), false),
        Some("frames") => frames(home.path()),
        _ => {
            frames(home.path());
            windows(home.path());
        }
    }
}

/// A unit must have a name.
fn unit() -> Unit {
    Unit { name: "0147".to_owned(), ..Unit::default() }
}

fn services(home: &Path) -> Services {
    // Who is at the bench is not what is measured.
    let preferences = home.join("config/preferences.ron");
    if !preferences.exists() {
        std::fs::create_dir_all(preferences.parent().unwrap()).unwrap();
        std::fs::write(&preferences, "(ask_after_minutes: 0, welcomed: true)").unwrap();
    }
    Services { folders: Folders::below(home), clock: Box::new(Soon), ..Services::of_user() }
}

/// Soon after the last reading: after a rest the window asks first whether anything was touched.
struct Soon;

impl Clock for Soon {
    fn now(&self) -> Stamp {
        Stamp::from_unix_milliseconds(many_readings::TAKEN_MS + 60_000).unwrap()
    }
}

/// The median time of a frame, layout and tessellation, and of one that logs a reading.
fn frames(home: &Path) {
    let empty = frame_time(&mut harness(|_| Empty));
    println!("frame, processor side, {FRAMES} frames each");
    println!("  empty window                      1");
    let mut first = None;
    for readings in [24, 1_000, 10_000, 50_000] {
        let path = many_readings::session(home, readings, unit());
        let services = services(home);
        let mut window = harness(move |cc| App::new(&cc.egui_ctx, services, Some(path)));
        let time = frame_time(&mut window);
        println!(
            "  {readings:5} readings                  {:5.1}   ({:.2} ms here)",
            time.as_secs_f64() / empty.as_secs_f64(),
            1e3 * time.as_secs_f64()
        );
        let first = *first.get_or_insert(time);
        if readings > 24 {
            let ratio = time.as_secs_f64() / first.as_secs_f64();
            println!("  {readings} readings : 24 readings   {ratio:5.2}");
        }
        let logged = log_time(&mut window);
        println!(
            "  {readings:5} readings, one more logged {:5.1}   ({:.2} ms here)",
            logged.as_secs_f64() / empty.as_secs_f64(),
            1e3 * logged.as_secs_f64()
        );
    }
}

fn harness<A: eframe::App + 'static>(
    make: impl FnOnce(&mut eframe::CreationContext<'_>) -> A,
) -> Harness<'static, A> {
    let mut window = Harness::builder()
        .with_size(egui::vec2(1280.0, 800.0))
        .with_max_steps(32)
        .with_context_setup(samepoint::testing::theme::install)
        .build_eframe(make);
    window.run();
    window
}

fn frame_time<A>(window: &mut Harness<'static, A>) -> Duration {
    median((0..FRAMES).map(|_| one_frame(window)))
}

fn one_frame<A>(window: &mut Harness<'static, A>) -> Duration {
    let begun = Instant::now();
    window.step();
    let shapes = window.output().shapes.clone();
    std::hint::black_box(window.ctx.tessellate(shapes, 1.0));
    begun.elapsed()
}

/// The least time of the frame in which a reading is logged: fold, solve, picture and all. Other work on the
/// machine can only lengthen it.
fn log_time(window: &mut Harness<'static, App>) -> Duration {
    let facts = |window: &Harness<'static, App>| {
        window.state().session().expect("the session is open").file().facts().len()
    };
    let before = facts(window);
    let times = (0..20).map(|_| {
        for text in ["1.0", "2.0"] {
            window.event(egui::Event::Text(text.to_owned()));
            window.run();
            if text == "1.0" {
                window.key_press(egui::Key::Enter);
                window.run();
            }
        }
        window.key_press(egui::Key::Enter);
        let time = one_frame(window);
        window.run();
        time
    });
    let least = times.min().unwrap_or_default();
    assert_eq!(facts(window), before + 20, "what is timed is readings that were logged");
    least
}

fn median(times: impl Iterator<Item = Duration>) -> Duration {
    let mut times: Vec<Duration> = times.collect();
    times.sort_unstable();
    times.get(times.len() / 2).copied().unwrap_or_default()
}

/// Opens both windows one after the other, each in a process of its own.
fn windows(home: &Path) {
    let path = many_readings::session(home, 25, unit());
    let program = std::env::current_exe().unwrap();
    let run = |how: &str, path: Option<&Path>| {
        let mut child = Command::new(&program);
        child.arg(how).args(path).env("XDG_DATA_HOME", home.join("data"));
        child.env("XDG_CONFIG_HOME", home.join("config")).env("XDG_STATE_HOME", home.join("state"));
        let output = child.output().unwrap();
        let text = String::from_utf8_lossy(&output.stdout).into_owned();
        text.split_whitespace().filter_map(|n| n.parse().ok()).collect::<Vec<f64>>()
    };
    let measure = |path| <[f64; 5]>::try_from(run("window", path)).ok();
    let start = |path| <[f64; 2]>::try_from(run("start", path)).ok();
    let starts = (0..STARTS).map(|_| Some([start(None)?, start(Some(&path))?]));
    let starts = starts.collect::<Option<Vec<_>>>();
    let (Some(starts), Some(empty), Some(bench)) = (starts, measure(None), measure(Some(&path)))
    else {
        println!("no window could be opened: run under a display, such as xvfb-run");
        return;
    };
    println!("window of 24 readings : empty window");
    let shown = |what: &str, at: usize| {
        let middle = |mut all: Vec<f64>| {
            all.sort_by(f64::total_cmp);
            [all[0], all[all.len() / 2], all[all.len() - 1]]
        };
        let [least, half, most] =
            middle(starts.iter().map(|[empty, ours]| ours[at] / empty[0]).collect());
        let [_, empty_ms, _] = middle(starts.iter().map(|[empty, _]| empty[0]).collect());
        let [_, ms, _] = middle(starts.iter().map(|[_, ours]| ours[at]).collect());
        println!(
            "  start to {what}  {half:5.2}   (median of {STARTS} pairs, {least:.2} to {most:.2}; \
             {ms:.0} : {empty_ms:.0} ms here)"
        );
    };
    shown("first frame   ", 0);
    shown("session shown ", 1);
    println!("  resident memory         {:5.2}   ({:.0} MB here)", bench[2] / empty[2], bench[2]);
    println!("  idle for {} s: clock ticks {} : {}", IDLE.as_secs(), bench[3], empty[3]);
    println!("  idle for {} s: repaints    {} : {}", IDLE.as_secs(), bench[4], empty[4]);
}

/// An empty window.
struct Empty;

impl eframe::App for Empty {
    fn ui(&mut self, ui: &mut egui::Ui, _frame: &mut eframe::Frame) {
        egui::CentralPanel::default().show(ui, |_| {});
    }
}

/// What is noted of a window's frames.
#[derive(Default)]
struct Noted {
    frames: AtomicU64,
    /// Microseconds from the start to the end of the first frame.
    first_us: AtomicU64,
    /// The same of the first with all of it.
    whole_us: AtomicU64,
}

/// A window whose frames are noted.
struct Counted<A> {
    inner: A,
    /// Whether all of it is shown.
    whole: fn(&A) -> bool,
    begun: Instant,
    noted: Arc<Noted>,
}

impl<A: eframe::App> eframe::App for Counted<A> {
    fn logic(&mut self, ctx: &egui::Context, frame: &mut eframe::Frame) {
        self.inner.logic(ctx, frame);
    }

    fn ui(&mut self, ui: &mut egui::Ui, frame: &mut eframe::Frame) {
        self.inner.ui(ui, frame);
        self.noted.frames.fetch_add(1, Ordering::Relaxed);
        let us = u64::try_from(self.begun.elapsed().as_micros()).unwrap_or(u64::MAX);
        let note =
            |at: &AtomicU64| at.compare_exchange(0, us, Ordering::Relaxed, Ordering::Relaxed);
        let _ = note(&self.noted.first_us);
        if (self.whole)(&self.inner) {
            let _ = note(&self.noted.whole_us);
        }
    }

    fn raw_input_hook(&mut self, ctx: &egui::Context, input: &mut egui::RawInput) {
        self.inner.raw_input_hook(ctx, input);
    }
}

/// Opens one window, leaves it alone, and prints: ms to the first frame and to the first with all of it, MB resident,
/// clock ticks and repaints while idle.
///
/// Not to be left alone, it closes once all of it is shown, and only both times are printed.
fn open_window(path: Option<PathBuf>, left_alone: bool) {
    let begun = Instant::now();
    let noted: Arc<Noted> = Arc::default();
    let seen = noted.clone();
    let shown: Arc<OnceLock<egui::Context>> = Arc::default();
    let window = shown.clone();
    std::thread::spawn(move || {
        let ms = |us: &AtomicU64| us.load(Ordering::Relaxed) as f64 / 1e3;
        let close = || {
            if let Some(window) = window.get() {
                window.send_viewport_cmd(egui::ViewportCommand::Close);
            }
        };
        if !left_alone {
            while seen.whole_us.load(Ordering::Relaxed) == 0 {
                std::thread::sleep(Duration::from_millis(5));
            }
            println!("{} {}", ms(&seen.first_us), ms(&seen.whole_us));
            return close();
        }
        std::thread::sleep(SETTLE);
        let (ticks, drawn) = (clock_ticks(), seen.frames.load(Ordering::Relaxed));
        std::thread::sleep(IDLE);
        let idle_ticks = clock_ticks() - ticks;
        let repaints = seen.frames.load(Ordering::Relaxed) - drawn;
        println!(
            "{} {} {:.1} {idle_ticks} {repaints}",
            ms(&seen.first_us),
            ms(&seen.whole_us),
            resident_megabytes()
        );
        close();
    });
    let options = samepoint::testing::native_options();
    let opened = match path {
        None => eframe::run_native(
            "empty",
            options,
            Box::new(move |cc| {
                shown.get_or_init(|| cc.egui_ctx.clone());
                Ok(Box::new(Counted { inner: Empty, whole: |_| true, begun, noted }))
            }),
        ),
        Some(path) => eframe::run_native(
            "samepoint",
            options,
            Box::new(move |cc| {
                shown.get_or_init(|| cc.egui_ctx.clone());
                let inner = FirstFrame::new(&cc.egui_ctx, Services::of_user(), Some(path));
                let whole = |inner: &FirstFrame| inner.opened().is_some();
                Ok(Box::new(Counted { inner, whole, begun, noted }))
            }),
        ),
    };
    opened.unwrap();
}

/// Processor time of this process so far, user and system (proc(5), stat fields 14 and 15).
fn clock_ticks() -> u64 {
    let stat = std::fs::read_to_string("/proc/self/stat").unwrap_or_default();
    let after_name = stat.rsplit(')').next().unwrap_or_default();
    let fields = after_name.split_whitespace().skip(11).take(2);
    fields.filter_map(|field| field.parse::<u64>().ok()).sum()
}

/// Resident memory now (proc(5), status, VmRSS in kB).
fn resident_megabytes() -> f64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:")).unwrap_or_default();
    line.split_whitespace().next().and_then(|kb| kb.parse::<f64>().ok()).unwrap_or(0.0) / 1024.0
}
