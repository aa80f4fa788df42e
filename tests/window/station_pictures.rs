//! Pictures of the station, dropped or opened: each fills the entry row, the hand's Enter logs it with its
//! picture, and what is refused says why in the reader's words.
//!
//! Where the crosshairs are was planted by the makers of the pictures (demo-data/README.md).

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::{Duration, Instant};

use egui::{Key, Modifiers};
use record::fact::{Body, FrameRead, Purpose};
use samepoint::testing::Work;
use solver::Channel;

use crate::bench::Bench;
use crate::review;
use crate::session::start;

#[derive(Debug)]
struct Dropped(PathBuf);

impl egui::DroppedFile for Dropped {
    fn path(&self) -> &Path {
        &self.0
    }

    fn bytes(&self) -> Result<Vec<u8>, String> {
        fs::read(&self.0).map_err(|why| why.to_string())
    }
}

fn demo(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("../../demo-data/pictures").join(name)
}

/// Drops files on the bench and waits until they were read or refused.
fn drop_on(bench: &mut Bench, paths: &[PathBuf]) {
    let files = paths.iter().map(|path| {
        let handle: egui::DroppedFileHandle = Arc::new(Dropped(path.clone()));
        handle
    });
    bench.window.input_mut().dropped_files = files.collect();
    bench.window.step();
    bench.window.input_mut().dropped_files.clear();
    wait_read(bench);
}

fn wait_read(bench: &mut Bench) {
    let begun = Instant::now();
    loop {
        bench.rest();
        let told = bench.app().told_of_picture();
        if told.iter().all(|sentence| !sentence.contains("is being read")) {
            return;
        }
        assert!(begun.elapsed() < Duration::from_secs(60), "it is never read");
        std::thread::sleep(Duration::from_millis(2));
    }
}

fn row(bench: &Bench) -> [f64; 2] {
    let entry = bench.app().entry();
    [&entry.x, &entry.y].map(|text| text.parse().unwrap_or(f64::NAN))
}

#[track_caller]
fn is_near(row: [f64; 2], planted: [f64; 2]) {
    // A mark a tenth of a pixel off is 0.02 divisions, and Bench 2 has one arcminute a division.
    for (found, planted) in row.into_iter().zip(planted) {
        assert!((found - planted).abs() < 0.15, "{row:?} {planted}");
    }
}

pub(crate) fn facts(bench: &Bench) -> Vec<Body> {
    let facts = bench.app().session().unwrap().file().facts();
    facts.iter().map(|fact| fact.body.clone()).collect()
}

pub(crate) fn count(bench: &Bench, is: impl Fn(&Body) -> bool) -> usize {
    facts(bench).iter().filter(|body| is(body)).count()
}

#[test]
fn a_dropped_picture_fills_the_row_and_enter_logs_it_with_its_picture() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let before = facts(&bench).len();
    drop_on(&mut bench, &[demo("ring-000.png")]);
    is_near(row(&bench), [12.0, -6.5]);
    assert!(bench.says("Left crosshair at") && bench.says("read in ring-000.png"));
    // Nothing is a reading before a hand says so.
    assert_eq!(facts(&bench).len(), before);
    bench.key(Key::Enter);
    bench.wait_saved().unwrap();
    let added = facts(&bench).split_off(before);
    let [Body::Camera(camera), Body::Reading(reading), Body::Frame(frame)] = &added[..] else {
        panic!("{added:#?}");
    };
    assert_eq!((camera.name.as_str(), reading.purpose), ("Bench 2", Purpose::Log));
    assert_eq!((frame.reading, frame.read), (before as u64 + 2, FrameRead::Camera));
    let shop = bench.app().offers().folder.clone();
    let kept = shop.join(format!("pictures/{}.png", frame.picture_sha256));
    assert_eq!(fs::read(kept).unwrap(), fs::read(demo("ring-000.png")).unwrap());
    assert_eq!(bench.app().entry().x, "");
    // The next one goes by the map in force.
    drop_on(&mut bench, &[demo("ring-120.png")]);
    bench.key(Key::Enter);
    assert_eq!(count(&bench, |body| matches!(body, Body::Camera(_))), 1);
    assert_eq!(count(&bench, |body| matches!(body, Body::Frame(_))), 2);
    // One picture is not two readings; the number can be logged without it.
    drop_on(&mut bench, &[demo("ring-120.png")]);
    bench.key(Key::Enter);
    assert!(bench.says("one picture is not two readings"));
    assert_eq!(count(&bench, |body| matches!(body, Body::Frame(_))), 2);
    let readings = |bench: &Bench| count(bench, |body| matches!(body, Body::Reading(_)));
    let so_far = readings(&bench);
    bench.key(Key::Enter);
    assert_eq!(readings(&bench), so_far + 1);
    assert_eq!(count(&bench, |body| matches!(body, Body::Frame(_))), 2);
}

