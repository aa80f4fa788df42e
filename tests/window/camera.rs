//! A camera that runs: frames from a program fill the row, the hand's Enter logs what it saw with its frame, and
//! whatever goes wrong with the program is told of, and ended.
//!
//! Filmed by the example `film` (crates/samepoint/examples), which draws crosshairs where it is told with the reader's own
//! test renderer; what is planted stands in each command. `cargo test` builds it; where single tests are run it is built
//! when it is not there, and after a change by `cargo build --workspace --example film`.

use std::fs;
use std::path::PathBuf;
use std::time::{Duration, Instant};

use egui::{Key, Modifiers};
use record::fact::{Body, FrameRead};
use record::{Reading, Seen};
use samepoint::testing::{Lighting, Work};

use crate::bench::Bench;
use crate::deep_red::only_red;
use crate::session::{begin, start};
use crate::station_pictures::{count, facts};

/// The program that films.
pub(crate) fn film() -> PathBuf {
    let tests = std::env::current_exe().unwrap();
    let built = tests.parent().unwrap().parent().unwrap().join("examples/film");
    let film = built.with_extension(std::env::consts::EXE_EXTENSION);
    if !film.exists() {
        let cargo = std::env::var_os("CARGO").unwrap_or_else(|| "cargo".into());
        let mut building = std::process::Command::new(cargo);
        building.args(["build", "--workspace", "--example", "film"]);
        if built.parent().unwrap().parent().unwrap().ends_with("release") {
            building.arg("--release");
        }
        let built = building.status().is_ok_and(|status| status.success()) && film.exists();
        assert!(built, "build it: cargo build --workspace --example film");
    }
    film
}

/// A command that films: `SHOP` is the open shop's folder.
pub(crate) fn filming(bench: &Bench, what: &str) -> String {
    let shop = bench.app().offers().folder.clone();
    format!("\"{}\" {}", film().display(), what.replace("SHOP", &format!("\"{}\"", shop.display())))
}

/// Starts the camera by its sheet: the command is typed, Enter.
pub(crate) fn film_by(bench: &mut Bench, what: &str) {
    let command = filming(bench, what);
    start_by(bench, &command);
}

pub(crate) fn start_by(bench: &mut Bench, command: &str) {
    bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::F);
    bench.keys(Modifiers::COMMAND, Key::A);
    bench.type_text(command);
    bench.key(Key::Enter);
}

/// Lets the window run until this holds.
#[track_caller]
pub(crate) fn until(bench: &mut Bench, what: &str, holds: impl Fn(&Bench) -> bool) {
    let begun = Instant::now();
    while !holds(bench) {
        let told = bench.app().told_of_camera();
        assert!(begun.elapsed() < Duration::from_secs(60), "never {what}: {told:?}");
        std::thread::sleep(Duration::from_millis(5));
        bench.window.step();
    }
}

/// Steps for a while.
pub(crate) fn pass(bench: &mut Bench, time: Duration) {
    let begun = Instant::now();
    while begun.elapsed() < time {
        std::thread::sleep(Duration::from_millis(5));
        bench.window.step();
    }
}

pub(crate) fn row_filled(bench: &Bench) -> bool {
    !bench.app().entry().x.is_empty() && !bench.app().entry().y.is_empty()
}

/// Ends the camera: nothing is drawn any more afterwards.
pub(crate) fn off(bench: &mut Bench) {
    if bench.app().camera_process().is_some() {
        bench.keys(Modifiers::ALT, Key::F);
    }
    bench.rest();
}

/// Whether a process is there.
#[cfg(target_os = "linux")]
fn is_there(process: u32) -> bool {
    // A zombie is there, too.
    std::path::Path::new("/proc").join(process.to_string()).exists()
}

#[cfg(target_os = "linux")]
#[track_caller]
fn is_gone(process: u32) {
    let begun = Instant::now();
    while is_there(process) {
        assert!(begun.elapsed() < Duration::from_secs(5), "{process} is still there");
        std::thread::sleep(Duration::from_millis(5));
    }
}

