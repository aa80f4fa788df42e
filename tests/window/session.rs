//! A whole first round by keyboard only, and what happens to it afterwards.

use egui::{Key, Modifiers};
use egui_kittest::kittest::Queryable as _;
use record::fact::Purpose;
use samepoint::testing::Target;
use solver::Channel;

use crate::bench::Bench;

/// Two circles that cross: centres (10, 4) and (−6, −3), radii 30 and 26, read at 0°, 60°, 120°
/// and 180° (φ 20° and 140°), rounded to a tenth.
const LEFT: [(&str, &str); 4] =
    [("38.2", "14.3"), ("33.0", "-15.3"), ("4.8", "-25.5"), ("-18.2", "-6.3")];
const RIGHT: [(&str, &str); 4] =
    [("-25.9", "13.7"), ("-1.5", "22.6"), ("18.4", "5.9"), ("13.9", "-19.7")];

/// Starts a session for a unit, both channels as found, by keyboard only.
pub(crate) fn start(home: &std::path::Path) -> Bench {
    begin(Bench::open(home, None))
}

/// The same on an open bench.
pub(crate) fn begin(mut bench: Bench) -> Bench {
    bench.keys(Modifiers::COMMAND, Key::N);
    bench.type_text("0171");
    bench.key(Key::Tab);
    bench.enter("KT");
    assert_eq!(bench.app().entry().purpose, Purpose::AsFound);
    // The cautions are shown once, and stand in nobody's way.
    assert!(bench.says("Bright light damages a powered tube"));
    for (x, y) in [("12.1", "-3.4"), ("4.0", "7.2")] {
        bench.enter(x);
        bench.enter(y);
    }
    bench
}

/// Logs four readings a channel.
pub(crate) fn log_eight(bench: &mut Bench) {
    for (channel, readings) in [("l", LEFT), ("r", RIGHT)] {
        bench.type_text(channel);
        for (x, y) in readings {
            bench.enter(x);
            bench.enter(y);
        }
    }
}

fn target(bench: &Bench, channel: Channel) -> Target {
    bench.app().session().unwrap().picture().rings[channel].target.clone()
}

/// As found, then eight readings by keyboard only; the guidance changes with them.
#[test]
fn a_first_round_by_keyboard_only() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    // Both read as found: the row turned to logging at the left ring's zero by itself.
    assert_eq!(bench.app().entry().purpose, Purpose::Log);
    assert_eq!(bench.app().entry().channel, Channel::Left);
    assert!(matches!(target(&bench, Channel::Left), Target::Missing(_)));
    assert!(bench.says("Not known yet"));

    log_eight(&mut bench);
    let session = bench.app().session().unwrap();
    let picture = session.picture();
    let rows = session.rows();
    assert_eq!(rows.left.len() + rows.right.len(), 10);
    // Hand calculation: d² = 16² + 7² = 305, d = 17.464; a = (305 + 900 − 676)/(2 d) = 15.145;
    // h = √(900 − 229.4) = 25.896. Foot (10, 4) + 15.145·(−16, −7)/17.464 = (−3.875, −2.070);
    // points foot ± 25.896·(−7, 16)/17.464: (−14.255, 21.655) and (6.505, −25.796), so 25.93′ and
    // 26.60′ out. Readings are rounded to 0.1′, which may move that by as much.
    let setting = picture.setting.expect("the circles cross");
    assert!((setting.boresight_arcmin - 25.93).abs() < 0.4, "{}", setting.boresight_arcmin);
    // The ring of the left channel that points there: θ = φ − atan2(17.655, −24.255) = 20 − 143.9.
    assert_eq!(target(&bench, Channel::Left), Target::Ring("236°".to_owned()));
    assert!(bench.says("Meet 2"));
    assert!(bench.says("the nearer of two crossings"));
    bench.wait_saved().unwrap();
    assert!(bench.says("facts"));
}

/// Every logged reading shows in the same frame in which it was logged.
#[test]
fn a_reading_shows_in_the_frame_that_logged_it() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    bench.enter("-31.0");
    bench.type_text("-8.0");
    let before = bench.app().session().unwrap().rows().right.len();
    bench.window.key_press(Key::Enter);
    bench.window.step();
    let after = &bench.app().session().unwrap().rows().right;
    assert_eq!(after.len(), before + 1);
    let drawn = bench.window.output().shapes.len();
    bench.window.step();
    assert_eq!(bench.window.output().shapes.len(), drawn, "the next frame draws nothing new");
}