/// A session of format 1 has no words for a picture, and its row promises none.
#[test]
fn a_session_of_format_1_promises_no_picture() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.wait_saved().unwrap();
    let path = bench.app().session().unwrap().file().path().to_owned();
    drop(bench);
    let mut facts = record::file::scan(&path, &fs::read(&path).unwrap()[..]).unwrap().facts;
    let Body::Header(header) = &mut facts[0].body else { panic!("{:?}", facts[0]) };
    header.format = record::FIRST_FORMAT;
    let mut bytes = Vec::new();
    record::file::write_all_lines(&facts, &mut bytes).unwrap();
    fs::write(&path, bytes).unwrap();
    let mut bench = Bench::open(home.path(), Some(path));
    drop_on(&mut bench, &[demo("ring-000.png")]);
    is_near(row(&bench), [12.0, -6.5]);
    assert!(!bench.says("logs it with its picture"));
    assert!(bench.says("Enter twice logs the number alone"));
    let before = count(&bench, |body| matches!(body, Body::Reading(_)));
    bench.key(Key::Enter);
    assert!(bench.says("this session’s file is of format 1"));
    bench.key(Key::Enter);
    assert_eq!(count(&bench, |body| matches!(body, Body::Reading(_))), before + 1);
    assert_eq!(count(&bench, |body| matches!(body, Body::Frame(_))), 0);
}

/// A reading and its picture were one Enter, and are taken back by one key.
#[test]
fn undo_takes_the_picture_back_with_its_reading() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    drop_on(&mut bench, &[demo("ring-000.png")]);
    bench.key(Key::Enter);
    let state = |bench: &Bench| {
        let session = bench.app().session().unwrap();
        let readings = session.state().round().unwrap().in_use().count();
        (readings, session.state().frames.len())
    };
    let logged = state(&bench);
    assert_eq!(logged.1, 1);
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(state(&bench), (logged.0 - 1, 0));
    bench.keys(Modifiers::COMMAND, Key::Y);
    assert_eq!(state(&bench), logged);
}

#[test]
fn what_is_typed_over_is_the_hands_own() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    drop_on(&mut bench, &[demo("ring-000.png")]);
    // The keyboard waits in y, all of it marked.
    bench.enter("-6.1");
    assert_eq!(count(&bench, |body| matches!(body, Body::Frame(_))), 0);
    let typed = facts(&bench).into_iter().rev().find_map(|body| match body {
        Body::Reading(record::Reading { seen: record::Seen::Direction(read), .. }) => Some(read),
        _ => None,
    });
    assert_eq!(typed.unwrap().y.text(), "-6.1");
}

#[test]
fn of_two_crosshairs_the_one_that_stayed_is_the_other_channels() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    // Both were read as found, near neither: (6, 8) and (−8, −3) are planted.
    drop_on(&mut bench, &[demo("both.png")]);
    assert!(bench.says("which is the left channel’s cannot be told"));
    assert_eq!(bench.app().entry().x, "");
    bench.keys(Modifiers::ALT, Key::X);
    let first = row(&bench);
    bench.keys(Modifiers::ALT, Key::X);
    let second = row(&bench);
    assert!((first[0] - second[0]).abs() > 10.0, "{first:?} {second:?}");
    bench.keys(Modifiers::ALT, Key::X);
    assert_eq!(row(&bench), first);
    // The right channel read where one of them stands: the other is the left one's.
    bench.key(Key::F3);
    bench.keys(Modifiers::ALT, Key::X);
    is_near(row(&bench), [-8.0, -3.0]);
    bench.key(Key::Enter);
    bench.key(Key::F2);
    drop_on(&mut bench, &[demo("both.png")]);
    is_near(row(&bench), [6.0, 8.0]);
    assert_eq!(bench.app().entry().channel, Channel::Left);
}