fn last_reading(bench: &Bench) -> Reading {
    let reading = facts(bench).into_iter().rev().find_map(|body| match body {
        Body::Reading(reading) => Some(reading),
        _ => None,
    });
    reading.unwrap()
}

pub(crate) fn typed(reading: &Reading) -> [String; 2] {
    match &reading.seen {
        Seen::Direction(read) => [read.x.text().to_owned(), read.y.text().to_owned()],
        other => panic!("{other:?}"),
    }
}

#[track_caller]
pub(crate) fn row_is_near(bench: &Bench, planted: [f64; 2]) {
    let entry = bench.app().entry();
    let row = [&entry.x, &entry.y].map(|text| text.parse().unwrap_or(f64::NAN));
    // The map's marks are a tenth of a pixel off, 0.02 divisions; Bench 2 has one arcminute a division.
    for (found, planted) in row.into_iter().zip(planted) {
        assert!((found - planted).abs() < 0.15, "{row:?} {planted}");
    }
}

#[test]
fn frames_fill_the_row_and_enter_logs_one_with_its_picture() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let before = facts(&bench).len();
    film_by(&mut bench, "still SHOP 12 -6.5");
    until(&mut bench, "read", row_filled);
    row_is_near(&bench, [12.0, -6.5]);
    assert!(bench.says("Left crosshair at") && bench.says("The camera’s picture"));
    assert_eq!(facts(&bench).len(), before, "nothing is logged before a hand says so");
    let stood = [bench.app().entry().x.clone(), bench.app().entry().y.clone()];
    bench.window.key_press(Key::Enter);
    bench.window.step();
    bench.wait_saved().unwrap();
    let added = facts(&bench).split_off(before);
    let [Body::Camera(camera), Body::Reading(reading), Body::Frame(frame)] = &added[..] else {
        panic!("{added:#?}");
    };
    assert_eq!((camera.name.as_str(), frame.read), ("Bench 2", FrameRead::Camera));
    assert_eq!(typed(reading), stood);
    let kept = bench.app().offers().folder.join(format!("pictures/{}.png", frame.picture_sha256));
    let bytes = fs::read(&kept).unwrap();
    assert!(bytes.starts_with(b"\x89PNG"));
    // The row rests, so that a held key logs nothing twice, then follows again.
    assert!(!row_filled(&bench));
    bench.window.key_press(Key::Enter);
    bench.window.step();
    assert_eq!(count(&bench, |body| matches!(body, Body::Frame(_))), 1);
    until(&mut bench, "followed again", row_filled);
    // One undo takes the reading back with its picture.
    off(&mut bench);
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert!(bench.app().session().unwrap().state().frames.is_empty());
    bench.keys(Modifiers::COMMAND, Key::Y);
    bench.wait_saved().unwrap();
    // Review reads the frame again, from its file.
    bench.keys(Modifiers::ALT, Key::V);
    bench.wait_for("Read again, the picture of its reading gives the same.");
}

/// What stood in the row as it was drawn last is what Enter logs, though every frame shows another place.
#[test]
fn a_moving_frame_never_changes_the_row_under_enter() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "walk SHOP 2 3");
    for _ in 0..6 {
        until(&mut bench, "read", row_filled);
        let stood = [bench.app().entry().x.clone(), bench.app().entry().y.clone()];
        // More frames come before the hand's key is heard.
        std::thread::sleep(Duration::from_millis(130));
        bench.window.key_press(Key::Enter);
        bench.window.step();
        assert_eq!(typed(&last_reading(&bench)), stood);
    }
    assert_eq!(count(&bench, |body| matches!(body, Body::Frame(_))), 6);
    off(&mut bench);
    bench.wait_saved().unwrap();
    bench.keys(Modifiers::ALT, Key::V);
    bench.wait_for("Read again, the pictures of all 6 readings give the same.");
}