/// Undo, redo and withdraw change what counts, and nothing is lost from the file.
#[test]
fn withdraw_undo_and_redo() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    let count = |bench: &Bench| {
        let rows = bench.app().session().unwrap().rows();
        rows.iter().flat_map(|(_, rows)| rows).filter(|row| row.withdrawn.is_none()).count()
    };
    assert_eq!(count(&bench), 10);
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(count(&bench), 9);
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(count(&bench), 8);
    bench.keys(Modifiers::COMMAND | Modifiers::SHIFT, Key::Z);
    bench.keys(Modifiers::COMMAND, Key::Y);
    assert_eq!(count(&bench), 10);

    // Withdraw the last reading: not without a reason.
    bench.key(Key::F8);
    bench.press("Withdraw");
    assert!(bench.says("Say why"));
    assert_eq!(count(&bench), 10);
    bench.press("graticule misread");
    bench.press("Withdraw");
    assert_eq!(count(&bench), 9);
    assert!(bench.says("Withdrawn: Right reading 4"));
    // A withdrawal is undone like anything else.
    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(count(&bench), 10);
    // 6 to start with, 10 readings, 2 undo, 2 redo, 1 withdrawal, 1 undo.
    assert_eq!(bench.app().session().unwrap().file().facts().len(), 22);
}

/// Arrow keys choose the reading that F8 withdraws.
#[test]
fn any_reading_can_be_withdrawn_by_keyboard() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    // The first of the list is the left as-found reading; the next is the left ring's zero.
    bench.key(Key::ArrowDown);
    bench.key(Key::ArrowDown);
    bench.key(Key::F8);
    bench.enter("ring misread");
    let rows = &bench.app().session().unwrap().rows().left;
    let withdrawn: Vec<&str> =
        rows.iter().filter(|row| row.withdrawn.is_some()).map(|row| row.x.as_str()).collect();
    assert_eq!((rows.len(), withdrawn), (5, vec!["38.2"]));
}

/// Walks to a reading with the arrow keys; what is selected is scrolled into sight.
fn select(bench: &mut Bench, seq: u64) {
    for _ in 0..30 {
        if bench.app().selected() == Some(seq) {
            return;
        }
        bench.key(Key::ArrowDown);
    }
    panic!("reading {seq} is never selected");
}

/// A withdrawn reading keeps its place and its number, struck through in every light; it is in neither fit nor
/// plot, and no second time withdrawn. The next reading goes on counting, and undo counts it again.
#[test]
fn a_withdrawn_reading_stays_struck_through() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    let rows = |bench: &Bench| bench.app().session().unwrap().rows().left;
    let numbers = |bench: &Bench| -> Vec<(u64, usize)> {
        rows(bench).iter().map(|row| (row.seq, row.number)).collect()
    };
    let before = numbers(&bench);
    let struck = |bench: &Bench| {
        let through = bench.window.ctx.global_style().visuals.text_color();
        let at = bench.window.get_by_label_contains("left reading 2, withdrawn").rect();
        let shapes = bench.window.output().shapes.iter();
        shapes
            .filter(|clipped| match &clipped.shape {
                egui::Shape::LineSegment { points: [from, to], stroke } => {
                    (from.y - to.y).abs() < 0.1
                        && (from.y - at.center().y).abs() < 1.0
                        && at.contains(*from)
                        && stroke.color == through
                }
                _ => false,
            })
            .count()
    };
    for _ in 0..3 {
        bench.key(Key::ArrowDown);
    }
    bench.key(Key::F8);
    bench.enter("ring misread");
    assert_eq!(numbers(&bench), before, "places and numbers");
    let withdrawn = rows(&bench)[2].clone();
    assert_eq!(withdrawn.withdrawn.as_deref(), Some("ring misread"));
    select(&mut bench, withdrawn.seq);
    for _ in 0..3 {
        // Number, ring, x and y; what it leaves over is not known any more.
        assert_eq!(struck(&bench), 4);
        bench.keys(Modifiers::COMMAND, Key::L);
    }
    let picture = bench.app().session().unwrap().picture();
    let mut marks = picture.scene.marks().all().iter();
    assert!(marks.all(|mark| mark.key != withdrawn.seq));
    let fitted = picture.solution.as_ref().unwrap().fits.left.as_ref().unwrap().readings;
    assert_eq!(fitted, 3);

    // Selected, it says why and how to have it back, and F8 withdraws it no second time.
    assert!(
        bench.says("Left reading 2 is withdrawn and does not count: ring misread. Undo counts")
    );
    bench.key(Key::F8);
    assert!(bench.says("is withdrawn already: ring misread"));
    assert!(bench.window.query_by_label("Withdraw").is_none());

    bench.keys(Modifiers::COMMAND, Key::Z);
    assert_eq!(rows(&bench)[2].withdrawn, None);
    assert_eq!(numbers(&bench), before);

    // Withdrawn for good: what is read next has the next number, and no undo is offered any more.
    select(&mut bench, withdrawn.seq);
    bench.key(Key::F8);
    bench.enter("ring misread");
    bench.type_text("l");
    bench.enter("-20.0");
    bench.enter("4.0");
    assert_eq!(numbers(&bench).last().map(|(_, number)| *number), Some(5));
    select(&mut bench, withdrawn.seq);
    assert!(bench.says("To have it again, read it again."));
}

