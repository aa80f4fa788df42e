//! The log of many readings costs what is in sight, and shows the rows that it showed before.

use std::time::{Duration, Instant};

use egui::vec2;
use egui_kittest::Harness;
use egui_kittest::kittest::Queryable as _;
use record::ReadingUnit;
use record::fact::{Approach, Purpose, Seq};
use samepoint::app::picture::Row;
use samepoint::panels::log_table::{LogTable, log_table_ui};
use samepoint::theme::Lighting;
use solver::{Direction, PerChannel, Reading};

fn rows(count: usize) -> PerChannel<Vec<Row>> {
    let row = |seq: usize| Row {
        seq: seq as Seq,
        number: seq,
        ring: Some("120".to_owned()),
        x: "1.0".to_owned(),
        y: "2.0".to_owned(),
        unit: ReadingUnit::Arcmin,
        purpose: Purpose::Log,
        reading: Reading::at_ring(120.0, Direction::new(1.0, 2.0)),
        approach: Approach::NotNoted,
        noted: Vec::new(),
        residual: None,
    };
    let left = (1..=count).map(row).collect();
    PerChannel { left, right: (count + 1..=count + 3).map(row).collect() }
}

fn window(rows: PerChannel<Vec<Row>>, selected: Option<Seq>) -> Harness<'static> {
    let closing = PerChannel { left: None, right: None };
    Harness::builder()
        .with_size(vec2(440.0, 700.0))
        .with_context_setup(samepoint::theme::install)
        .build_ui(move |ui| {
            let palette = Lighting::default().palette();
            let table = LogTable { rows: &rows, closing: &closing, standing_out: &[], selected };
            log_table_ui(ui, palette, table, &mut Vec::new());
        })
}

fn frame(count: usize) -> Duration {
    let mut window = window(rows(count), None);
    window.run();
    let times = (0..41).map(|_| {
        let begun = Instant::now();
        window.step();
        begun.elapsed()
    });
    let mut times: Vec<Duration> = times.collect();
    times.sort_unstable();
    times[times.len() / 2]
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
        let mut window = window(rows(20_000), Some(selected));
        window.run();
        for number in [selected, beside] {
            let telling = format!("left reading {number}: ring 120°, x 1.0, y 2.0 arcminutes");
            let rect = window.get_by_label(&telling).rect();
            assert!(rect.top() >= -0.5 && rect.bottom() <= 700.5, "{number}: {rect:?}");
        }
        assert!(window.query_all_by_label_contains("left reading").count() < 40);
    }
}