/// A graticule as bright as the crosshair: refused alone, read less the picture with the lamp off, which is kept
/// and read again with it.
#[test]
fn a_background_is_subtracted_kept_and_read_again() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.keys(Modifiers::ALT, Key::Z);
    assert!(bench.says("First read the picture with the lamp off"));
    drop_on(&mut bench, &[demo("graticule.png")]);
    assert_eq!(bench.app().entry().x, "");
    drop_on(&mut bench, &[demo("background.png")]);
    bench.keys(Modifiers::ALT, Key::Z);
    assert!(bench.says("background.png is subtracted from the pictures that follow"));
    drop_on(&mut bench, &[demo("graticule.png")]);
    assert!(bench.says("read in graticule.png less background.png"), "{:?}", row(&bench));
    bench.key(Key::Enter);
    bench.wait_saved().unwrap();
    let frame = facts(&bench).into_iter().rev().find_map(|body| match body {
        Body::Frame(frame) => Some(frame),
        _ => None,
    });
    let background = frame.unwrap().background_sha256.unwrap();
    let kept = bench.app().offers().folder.join(format!("pictures/{background}.png"));
    assert_eq!(fs::read(kept).unwrap(), fs::read(demo("background.png")).unwrap());
    let path = bench.app().session().unwrap().file().path().to_owned();
    bench.keys(Modifiers::ALT, Key::Z);
    assert!(bench.says("background.png is not subtracted any more"));
    bench.keys(Modifiers::ALT, Key::V);
    assert_eq!(review::open(&bench).path, path);
    let begun = Instant::now();
    while !bench.says("Read again, the picture of its reading gives the same.") {
        assert!(begun.elapsed() < Duration::from_secs(60), "it is never told");
        std::thread::sleep(Duration::from_millis(2));
        bench.rest();
    }
}

/// By the sheet and the keyboard alone, refusals too, each in the words of who refuses.
#[test]
fn what_is_refused_says_why_and_where() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let before = facts(&bench).len();
    let blank = home.path().join("blank.pgm");
    fs::write(&blank, [b"P5 320 240 255\n".to_vec(), vec![40; 320 * 240]].concat()).unwrap();
    let other = home.path().join("other.pgm");
    fs::write(&other, [b"P5 100 100 255\n".to_vec(), vec![40; 10_000]].concat()).unwrap();
    let text = home.path().join("text.png");
    fs::write(&text, b"no picture").unwrap();
    let cut = home.path().join("cut.png");
    let whole = fs::read(demo("ring-000.png")).unwrap();
    fs::write(&cut, &whole[..whole.len() / 2]).unwrap();
    for (path, words) in [
        (blank.clone(), "No crosshair was found"),
        (demo("graticule.png"), "background"),
        (other, "100 × 100"),
        (text, "no PNG, PNM, JPEG or TIFF"),
        (cut, "PNG"),
        (home.path().to_owned(), "is not read"),
        (home.path().join("gone.png"), "is not read"),
    ] {
        drop_on(&mut bench, &[path]);
        let told = bench.app().told_of_picture().join(" ");
        let words = words.to_lowercase();
        assert!(told.to_lowercase().contains(&words), "{words}: {told}");
        assert!(bench.says(&told), "in the row: {told}");
        assert_eq!((bench.app().entry().x.as_str(), facts(&bench).len()), ("", before));
        // At the glass too.
        bench.keys(Modifiers::ALT, Key::Num2);
        assert!(bench.says(&told), "at the glass: {told}");
        bench.keys(Modifiers::ALT, Key::Num1);
    }
    drop_on(&mut bench, &[demo("ring-000.png"), demo("ring-120.png")]);
    assert!(bench.says("2 files were dropped"));
    // On its sheet, and the sheet stays.
    bench.keys(Modifiers::ALT, Key::M);
    assert!(bench.says("Read a picture"));
    bench.enter(blank.to_str().unwrap());
    wait_read(&mut bench);
    assert!(bench.says("no crosshair was found"));
    bench.key(Key::Escape);
    bench.keys(Modifiers::ALT, Key::M);
    bench.enter(demo("ring-000.png").to_str().unwrap());
    wait_read(&mut bench);
    is_near(row(&bench), [12.0, -6.5]);
    bench.key(Key::Enter);
    assert_eq!(count(&bench, |body| matches!(body, Body::Frame(_))), 1);
}