/// Closing loses nothing and asks nothing: opened again, the numbers are the same to the last bit.
#[test]
fn reopened_it_shows_the_same_numbers() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    let session = bench.app().session().unwrap();
    let (path, solution) = (session.file().path().to_owned(), session.picture().solution.clone());
    let facts = session.file().facts().to_vec();
    drop(bench);

    let bench = Bench::open(home.path(), Some(path.clone()));
    let session = bench.app().session().unwrap();
    assert_eq!(session.file().path(), path);
    assert_eq!(session.file().facts(), facts);
    assert_eq!(session.picture().solution, solution);
    assert!(bench.app().warnings().is_empty(), "{:?}", bench.app().warnings());
    // Without a path the last session comes back by itself.
    drop(bench);
    let bench = Bench::open(home.path(), None);
    assert_eq!(bench.app().session().unwrap().file().path(), path);
}

/// A new round sets earlier readings apart.
#[test]
fn a_new_round_starts_empty() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    log_eight(&mut bench);
    bench.key(Key::F9);
    bench.press("Open round");
    let session = bench.app().session().unwrap();
    assert_eq!(session.state().rounds.len(), 2);
    assert!(session.rows().left.is_empty());
    assert!(session.picture().setting.is_none());
    assert!(!session.as_found_possible());
}

/// Without ring angles there is no ring target but a graticule reading to turn to.
#[test]
fn without_ring_angles_the_target_is_a_reading() {
    let home = tempfile::tempdir().unwrap();
    let mut bench = start(home.path());
    for (channel, readings) in [("l", LEFT), ("r", RIGHT)] {
        bench.type_text(channel);
        for (k, (x, y)) in readings.into_iter().enumerate() {
            if k == 0 {
                // Empty the ring field: the ring cannot be read.
                bench.keys(Modifiers::SHIFT, Key::Tab);
                bench.keys(Modifiers::COMMAND, Key::A);
                bench.key(Key::Backspace);
                bench.key(Key::Enter);
            }
            bench.enter(x);
            bench.enter(y);
        }
    }
    let Target::Reads(reads) = target(&bench, Channel::Left) else {
        panic!("{:?}", target(&bench, Channel::Left));
    };
    // The crossing of the hand calculation above, (−14.3′, 21.7′), within the rounding of the
    // readings.
    assert!(reads.starts_with("−14.") || reads.starts_with("−13."), "{reads}");
    assert!(bench.says("turn until it reads"));
    assert!(bench.says("round its circle"));
}

/// Circles that do not meet: the best compromise is offered, named as such, with both targets.
#[test]
fn circles_that_do_not_meet_get_the_best_compromise() {
    let home = tempfile::tempdir().unwrap();
    let bench = Bench::open(home.path(), None);
    let sessions = home.path().join("data/demo-shop/sessions");
    drop(bench);
    let apart = std::fs::read_dir(sessions)
        .unwrap()
        .flatten()
        .map(|entry| entry.path())
        .find(|path| path.to_string_lossy().ends_with("0163.samepoint"))
        .unwrap();
    let bench = Bench::open(home.path(), Some(apart));
    assert!(bench.says("Best compromise"));
    assert!(bench.says("No crossing"));
    for channel in Channel::BOTH {
        assert!(matches!(target(&bench, channel), Target::Ring(_)), "{channel}");
    }
    let setting = bench.app().session().unwrap().picture().setting.unwrap();
    // True circles of that unit (demo-data/README.md) lie 6.5′ apart; readings scatter by 0.2′, and
    // whole degrees on circles of 9′ and 12′ are 0.2′.
    let apart_arcmin = setting.misalignment.length_arcmin();
    assert!((6.0..20.0).contains(&apart_arcmin), "{apart_arcmin}");
}
