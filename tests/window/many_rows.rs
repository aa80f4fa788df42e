//! The log of many readings costs what is in sight, and shows the rows that it showed before; so does the
//! whole window.

use std::time::{Duration, Instant};

use egui::vec2;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use record::fact::{Approach, Body, DirectionReading, Purpose, Seq};
use record::{ReadingUnit, Typed, Unit};
use samepoint::testing::{AtHand, Lighting, LogTable, LogView, log_table_ui};
use solver::{Channel, PerChannel};

use crate::bench::Bench;
use crate::many_readings::{ROUND, facts, session};

/// So many left readings of ring 120°, then three right ones.
fn readings(count: usize) -> Vec<Body> {
    let typed = |text: &str| Typed::parse(text).unwrap();
    let read = |channel| DirectionReading {
        channel,
        ring_deg: Some(typed("120")),
        x: typed("1.0"),
        y: typed("2.0"),
        unit: ReadingUnit::Arcmin,
        approach: Approach::NotNoted,
    };
    let channels = (0..count).map(|_| Channel::Left).chain([Channel::Right; 3]);
    let log = |channel| record::fact::Reading::direction(ROUND, Purpose::Log, read(channel));
    channels.map(|channel| Body::Reading(log(channel))).collect()
}

fn window(readings: Vec<Body>, selected: Option<Seq>) -> Harness<'static> {
    let session = record::fold(&facts(Unit::default(), readings));
    let at_hand = AtHand::of(&session);
    let closing = PerChannel { left: None, right: None };
    Harness::builder()
        .with_size(vec2(440.0, 700.0))
        .with_context_setup(samepoint::testing::theme::install)
        .build_ui(move |ui| {
            let palette = Lighting::default().palette();
            let log = LogView { log: &at_hand.log, round: session.round(), solution: None };
            let table =
                LogTable { log, closing: &closing, off_by: &[], standing_out: &[], selected };
            log_table_ui(ui, palette, table, &mut Vec::new());
        })
}

fn frame(count: usize) -> Duration {
    let mut window = window(readings(count), None);
    window.run();
    let times = (0..41).map(|_| {
        let begun = Instant::now();
        window.step();
        begun.elapsed()
    });
    times.min().unwrap()
}

/// Ten times as many readings take as long; three times is for the noise of a busy machine.
#[test]
fn a_frame_of_the_log_does_not_grow_with_it() {
    let (few, many) = (frame(2_000), frame(20_000));
    assert!(many < 3 * few, "{many:?} for ten times as many readings, {few:?} for the few");
}

/// What is in sight is whole, wherever the log is scrolled to: the row asked for, and those beside it.
#[test]
fn the_rows_in_sight_are_there() {
    for (selected, beside) in [(1, 2), (9_000, 8_997), (20_000, 19_997)] {
        let mut window = window(readings(20_000), Some(ROUND + selected));
        window.run();
        for number in [selected, beside] {
            let telling = format!("left reading {number}: ring 120°, x 1.0, y 2.0 arcminutes");
            let rect = window.get_by_label(&telling).rect();
            assert!(rect.top() >= -0.5 && rect.bottom() <= 700.5, "{number}: {rect:?}");
        }
        assert!(window.query_all_by_label_contains("left reading").count() < 40);
    }
}

/// A bench on so many readings, and the least time of a frame of it, which other work can only lengthen: laid
/// out and made ready to be drawn.
fn whole_frame(readings: usize) -> Duration {
    let home = tempfile::tempdir().unwrap();
    let path = session(home.path(), readings, Unit { name: "0171".to_owned(), ..Unit::default() });
    let mut bench = Bench::open(home.path(), Some(path));
    let log = bench.app().session().unwrap().log().log;
    assert_eq!(log.marks(None).len(), readings);
    let times = (0..21).map(|_| {
        let begun = Instant::now();
        bench.window.step();
        let shapes = bench.window.output().shapes.clone();
        std::hint::black_box(bench.window.ctx.tessellate(shapes, 1.0));
        begun.elapsed()
    });
    times.min().unwrap()
}

/// Ten times as many readings: what the plot shows of them grows with the pixels they take, the rest not
/// at all. Drawn mark by mark and counted over in every frame they took nearly four times as long.
#[test]
fn a_frame_of_the_whole_window_does_not_grow_with_the_readings() {
    let (few, many) = (whole_frame(1_000), whole_frame(10_000));
    assert!(many < 3 * few, "{many:?} for ten times as many readings, {few:?} for the few");
}

/// The least time of the frame that logs one more of so many readings: fold, solve, scene and all.
fn logging_frame(readings: usize) -> Duration {
    let home = tempfile::tempdir().unwrap();
    let path = session(home.path(), readings, Unit { name: "0171".to_owned(), ..Unit::default() });
    let mut bench = Bench::open(home.path(), Some(path));
    let times = (0..9).map(|_| {
        bench.enter("31.0");
        bench.type_text("2.0");
        bench.window.key_press(egui::Key::Enter);
        let begun = Instant::now();
        bench.window.step();
        let time = begun.elapsed();
        bench.rest();
        time
    });
    let least = times.min().unwrap();
    assert_eq!(bench.app().session().unwrap().log().log.marks(None).len(), readings + 9);
    least
}

/// What a new reading touches is its own row and what the circle makes of all: some numbers a reading, and no
/// sentence. Where each reading had its sentences made anew ten times as many took ten times as long.
#[test]
fn logging_one_more_of_many_takes_little_more_than_of_few() {
    let (few, many) = (logging_frame(1_000), logging_frame(10_000));
    assert!(many < 4 * few, "{many:?} for ten times as many readings, {few:?} for the few");
}