#[test]
fn what_is_typed_over_a_frame_is_the_hands_own() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "still SHOP 12 -6.5");
    until(&mut bench, "read", row_filled);
    // x is marked whole: what is typed replaces it, and the camera leaves it alone from then on.
    bench.window.event(egui::Event::Text("7".to_owned()));
    bench.window.step();
    assert_eq!(bench.app().entry().x, "7");
    pass(&mut bench, Duration::from_millis(400));
    assert_eq!(bench.app().entry().x, "7");
    bench.window.key_press(Key::Enter);
    bench.window.step();
    assert_eq!(typed(&last_reading(&bench))[0], "7");
    assert_eq!(count(&bench, |body| matches!(body, Body::Frame(_))), 0);
    until(&mut bench, "followed again", row_filled);
    // What was read for one channel is not logged for the other.
    let before = facts(&bench).len();
    bench.window.key_press(Key::F3);
    bench.window.key_press(Key::Enter);
    bench.window.step();
    bench.window.step();
    assert_eq!(facts(&bench).len(), before);
    until(&mut bench, "read for the other", row_filled);
    off(&mut bench);
}

#[test]
fn a_frozen_picture_stays_until_it_is_logged() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.keys(Modifiers::COMMAND, Key::F);
    assert!(bench.says("There is no picture to freeze"));
    film_by(&mut bench, "walk SHOP 2 3");
    until(&mut bench, "read", row_filled);
    bench.window.key_press_modifiers(Modifiers::COMMAND, Key::F);
    bench.window.step();
    let stood = [bench.app().entry().x.clone(), bench.app().entry().y.clone()];
    pass(&mut bench, Duration::from_millis(900));
    assert_eq!([bench.app().entry().x.clone(), bench.app().entry().y.clone()], stood);
    assert!(bench.says("Frozen at frame"));
    bench.window.key_press(Key::Enter);
    bench.window.step();
    assert_eq!(typed(&last_reading(&bench)), stood);
    assert_eq!(count(&bench, |body| matches!(body, Body::Frame(_))), 1);
    until(&mut bench, "goes on", row_filled);
    // In a sweep the row is empty: it ends, and what is frozen stands in the row.
    bench.window.key_press_modifiers(Modifiers::ALT, Key::T);
    bench.window.step();
    pass(&mut bench, Duration::from_millis(300));
    assert!(!row_filled(&bench));
    bench.window.key_press_modifiers(Modifiers::COMMAND, Key::F);
    bench.window.step();
    assert!(row_filled(&bench) && !bench.says("of at most 120 places"));
    let before = count(&bench, |body| matches!(body, Body::Frame(_)));
    bench.window.key_press(Key::Enter);
    bench.window.step();
    let logged = count(&bench, |body| matches!(body, Body::Frame(_)));
    // One more, unless the sweep had this very frame; the refusal is drawn in the next step.
    bench.window.step();
    let is_known = bench.says("one picture is not two readings");
    assert!(
        logged == before + 1 || is_known,
        "{:?} {:?}",
        bench.app().notice(),
        bench.app().entry()
    );
    off(&mut bench);
}

/// Ten bits, video's range, colours behind: read, kept and read again.
#[test]
fn frames_of_ten_bits_are_kept_as_they_were_read() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "ten SHOP -8 5");
    until(&mut bench, "read", row_filled);
    row_is_near(&bench, [-8.0, 5.0]);
    bench.window.key_press(Key::Enter);
    bench.window.step();
    off(&mut bench);
    bench.wait_saved().unwrap();
    bench.keys(Modifiers::ALT, Key::V);
    bench.wait_for("Read again, the picture of its reading gives the same.");
}

