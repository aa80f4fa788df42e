//! How many of a camera's frames of 1280 × 960 the window reads and shows in a second, with 24 readings on the bench, and
//! that it is not drawn any more once the camera is off:
//!
//! ```console
//! cargo run --release -p samepoint --example live_frames
//! ```
//!
//! It is its own camera: as a program of its own it writes frames in which the crosshair moves each time, 30 a second. A
//! frame counts once the entry row shows what was read in it; the window is drawn 60 times a second, without a display.

#![allow(
    clippy::print_stdout,
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "a program that prints what it measured and may fail loudly"
)]

use std::fs;
use std::io::Write;
use std::path::Path;
use std::time::{Duration, Instant};

use egui::{Key, Modifiers};
use egui_kittest::Harness;
use reader::simulate::{Scene, Shown};
use record::{Stamp, Unit};
use samepoint::testing::{App, Clock, Folders, Services};
use solver::monte_carlo::Source;

#[path = "../../../tests/shared/many_readings.rs"]
mod many_readings;

const SIZE: [usize; 2] = [1280, 960];

/// Pixels of a division, and where 0, 0 is.
const DIVISION_PX: f64 = 20.0;
const MIDDLE_PX: [f64; 2] = [639.5, 479.5];

/// Frames a second that are written, and how many different ones.
const WRITTEN: u64 = 30;
const DIFFERENT: u64 = 25;

/// How long is counted.
const COUNTED: Duration = Duration::from_secs(10);

fn main() {
    if std::env::args().nth(1).as_deref() == Some("film") {
        // Whoever reads may go: that is the end.
        film().ok();
        return;
    }
    let home = tempfile::tempdir().unwrap();
    let mut window = window(home.path());
    window.run();
    println!("without a camera: drawn again {}", drawn_again(&window));
    window.key_press_modifiers(Modifiers::ALT, Key::F);
    let until = Instant::now() + Duration::from_secs(60);
    while window.state().entry().x.is_empty() {
        assert!(Instant::now() < until, "{:?}", window.state().told_of_camera());
        step(&mut window);
    }
    let (begun, before) = (Instant::now(), processor_time());
    let (mut shown, mut drawn) = (0, 0);
    let mut row = String::new();
    while begun.elapsed() < COUNTED {
        step(&mut window);
        drawn += 1;
        let now = &window.state().entry().x;
        if *now != row && !now.is_empty() {
            shown += 1;
            row.clone_from(now);
        }
    }
    let seconds = begun.elapsed().as_secs_f64();
    println!(
        "{} × {} at {WRITTEN} a second: {:.1} frames a second read and shown, {:.0} drawn",
        SIZE[0],
        SIZE[1],
        f64::from(shown) / seconds,
        f64::from(drawn) / seconds
    );
    if let (Some(before), Some(after)) = (before, processor_time()) {
        println!("  {:.2} of one processor, window, workers and all", (after - before) / seconds);
    }
    window.key_press_modifiers(Modifiers::ALT, Key::F);
    window.run();
    println!("camera off: drawn again {}", drawn_again(&window));
}

fn drawn_again(window: &Harness<'_, App>) -> String {
    let views = window.output().viewport_output.values();
    match views.map(|viewport| viewport.repaint_delay).min() {
        Some(delay) if delay < Duration::from_secs(600) => {
            format!("in {:.1} s", delay.as_secs_f64())
        }
        _ => "when a hand or half an hour asks for it".to_owned(),
    }
}

/// One frame of the window, as a screen of 60 a second takes it.
fn step(window: &mut Harness<'_, App>) {
    let begun = Instant::now();
    window.step();
    let shapes = window.output().shapes.clone();
    std::hint::black_box(window.ctx.tessellate(shapes, 1.0));
    std::thread::sleep(Duration::from_micros(16_667).saturating_sub(begun.elapsed()));
}

