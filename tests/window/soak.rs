//! A short day: the whole one is `cargo run -p samepoint --example soak`.

#[path = "../../crates/samepoint/examples/soak/day.rs"]
mod day;

use day::Day;

/// Unit after unit through one window, then many readings in one session: nothing is lost, and it
/// costs no more at the end.
#[test]
fn a_short_day_loses_nothing() {
    let home = tempfile::tempdir().unwrap();
    let mut day = Day::begin(home.path());
    day.unit(0);
    let start = day.measure();
    for unit in 1..3 {
        day.unit(unit);
    }
    let end = day.measure();
    let long = day.long_session(2 * day::AT_ONCE);
    assert_eq!(day.saved(), day.on_disk());
    let broken = day.broken(&start, &end, &long, false);
    assert!(broken.is_empty(), "{broken:?}");
}