/// Every way in which a program fails: said, ended, started again.
#[test]
fn whatever_the_program_does_is_told_of_and_ended() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    for (what, words) in [
        ("garbage", "is no YUV4MPEG2 stream"),
        ("line", "does not end within"),
        ("huge", "40000 × 40000 pixels"),
        ("small", "it has 64 × 64 pixels, and the camera map is for 320 × 240"),
        ("half", "breaks off within a frame"),
        ("dies", "ended with"),
    ] {
        film_by(&mut bench, what);
        until(&mut bench, what, |bench| {
            bench.app().camera_process().is_none()
                && bench.app().told_of_camera().iter().any(|told| told.contains(words))
        });
        assert!(bench.says(words), "at the glass: {words}");
        assert!(bench.says("Alt+F starts the camera again"));
        assert!(!row_filled(&bench));
    }
    // What it said last, what is hidden in it made visible.
    assert!(bench.says("It said: early words; no camera at"));
    assert!(bench.app().told_of_camera().iter().all(|told| !told.contains('\u{1b}')));
    // By the hand alone it is started again; it is the same program.
    bench.keys(Modifiers::ALT, Key::F);
    until(&mut bench, "dead again", |bench| bench.app().camera_process().is_none());
    assert!(bench.says("It said: early words"));
    film_by(&mut bench, "still SHOP 1 1");
    until(&mut bench, "read", row_filled);
    off(&mut bench);
    assert!(!row_filled(&bench), "nothing of it stays in the row");
}

#[test]
fn a_program_that_writes_nothing_or_slowly_is_told_of_after_seconds() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    for what in ["silent", "slow"] {
        film_by(&mut bench, what);
        assert!(bench.says("waiting for its first frame"));
        until(&mut bench, "told", |bench| bench.says("has written no frame for"));
        assert!(bench.app().camera_process().is_some(), "it is waited for until the hand ends it");
    }
    off(&mut bench);
}

#[test]
fn a_command_that_cannot_be_run_is_refused_on_its_sheet() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    start_by(&mut bench, "no-such-program -x");
    assert!(bench.says("Not kept: no-such-program is not found on this computer"));
    start_by(&mut bench, "\"film still");
    assert!(bench.says("a straight double quote in the command has no end"));
    assert_eq!(bench.app().preferences().camera_command, "");
    bench.key(Key::Escape);
    // A folder is no program; a program may be gone when it is started again.
    let gone = home.path().join("gone");
    fs::copy(film(), &gone).unwrap();
    start_by(&mut bench, &format!("\"{}\" silent", gone.display()));
    off(&mut bench);
    fs::remove_file(&gone).unwrap();
    bench.keys(Modifiers::ALT, Key::F);
    assert!(bench.says("The camera is not started") && bench.says("cannot be run"));
    // It is this user's and no shop's.
    bench.keys(Modifiers::ALT | Modifiers::SHIFT, Key::F);
    assert!(bench.says("no shop’s file names it"));
}

/// It ends with the camera, the session, the window; so does what it started itself.
#[cfg(target_os = "linux")]
#[test]
fn the_program_ends_with_whoever_started_it() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "still SHOP 1 1");
    until(&mut bench, "read", row_filled);
    let first = bench.app().camera_process().unwrap();
    bench.keys(Modifiers::ALT, Key::F);
    is_gone(first);
    // Its own child, which holds the pipe and writes nothing.
    film_by(&mut bench, "parent");
    until(&mut bench, "silent", |bench| bench.says("says: started"));
    let told = bench.app().told_of_camera().join(" ");
    let (_, rest) = told.split_once("started ").unwrap();
    let child: u32 = rest.split(|c: char| !c.is_ascii_digit()).next().unwrap().parse().unwrap();
    let parent = bench.app().camera_process().unwrap();
    assert!(is_there(child) && is_there(parent));
    // Another session.
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0172");
    bench.key(Key::Tab);
    bench.enter("KT");
    bench.rest();
    is_gone(parent);
    let begun = Instant::now();
    while fs::read_to_string(format!("/proc/{child}/stat")).is_ok_and(|stat| !stat.contains(") Z "))
    {
        assert!(begun.elapsed() < Duration::from_secs(5), "what it started is still there");
        std::thread::sleep(Duration::from_millis(5));
    }
    assert!(bench.app().camera_process().is_none());
    // The window.
    film_by(&mut bench, "still SHOP 1 1");
    until(&mut bench, "read", row_filled);
    let last = bench.app().camera_process().unwrap();
    drop(bench);
    is_gone(last);
}