/// Seconds of processor time of this process so far; where there is a `/proc`.
fn processor_time() -> Option<f64> {
    let stat = fs::read_to_string("/proc/self/stat").ok()?;
    let (_, rest) = stat.rsplit_once(')')?;
    let ticks = |place: usize| rest.split_whitespace().nth(place)?.parse::<f64>().ok();
    // User and system time, in hundredths of a second.
    Some((ticks(11)? + ticks(12)?) / 100.0)
}

/// The bench on a session with a camera map for such frames.
fn window(home: &Path) -> Harness<'static, App> {
    let shop = home.join("shop");
    for folder in ["sessions", "cameras", "stations"] {
        fs::create_dir_all(shop.join(folder)).unwrap();
    }
    let unit = Unit { name: "0147".to_owned(), ..Unit::default() };
    let path = many_readings::session(&shop.join("sessions"), 24, unit);
    let mut marks = String::new();
    for (x, y) in [(-25.0, 20.0), (25.0, 20.0), (0.0, 0.0), (-25.0, -20.0), (25.0, -20.0)] {
        let [px, py] = px([x, y]);
        marks.push_str(&format!("(px: ({px:?}, {py:?}), divisions: ({x:?}, {y:?})), "));
    }
    let map = format!(
        "(format: 1, camera: (name: \"a\", station: \"Bench 2\", size_px: ({}, {}), lines: bright, marks: [{marks}]))",
        SIZE[0], SIZE[1]
    );
    fs::write(shop.join("cameras/a.ron"), map).unwrap();
    let preferences = home.join("config/preferences.ron");
    fs::create_dir_all(preferences.parent().unwrap()).unwrap();
    let this = std::env::current_exe().unwrap();
    let command = format!("{:?}", format!("\"{}\" film", this.display()));
    let kept = format!("(ask_after_minutes: 0, welcomed: true, camera_command: {command})");
    fs::write(preferences, kept).unwrap();
    let services =
        Services { folders: Folders::below(home), clock: Box::new(Soon), ..Services::of_user() };
    Harness::builder()
        .with_size(egui::vec2(1280.0, 800.0))
        .with_max_steps(32)
        .with_context_setup(samepoint::testing::theme::install)
        .build_eframe(move |cc| App::new(&cc.egui_ctx, services, Some(path)))
}

/// Soon after the last reading: after a rest the window asks first whether anything was touched.
struct Soon;

impl Clock for Soon {
    fn now(&self) -> Stamp {
        Stamp::from_unix_milliseconds(many_readings::TAKEN_MS + 60_000).unwrap()
    }
}

/// Where divisions are in the picture.
fn px([x, y]: [f64; 2]) -> [f64; 2] {
    [MIDDLE_PX[0] + DIVISION_PX * x, MIDDLE_PX[1] - DIVISION_PX * y]
}

fn film() -> std::io::Result<()> {
    let frames: Vec<Vec<u8>> = (0..DIFFERENT).map(frame).collect();
    let mut to = std::io::stdout().lock();
    writeln!(
        to,
        "YUV4MPEG2 W{} H{} F{WRITTEN}:1 Ip A1:1 Cmono XCOLORRANGE=FULL",
        SIZE[0], SIZE[1]
    )?;
    let begun = Instant::now();
    for (number, frame) in (1..).zip(frames.iter().cycle()) {
        to.write_all(b"FRAME\n")?;
        to.write_all(frame)?;
        to.flush()?;
        let due = Duration::from_millis(1000 * number / WRITTEN);
        std::thread::sleep(due.saturating_sub(begun.elapsed()));
    }
    Ok(())
}

fn frame(number: u64) -> Vec<u8> {
    let mut scene = Scene::even(SIZE, 40.0);
    (scene.read_noise, scene.photon_gain, scene.vignetting) = (2.0, 0.2, 0.3);
    scene.full_scale = Some(255.0);
    let at = px([2.0 + 0.4 * number as f64, 3.0 - 0.4 * number as f64]);
    scene.crosshairs.push(Shown { roll_deg: 3.0, ..Shown::plain(at, 90.0, 4.0, 240.0) });
    scene.rendered(&mut Source::seeded(number)).into_iter().map(|pixel| pixel as u8).collect()
}