#[test]
fn a_shop_without_the_stations_camera_says_so() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    let cameras = bench.app().offers().folder.join("cameras");
    let map = fs::read_to_string(cameras.join("Bench 2.ron")).unwrap();
    let twin = map.replacen("name: \"Bench 2\"", "name: \"Bench 2, left\"", 1);
    fs::write(cameras.join("twin.ron"), twin).unwrap();
    drop_on(&mut bench, &[demo("ring-000.png")]);
    assert!(bench.says("which of them took it cannot be told"));
    fs::remove_file(cameras.join("twin.ron")).unwrap();
    fs::remove_file(cameras.join("Bench 2.ron")).unwrap();
    drop_on(&mut bench, &[demo("ring-000.png")]);
    assert!(bench.says("no camera map of station “Bench 2”"));
}

/// A worker that dies leaves the row as it was, and is told of.
#[test]
fn a_worker_that_dies_is_told_of() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    bench.threads.only_kill(&[Work::Picture]);
    drop_on(&mut bench, &[demo("ring-000.png")]);
    assert!(bench.says("Reading the picture stopped unexpectedly. Drop the picture again"));
    assert_eq!(bench.app().entry().x, "");
    bench.threads.only_kill(&[]);
    drop_on(&mut bench, &[demo("ring-000.png")]);
    is_near(row(&bench), [12.0, -6.5]);
}

/// Review reads the pictures again on a thread of its own: green only once they agree.
#[test]
fn review_reads_them_again() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    drop_on(&mut bench, &[demo("ring-000.png")]);
    bench.key(Key::Enter);
    bench.wait_saved().unwrap();
    bench.keys(Modifiers::ALT, Key::V);
    let begun = Instant::now();
    while !bench.says("Read again, the picture of its reading gives the same.") {
        assert!(begun.elapsed() < Duration::from_secs(60), "it is never told");
        std::thread::sleep(Duration::from_millis(2));
        bench.rest();
    }
    // One that dies is told of.
    bench.threads.only_kill(&[Work::PicturesAgain]);
    bench.keys(Modifiers::ALT, Key::B);
    bench.keys(Modifiers::ALT, Key::V);
    bench.rest();
    assert!(bench.says("Reading the pictures again stopped unexpectedly"));
}

/// What a report holds of pictures (ISO 32000-1, 8.9.5), read in its bytes.
fn pictures_in(report: &Path) -> usize {
    let bytes = fs::read(report).unwrap();
    let image = b"/Subtype/Image";
    bytes.windows(image.len()).filter(|part| part == image).count()
}

/// The report's sheet has a box to tick for the pictures that confirm readings rest on.
#[test]
fn a_report_shows_the_pictures_of_confirm_readings() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    drop_on(&mut bench, &[demo("ring-120.png")]);
    bench.key(Key::Enter);
    bench.keys(Modifiers::COMMAND, Key::Num6);
    drop_on(&mut bench, &[demo("ring-000.png")]);
    bench.key(Key::Enter);
    bench.wait_saved().unwrap();
    let is_confirm =
        |body: &Body| matches!(body, Body::Reading(reading) if reading.purpose == Purpose::Confirm);
    assert_eq!(count(&bench, is_confirm), 1);
    assert_eq!(count(&bench, |body| matches!(body, Body::Frame(_))), 2);
    let to = home.path().join("report.pdf");
    for wanted in [0, 1] {
        bench.keys(Modifiers::COMMAND, Key::P);
        bench.keys(Modifiers::COMMAND, Key::A);
        bench.type_text(&to.display().to_string());
        bench.key(Key::Tab);
        if wanted == 1 {
            bench.key(Key::Space);
        }
        bench.key(Key::Enter);
        bench.wait_written();
        assert!(bench.says("Report written to"));
        assert_eq!(pictures_in(&to), wanted);
    }
}