/// A worker that dies is told of, and its program ended.
#[test]
fn a_worker_that_dies_ends_the_camera() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    for work in [Work::Frames, Work::FramesRead] {
        bench.threads.only_kill(&[work]);
        film_by(&mut bench, "still SHOP 1 1");
        until(&mut bench, "told", |bench| bench.app().camera_process().is_none());
        assert!(bench.says(&format!("{} stopped unexpectedly", work.name())));
    }
    bench.threads.only_kill(&[]);
    bench.keys(Modifiers::ALT, Key::F);
    until(&mut bench, "read", row_filled);
    off(&mut bench);
}

/// With a camera the window is drawn ten times a second or more; without one, or once it is off, not at all.
#[test]
fn the_window_rests_without_a_camera_and_keeps_up_with_one() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let asks = |bench: &Bench| {
        let views = bench.window.output().viewport_output.values();
        views.map(|viewport| viewport.repaint_delay).min().unwrap()
    };
    film_by(&mut bench, "walk SHOP 2 3");
    until(&mut bench, "read", row_filled);
    let (begun, mut rows) = (Instant::now(), std::collections::BTreeSet::new());
    while begun.elapsed() < Duration::from_secs(2) {
        bench.window.step();
        rows.insert(bench.app().entry().x.clone());
        assert!(asks(&bench) < Duration::from_secs(1));
        std::thread::sleep(Duration::from_millis(2));
    }
    // Twenty-five places, twenty frames a second.
    assert!(rows.len() >= 20, "{} frames in two seconds", rows.len());
    off(&mut bench);
    bench.wait_saved().unwrap();
    bench.rest();
    // A round that rests for half an hour is asked about then, camera or not.
    assert!(asks(&bench) > Duration::from_secs(1200), "asks in {:?}", asks(&bench));
}

/// The picture is drawn through the theme's light, in each of them, and never brighter.
#[test]
fn no_picture_is_brighter_than_its_theme_bears() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "still SHOP 12 -6.5");
    until(&mut bench, "read", row_filled);
    for _ in Lighting::ALL {
        let lighting = bench.app().preferences().lighting;
        let mut seen = 0;
        for drawn in bench.window.ctx.tessellate(bench.window.output().shapes.clone(), 1.0) {
            let egui::epaint::Primitive::Mesh(mesh) = drawn.primitive else { continue };
            if mesh.texture_id == egui::TextureId::default() {
                continue;
            }
            seen += 1;
            for [r, g, b, a] in mesh.vertices.iter().map(|vertex| vertex.color.to_array()) {
                // A texel is at most white: what is drawn is at most this.
                let brightest = match lighting {
                    Lighting::Dim | Lighting::Office => [0xb0; 3],
                    Lighting::DeepRed => [0x80, 0, 0],
                };
                assert!(
                    r <= brightest[0] && g <= brightest[1] && b <= brightest[2],
                    "{lighting:?}"
                );
                assert_eq!(a, 255);
            }
        }
        assert_eq!(seen, 1, "{lighting:?}: the picture is there");
        if lighting == Lighting::DeepRed {
            only_red(&bench, "the camera’s picture");
        }
        bench.window.key_press_modifiers(Modifiers::COMMAND, Key::L);
        pass(&mut bench, Duration::from_millis(150));
    }
    off(&mut bench);
}

/// The last frame of a film that ended grows old by itself, without a hand.
#[test]
fn what_was_seen_last_is_crossed_out_when_the_program_ended() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    film_by(&mut bench, "turn SHOP 2 3 0 0 1 8");
    until(&mut bench, "over", |bench| bench.app().camera_process().is_none());
    assert!(!row_filled(&bench));
    // Only what the window asks for itself is drawn.
    let begun = Instant::now();
    loop {
        let views = bench.window.output().viewport_output.values();
        let asks = views.map(|viewport| viewport.repaint_delay).min().unwrap();
        if asks > Duration::from_secs(60) {
            break;
        }
        assert!(begun.elapsed() < Duration::from_secs(10), "it never rests");
        std::thread::sleep(asks);
        bench.window.step();
    }
    assert!(bench.says("ended: there are no more frames"));
    assert!(!bench.says("Enter logs it"), "{:?}", bench.app().told_of_camera());
}

/// A shop without the station's camera says so, and a practice unit is not filmed.
#[test]
fn without_a_camera_map_nothing_is_read() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = begin(Bench::open(home.path(), None));
    let command = filming(&bench, "still SHOP 1 1");
    let cameras = bench.app().offers().folder.join("cameras");
    let map = fs::read_to_string(cameras.join("Bench 2.ron")).unwrap();
    let twin = map.replacen("name: \"Bench 2\"", "name: \"Bench 2, left\"", 1);
    fs::write(cameras.join("twin.ron"), twin).unwrap();
    start_by(&mut bench, &command);
    until(&mut bench, "two", |bench| bench.says("which of them took it cannot be told"));
    fs::remove_file(cameras.join("twin.ron")).unwrap();
    bench.keys(Modifiers::ALT, Key::F);
    until(&mut bench, "read", row_filled);
    off(&mut bench);
    let elsewhere = home.path().join("maps");
    fs::create_dir_all(elsewhere.join("cameras")).unwrap();
    fs::rename(cameras.join("Bench 2.ron"), elsewhere.join("cameras/Bench 2.ron")).unwrap();
    let command = command.replace(
        &cameras.parent().unwrap().display().to_string(),
        &elsewhere.display().to_string(),
    );
    start_by(&mut bench, &command);
    until(&mut bench, "none", |bench| bench.says("no camera map of station “Bench 2”"));
}

/// The program that films for everybody. A film of ours, kept as it is in a file of another kind, then written in its own
/// time by the real `ffmpeg`, colours and video's range included.
#[test]
fn the_real_ffmpeg_fills_the_row() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let stored = encoded(&bench, home.path(), "turn SHOP 12 -6.5 0 0 1 100");
    for layout in ["gray", "yuv420p", "yuv422p10le -strict -1"] {
        let command = format!(
            "ffmpeg -nostdin -loglevel error -re -i \"{}\" -f yuv4mpegpipe -pix_fmt {layout} -",
            stored.display()
        );
        start_by(&mut bench, &command);
        until(&mut bench, layout, row_filled);
        row_is_near(&bench, [12.0, -6.5]);
        off(&mut bench);
    }
    // Its own words where it fails.
    start_by(&mut bench, "ffmpeg -nostdin -loglevel error -i no-such-film -f yuv4mpegpipe -");
    until(&mut bench, "dead", |bench| bench.says("It said: ") && bench.says("no-such-film"));
}

/// A film of ours in a file, without loss, by the real `ffmpeg`.
pub(crate) fn encoded(bench: &Bench, home: &std::path::Path, what: &str) -> PathBuf {
    let shop = bench.app().offers().folder.clone();
    let (raw, stored) = (home.join("film.y4m"), home.join("film.mkv"));
    let mut filming = std::process::Command::new(film());
    for word in what.split(' ') {
        filming.arg(if word == "SHOP" { shop.as_os_str() } else { word.as_ref() });
    }
    let filmed = filming.env("TEMPO", "0").stdout(fs::File::create(&raw).unwrap()).status();
    assert!(filmed.unwrap().success());
    let made = std::process::Command::new("ffmpeg")
        .args(["-nostdin", "-loglevel", "error", "-y", "-i"])
        .arg(&raw)
        .args(["-c:v", "ffv1"])
        .arg(&stored)
        .status();
    assert!(made.expect("this test needs ffmpeg: install it (Debian: ffmpeg)").success());
    stored
}
